"""What a terminal can draw: the question that it is asked, and what its answers say."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

# A picture of one pixel that is only tried: whoever knows kitty's protocol says OK
# (https://sw.kovidgoyal.net/kitty/graphics-protocol/, "Querying support").
_TRIED = b"\x1b_Gi=31,s=1,v=1,a=q,t=d,f=24;AAAA\x1b\\"
# How large a cell is, the largest sixel picture, how many colours it has (xterm, ctlseqs: XTWINOPS
# 16, XTSMGRAPHICS), and last what it is (DA1), which every terminal answers, and in order.
_ASKED = b"\x1b[16t\x1b[?2;1;0S\x1b[?1;1;0S\x1b[c"
# These take the first question for the title of their window.
_TITLED = ("tmux", "screen")

_TAKES_KITTY = re.compile(rb"\x1b_Gi=31;OK\x1b\\")
_CELL = re.compile(rb"\x1b\[6;(\d{1,3});(\d{1,3})t")  # height and width in pixels
_LARGEST = re.compile(rb"\x1b\[\?2;0;(\d{1,5});(\d{1,5})S")
_COLOURS = re.compile(rb"\x1b\[\?1;0;(\d{1,5})S")
_IS = re.compile(rb"\x1b\[\?([\d;]*)c")
_SIXEL = b"4"  # among the attributes of DA1
_ANSWERS = re.compile(rb"\x1b_G[^\x1b]*\x1b\\|\x1b\[\?[\d;]*[cS]|\x1b\[[46];\d+;\d+t")

ENOUGH_COLOURS = 256  # a photo in sixteen is worse than half blocks
ASSUMED_CELL = (8, 16)  # pixels, where nobody tells
MOST = 4096  # pixels a side, whatever a terminal says of itself


class Size(NamedTuple):
    """How large a terminal is: in cells, and in pixels (0 where it does not say)."""

    columns: int
    lines: int
    wide: int = 0
    high: int = 0


class Means(NamedTuple):
    """What a terminal draws with: "kitty", "sixel" or "" for no pixels; what it says of sizes."""

    way: str = ""
    cell: tuple[int, int] | None = None
    largest: tuple[int, int] = (MOST, MOST)


class Room(NamedTuple):
    """The place of a picture in pixels, and the pixels of a cell there."""

    wide: int
    high: int
    cell: tuple[int, int]


def question(environ: Mapping[str, str]) -> bytes:
    """Return what to ask a terminal, by what the environment says of it."""
    titled = environ.get("TERM", "").startswith(_TITLED)
    return _ASKED if titled else _TRIED + _ASKED


def answered(heard: bytes) -> bool:
    """Tell whether the last question was answered: nothing more will come."""
    return _IS.search(heard) is not None


def typed(heard: bytes) -> bytes:
    """Return what a person typed of what came from a terminal: all but its answers."""
    return _ANSWERS.sub(b"", heard)


def _pair(pattern: re.Pattern[bytes], heard: bytes) -> tuple[int, int] | None:
    found = pattern.search(heard)
    one, other = (int(found[1]), int(found[2])) if found else (0, 0)
    return (one, other) if one and other else None


def means_of(heard: bytes) -> Means:
    """Return what a terminal can draw, by its answers; no pixels where it gave none."""
    high_wide = _pair(_CELL, heard)
    cell = high_wide[::-1] if high_wide else None
    if _TAKES_KITTY.search(heard):
        return Means("kitty", cell)
    is_a, colours = _IS.search(heard), _COLOURS.search(heard)
    few = colours is not None and int(colours[1]) < ENOUGH_COLOURS
    if is_a is None or few or _SIXEL not in is_a[1].split(b";"):
        return Means("", cell)
    return Means("sixel", cell, _pair(_LARGEST, heard) or (MOST, MOST))


def room_for(size: Size, means: Means) -> Room:
    """Return the place of a picture: all lines but the last, which tells what is shown."""
    columns, lines = max(size.columns, 1), max(size.lines, 1)  # 0 where it was never told
    cell = means.cell or ASSUMED_CELL
    if size.wide >= columns and size.high >= lines:
        cell = size.wide // columns, size.high // lines
    wide, high = columns * cell[0], max(lines - 1, 1) * cell[1]
    return Room(min(wide, means.largest[0], MOST), min(high, means.largest[1], MOST), cell)
