"""Unaffected wood of the same house: what it reads, and whose goal comes from it."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from siltline.judge.board import Board
from siltline.judge.measured import meter_named, points_of, readings_at
from siltline.judge.points import Point, PointReading, percent_of

USUAL_TOLERANCE = 1.0  # points: what leaflets of wood meters promise (common practice)
# How it stands: nothing read; the goal of a point comes from it; of none does.
STANDINGS = ("unread", "goal", "spare")


class Reference(Struct, frozen=True):
    """A point in unaffected wood: it has no verdict and no day, for it never was wet.

    Attributes:
        point: which.
        newest: what was read there last; None where nothing was.
        serves: names of the points whose goal comes from it.
    """

    point: Point
    newest: PointReading | None
    serves: tuple[str, ...]

    @property
    def standing(self) -> str:
        """Return how it stands, one of STANDINGS."""
        if self.newest is None:
            return "unread"
        return "goal" if self.serves else "spare"


def reference_goal(board: Board, point: Point, meter: str) -> tuple[float, tuple[str, ...]] | None:
    """Return what unaffected wood of the house reads with a meter, plus its tolerance, and where.

    None where no such wood was read with it. Of the newest reading of each point the mean counts.
    """
    ledger = board.ledger
    found = {}
    for one in points_of(ledger):
        if not one.reference or one.reads.casefold() != point.reads.casefold():
            continue
        read = [r for r in readings_at(ledger, one.name) if r.meter == meter]
        if read:
            found[one.name] = percent_of(read[-1].value)
    if not found:
        return None
    known = meter_named(ledger, meter)
    doubt = percent_of(known.tolerance) if known and known.tolerance else USUAL_TOLERANCE
    return sum(found.values()) / len(found) + doubt, tuple(found)


def references(board: Board, goals: Mapping[str, tuple[str, ...]]) -> list[Reference]:
    """Return the points in unaffected wood, in the order of a round.

    Args:
        board: of the job.
        goals: name of each other point -> the references that its goal comes from.
    """
    found = []
    for one in points_of(board.ledger):
        if one.reference:
            read = readings_at(board.ledger, one.name)
            serves = tuple(name for name, from_there in goals.items() if one.name in from_there)
            found.append(Reference(one, read[-1] if read else None, serves))
    return found
