"""What matters most now: safety, a surface that must be seen to, what most wait for, the order."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from siltline.judge.board import Board, StepView
from siltline.judge.contact import running

ACTIONABLE = ("todo", "measure", "done")
_GRAVE = ("DANGER", "WARNING")


def _waited_for(board: Board) -> dict[str, int]:
    """Return step -> how many steps wait for it, directly or through others."""
    place = {step: number for number, step in enumerate(board.steps)}
    waits = [
        (place[view.step.id], [place[need] for need in view.waiting if need in place])
        for view in board.steps.values()
        if view.waiting
    ][::-1]
    behind = [0] * len(place)  # sets of places, as bits
    rounds = 1 if all(max(needs, default=-1) < here for here, needs in waits) else len(waits)
    for _ in range(rounds):  # one is enough, unless needs stand against the order of the plan
        before = behind[:]
        for here, needs in waits:
            both = behind[here] | 1 << here
            for need in needs:
                behind[need] |= both
        if behind == before:
            break
    return {step: behind[number].bit_count() for step, number in place.items() if behind[number]}


def next_things(board: Board, now: datetime | None = None) -> Sequence[StepView]:
    """Return the steps that can be gone on with, the one that matters most first.

    A hold point with a grave caution comes before all else, then a contact time that is over or
    asks for a look, then other hold points, then what most steps wait for, then the order in
    which a crew meets the steps.

    Args:
        board: the judged job.
        now: the time, where contact times that run are to be looked at.
    """
    waited = _waited_for(board)
    wet = _wet(board, now)

    def rank(view: StepView) -> tuple[int, int, int, tuple[int, int, int]]:
        step = view.step
        grave = any(caution.word in _GRAVE for caution in step.cautions)
        hold = 2 if step.hold_point and grave else 1 if step.hold_point else 0
        # A word without its proof holds others up only at a hold point; else new work comes first.
        late = 0 if view.state != "done" or hold else 1
        first = -2 * hold if waited.get(step.id) else 2 * late
        if step.id in wet:
            return (min(first, _AFTER_SAFETY), wet[step.id], 0, step.order)
        return (first, 0, -waited.get(step.id, 0), step.order)

    found = (v for v in board.steps.values() if v.state in ACTIONABLE or v.step.id in wet)
    return sorted(found, key=rank)


_AFTER_SAFETY = -3  # between a hold point that can kill and all others


def _wet(board: Board, now: datetime | None) -> dict[str, int]:
    """Return the steps with a contact time that somebody must see to now, and their order."""
    found: dict[str, int] = {}
    for one in running(board.ledger.wet, now) if now is not None else ():
        if one.urgent:
            found.setdefault(one.run.step, len(found))
    return found


def next_thing(board: Board, now: datetime | None = None) -> StepView | None:
    """Return the step that matters most now; None where nothing can be gone on with."""
    found = next_things(board, now)
    return found[0] if found else None
