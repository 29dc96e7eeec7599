"""In which order a crew may have gone through the steps, and how well its photos fit each.

The plan goes phase by phase; a crew may as well finish a room before the next. Nobody says
which, so `offering.py` weighs each way by the photos that are at steps already.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from siltline.judge.board import Board
from siltline.judge.holding import Held
from siltline.judge.proofs import roles
from siltline.rules.plan import Step


def group_of(steps: Iterable[Step]) -> dict[str, str]:
    """Return place -> the room it lies in, or the circuit it hangs on, as its needs tell."""
    listed = list(steps)
    by_id = {step.id: step for step in listed}
    found = {step.place: step.place for step in listed}
    for kind in ("circuit", "room"):  # the room is told last and stays
        for step in listed:
            near = [by_id[need].place for need in step.needs if need in by_id
                    and by_id[need].place_kind == kind]  # fmt: skip
            if len(set(near)) == 1 and step.place_kind not in ("room", "house"):
                found[step.place] = near[0]
    return found


def walks(board: Board) -> list[list[str]]:
    """Return the steps in each order in which a crew may go through them.

    Those are: as the plan has it, place by place within a phase, and room by room.
    """
    steps = [view.step for view in board.steps.values()]
    group = group_of(steps)
    first: dict[str, tuple[int, int, int]] = {}
    for step in sorted(steps, key=lambda step: step.order):
        first.setdefault(group[step.place], step.order)

    def start(step: Step) -> tuple[int, int, int]:
        return step.order if step.place_kind == "house" else first[group[step.place]]

    keys = (
        lambda step: (step.order, step.id),
        lambda step: (step.order[0], start(step), step.order, step.id),
        lambda step: (start(step), step.order, step.id),
    )
    return [[step.id for step in sorted(steps, key=key)] for key in keys]


def lacking(held: Held, there: Sequence[str]) -> list[str]:
    """Return the roles of the photos that a kind of proof still lacks, each once a photo.

    Args:
        held: how far that proof is.
        there: the roles of the photos that the step has.
    """
    proof, named = held.proof, roles(held.proof)
    if held.met or not named:
        return []
    wanted = {role: proof.count - there.count(role) for role in named}
    # of a pair the role that is behind comes first
    order = sorted(named, key=lambda role: -wanted[role])
    found = [role for role in order for _ in range(max(0, wanted[role]))]
    return found if found or proof.kind == "label" else list(named)
