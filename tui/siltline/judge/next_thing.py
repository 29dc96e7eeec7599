"""What matters most now: safety first, then what most other steps wait for, then the order."""

from __future__ import annotations

from collections.abc import Sequence

from siltline.judge.board import Board, StepView

ACTIONABLE = ("todo", "measure", "done")
_GRAVE = ("DANGER", "WARNING")


def _waited_for(board: Board) -> dict[str, int]:
    """Return step -> how many steps wait for it, directly or through others."""
    place = {step: number for number, step in enumerate(board.steps)}
    waiters = dict.fromkeys(place, 0)  # sets of places, as bits
    backwards = list(board.steps.values())[::-1]
    grown = True
    while grown:  # once and once more, unless needs stand against the order of the plan
        grown = False
        for view in backwards:
            behind = waiters[view.step.id] | 1 << place[view.step.id]
            for need in view.waiting:
                if need in waiters and behind & ~waiters[need]:
                    waiters[need] |= behind
                    grown = True
    return {step: behind.bit_count() for step, behind in waiters.items() if behind}


def next_things(board: Board) -> Sequence[StepView]:
    """Return the steps that can be gone on with, the one that matters most first.

    A hold point with a grave caution comes before all else, then other hold points, then what
    most steps wait for, then the order in which a crew meets the steps.
    """
    waited = _waited_for(board)

    def rank(view: StepView) -> tuple[int, int, tuple[int, int, int]]:
        step = view.step
        grave = any(caution.word in _GRAVE for caution in step.cautions)
        hold = 2 if step.hold_point and grave else 1 if step.hold_point else 0
        # A word without its proof holds others up only at a hold point; else new work comes first.
        late = 0 if view.state != "done" or hold else -1
        return (-hold if waited.get(step.id) else -late, -waited.get(step.id, 0), step.order)

    return sorted((v for v in board.steps.values() if v.state in ACTIONABLE), key=rank)


def next_thing(board: Board) -> StepView | None:
    """Return the step that matters most now; None where nothing can be gone on with."""
    found = next_things(board)
    return found[0] if found else None
