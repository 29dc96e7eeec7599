"""Pixels as characters of a terminal: half blocks in colour, or greys of characters without."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from siltline.screens.drawing import HALF

Cells = tuple[int, int, bytes]  # width and height in pixels, then three bytes a pixel
Pixel = tuple[int, int, int]

_RAMP = " .:-=+*#%@"  # from no ink to much
_GREY = (299, 587, 114)  # parts in a thousand of red, green, blue: luma of ITU-R BT.601


def _rows(cells: Cells) -> Iterator[list[tuple[Pixel, Pixel]]]:
    """Yield lines of cells, the upper pixel and the lower one; an odd last line is doubled."""
    wide, high, data = cells
    lines = []
    for y in range(high):
        line = data[y * wide * 3 : (y + 1) * wide * 3]
        lines.append(list(zip(line[::3], line[1::3], line[2::3], strict=True)))
    for y in range(0, high, 2):
        yield list(zip(lines[y], lines[min(y + 1, high - 1)], strict=True))


def in_colour(cells: Cells) -> list[Strip]:
    """Return a picture in half blocks: two pixels a cell, as letters and as their ground."""
    found = []
    for row in _rows(cells):
        segments = [
            Segment(HALF * len(list(run)), Style(color=_ink(upper), bgcolor=_ink(lower)))
            for (upper, lower), run in groupby(row)
        ]
        found.append(Strip(segments, len(row)))
    return found


def _ink(pixel: Pixel) -> Color:
    return Color.from_rgb(*pixel)


def in_greys(cells: Cells, *, dark: bool) -> list[str]:
    """Return a picture in ASCII characters, one a cell, from its darkest to its lightest.

    Args:
        cells: the pixels.
        dark: letters are light on a dark ground, so much ink is light.
    """
    ramp = _RAMP if dark else _RAMP[::-1]
    lights = [[_light(upper) + _light(lower) for upper, lower in row] for row in _rows(cells)]
    darkest = min(map(min, lights), default=0)
    span = max(map(max, lights), default=0) - darkest + 1
    return ["".join(ramp[(one - darkest) * len(ramp) // span] for one in row) for row in lights]


def _light(pixel: Pixel) -> int:
    return sum(part * shade for part, shade in zip(_GREY, pixel, strict=True))
