"""Photos that belong side by side: before and after of a step, or of one spot."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from msgspec import Struct

from siltline.judge.board import Board, StepView
from siltline.judge.entries import Attached


class Pair(Struct, frozen=True):
    """Two uses of photos at one step, the earlier role first."""

    step: StepView
    first: Attached
    second: Attached

    @property
    def photos(self) -> tuple[str, str]:
        """Return the two photos."""
        return self.first.photo, self.second.photo


def _roles_in_order(view: StepView) -> Iterator[tuple[str, str]]:
    """Yield pairs of roles that show the same thing earlier and later at a step."""
    yield "before", "after"
    for proof in view.step.proof:
        if proof.kind == "same-spot":
            yield from zip(proof.roles, proof.roles[1:], strict=False)


def pairs_of(view: StepView) -> list[Pair]:
    """Return the pairs of a step: one spot in two roles; photos without a spot are of one spot."""
    found: dict[tuple[str, str], Pair] = {}
    for earlier, later in dict.fromkeys(_roles_in_order(view)):
        for one, other in product(view.attached, repeat=2):
            if (one.role, other.role) == (earlier, later) and one.spot == other.spot:
                found.setdefault((one.photo, other.photo), Pair(view, one, other))
    return list(found.values())


def pairs_with(board: Board, photo: str) -> list[Pair]:
    """Return the pairs of all steps that use a photo, those that it is in itself first."""
    views = (view for view in board.steps.values() if any(a.photo == photo for a in view.attached))
    found = [pair for view in views for pair in pairs_of(view)]
    return sorted(found, key=lambda pair: photo not in pair.photos)
