"""The scale of a section: which height lies on which row, in inches and in centimetres."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from itertools import chain, count

from msgspec import Struct

from siltline.units import UNITS, Quantity

# What a row may stand for, so that a scale reads like a tape: whole inches or centimetres.
NICE: dict[str, tuple[int, ...]] = {
    "in": (1, 2, 3, 4, 6, 8, 9, 12, 18, 24, 36, 48, 60, 72, 96, 120),
    "cm": (2, 4, 5, 10, 15, 20, 25, 30, 40, 50, 100, 150, 200, 250, 300),
}
LEAST = Decimal("0.3")  # metres shown at least, so that a wall is never drawn as one row


class Scale(Struct, frozen=True):
    """Rows of one height each, with 0 (the finished floor, the soil) on a row of its own.

    Attributes:
        unit: `in` or `cm`: the one in which a row is a whole number.
        per_row: how many of that unit a row stands for.
        above, below: how many rows lie above and below the row of 0.
    """

    unit: str
    per_row: int
    above: int
    below: int

    @property
    def rows(self) -> int:
        """Return how many rows there are."""
        return self.above + 1 + self.below

    @property
    def step(self) -> Decimal:
        """Return the height of a row in metres."""
        return self.per_row * UNITS[self.unit].factor

    def row(self, height: Decimal) -> int:
        """Return the row of a height in metres, from the top: the nearest one."""
        return self.above - int((height / self.step).to_integral_value(ROUND_HALF_UP))

    def height(self, row: int) -> Decimal:
        """Return the height of the middle of a row, in metres."""
        return (self.above - row) * self.step

    def marks(self) -> Iterator[tuple[int, int, int]]:
        """Yield the rows that carry a number: row, whole inches, whole centimetres."""
        every = 1 if self.rows <= 8 else 2  # noqa: PLR2004 - a number a row would be a wall of them
        for row in range(self.rows):
            if (self.above - row) % every == 0:
                here = Quantity("", self.height(row), "length", "m")
                yield row, int(here.in_unit("in")), int(here.in_unit("cm"))


def unit_of(heights: Iterable[Quantity]) -> str:
    """Return `cm` where most heights were typed in metric units, else `in`."""
    found = list(heights)
    metric = sum(one.unit not in ("in", "ft") for one in found)
    return "cm" if 2 * metric > len(found) else "in"


def scale_for(heights: Sequence[Quantity], rows: int) -> Scale:
    """Return the largest scale that shows all heights, and 0, in at most so many rows.

    Args:
        heights: in any unit; may be empty.
        rows: how many rows there are; taken as 3 where fewer.
    """
    unit, rows = unit_of(heights), max(rows, 3)
    top = max([LEAST, *(one.si for one in heights)])
    bottom = min([Decimal(0), *(one.si for one in heights)])
    doubled = (NICE[unit][-1] * 2**n for n in count(1))
    for per_row in chain(NICE[unit], doubled):
        step = per_row * UNITS[unit].factor
        above, below = _rows_up(top, step), _rows_up(-bottom, step)
        if above + 1 + below <= rows:
            break
    return Scale(unit, per_row, above, below)


def _rows_up(height: Decimal, step: Decimal) -> int:
    return int((height / step).to_integral_value(ROUND_CEILING))
