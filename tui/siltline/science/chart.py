"""The drying chart as lines of text: readings, goal, 90 % band, where the wood would end.

In block and braille characters, or in plain ASCII for a console that has neither. Colours are
not used, so nothing is lost on paper, in a log, or to a screen reader's plain mode.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from siltline.science.drying import Fit, Reading

MARGIN = 6  # columns for the percentages
_NARROW, _LOW = 24, 6


class Marks(Struct, frozen=True):
    """The characters of one kind of chart; `fine` draws the likely curve in braille dots."""

    reading: str
    likely: str
    goal: str
    end: str
    band: str
    side: str
    corner: str
    foot: str
    fine: bool = False


PLAIN = Marks("o", "*", "-", ".", ":", "|", "+", "-")
# For paper: fonts of one width have these, and take braille from another font of another width.
PAPER = Marks("\u25cf", "\u2022", "\u2500", "\u2508", "\u2591", "\u2502", "\u2514", "\u2500")
BLOCKS = replace(PAPER, fine=True)
# dots of a braille cell by (column, row): Unicode 15, chapter 21.1
_BRAILLE = 0x2800
_DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))


class Frame(Struct, frozen=True):
    """What part of the world the chart shows, and in how many characters."""

    first: float
    last: float
    low: float
    high: float
    width: int
    height: int

    def row(self, percent: float, steps: int = 1) -> int:
        """Return the row of a percentage, counted from the top in parts of a row."""
        share = (self.high - percent) / (self.high - self.low)
        return math.floor(share * self.height * steps)

    def column(self, day: float) -> int:
        """Return the column of a day."""
        share = (day - self.first) / (self.last - self.first)
        return min(self.width - 1, math.floor(share * self.width))

    def day(self, column: float) -> float:
        """Return the day in the middle of a column."""
        return self.first + (column + 0.5) * (self.last - self.first) / self.width


def _frame(
    readings: Sequence[Reading], levels: Sequence[float], until: float, size: tuple[int, int]
) -> Frame:
    percents = [one.percent for one in readings] + list(levels)
    first = min(one.day for one in readings)
    last = max(until, *(one.day for one in readings), first + 1)
    low, high = math.floor(min(percents) - 1), math.ceil(max(percents) + 1)
    return Frame(first, last, low, high, max(_NARROW, size[0] - MARGIN), max(_LOW, size[1] - 2))


def _put(cells: list[list[str]], row: int, column: int, mark: str) -> None:
    if 0 <= row < len(cells):
        cells[row][column] = mark


def _curves(cells: list[list[str]], frame: Frame, found: Fit, marks: Marks) -> None:
    """Draw the band and the likely curve, column by column."""
    bands = found.bands([frame.day(column) for column in range(frame.width)])
    for column, (low, _, high) in enumerate(bands):
        for row in range(max(0, frame.row(high)), min(frame.height - 1, frame.row(low)) + 1):
            cells[row][column] = marks.band
    for column, (_, middle, _) in enumerate(bands):
        if not marks.fine:
            _put(cells, frame.row(middle), column, marks.likely)
            continue
        ahead = bands[min(column + 1, frame.width - 1)][1]
        for side, level in enumerate((middle, (middle + ahead) / 2)):
            at = frame.row(level, 4)
            row = at // 4
            if 0 <= row < frame.height:
                old = ord(cells[row][column])
                dots = old if old >> 8 == _BRAILLE >> 8 else _BRAILLE
                cells[row][column] = chr(dots | _DOTS[side][at % 4])


def chart(
    readings: Sequence[Reading],
    goal: float,
    emc: float | None = None,
    found: Fit | None = None,
    until: float = -math.inf,
    size: tuple[int, int] = (72, 18),
    marks: Marks = BLOCKS,
) -> list[str]:
    """Return the chart as lines, none longer than the width; no lines without readings.

    Args:
        readings: day and percent.
        goal: percent, a line.
        emc: percent, where the wood would end, a dotted line; None leaves it out.
        found: the fit, for the band of 5 to 95 % and the likely curve; None leaves them out.
        until: the last day to show, if it is after the last reading.
        size: columns and rows, at least 30 by 8.
        marks: BLOCKS, PAPER, or PLAIN for ASCII only.
    """
    if not readings:
        return []
    levels = [goal] if emc is None else [goal, emc]
    frame = _frame(readings, levels, until, size)
    cells = [[" "] * frame.width for _ in range(frame.height)]
    if emc is not None:
        cells[frame.row(emc)] = [marks.end] * frame.width
    if found is not None:
        _curves(cells, frame, found, marks)
    goal_row = cells[frame.row(goal)]
    goal_row[:] = [marks.goal if cell in (" ", marks.band) else cell for cell in goal_row]
    for one in readings:
        _put(cells, frame.row(one.percent), frame.column(one.day), marks.reading)
    return [*_sides(cells, frame, (goal, *levels[1:]), marks), *_foot(frame, marks)]


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _sides(
    cells: list[list[str]], frame: Frame, levels: tuple[float, ...], marks: Marks
) -> list[str]:
    """Return the rows with percentages at the top, the bottom, the goal and the end."""
    told = {0: frame.high, frame.height - 1: frame.low + (frame.high - frame.low) / frame.height}
    told |= {frame.row(level): level for level in reversed(levels)}
    sides = [f"{_short(told[row])}%" if row in told else "" for row in range(frame.height)]
    return [
        (f"{side:>{MARGIN - 1}}{marks.side}" + "".join(cells[row])).rstrip()
        for row, side in enumerate(sides)
    ]


def _foot(frame: Frame, marks: Marks) -> list[str]:
    """Return the line under the chart and the days below it."""
    line = " " * (MARGIN - 1) + marks.corner + marks.foot * frame.width
    days = (frame.first, (frame.first + frame.last) / 2, frame.last)
    first, middle, last = (_short(day) for day in days)
    under = first + middle.center(frame.width - len(first) - len(last)) + last
    return [line, " " * MARGIN + under]
