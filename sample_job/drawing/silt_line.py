"""The silt line on a wall, and the tape measure that tells how high it is."""

from __future__ import annotations

from drawing.colours import BLACK, FAINT
from drawing.shapes import box
from drawing.sheet import HIGH, WHOLE, WIDE, Sheet
from drawing.textures import film


def upright_tape(c: Sheet, x: float, top: int, wide: float) -> None:
    """Draw an upright tape measure, 74 pixels an inch, with the inch `top` at the very top."""
    blade = box(x, -20, x + wide, HIGH + 20)
    c.thing(blade, "#eec93c", 0.03)
    c.area(blade, BLACK, 0.22, across=(0.9, 0), rough=0)
    c.area(box(x + wide * 0.6, -20, x + wide, HIGH + 20), BLACK, 0.2, across=(0, 1), rough=0)
    for eighth in range(1, 84):
        y, part = eighth * 74 / 8, eighth % 8
        long = {0: 0.44, 4: 0.34, 2: 0.24, 6: 0.24}.get(part, 0.15)
        c.line([(x, y), (x + wide * long, y)], "#1c1a16", 1.5 if part else 3)
        if not part:
            c.words(x + wide * 0.72, y, str(top - eighth // 8), 38)


def tape(c: Sheet, wall: str, inch: int, *, boards: bool) -> None:
    """Draw a silt line on a wall and an upright tape with a mark at its inch."""
    c.area(WHOLE, wall, rough=0.04, cell=80)
    y = 5.0 * 74
    for x in range(60, WIDE, 168) if boards else ():
        c.area(box(x, 0, x + 10, HIGH), BLACK, 0.25, across=(1, 0), rough=0)
        c.line([(x, 0), (x, HIGH)], "#00000060")
    if not boards:
        c.thing(box(-20, -20, 170, HIGH + 20), "#f0ece0", 0.03)
        c.line(box(-30, -10, 130, HIGH + 10), FAINT, 4)
    film(c, y, HIGH)
    film(c, y + 190, HIGH, 0.2)
    upright_tape(c, 480, inch + 5, 130)
    c.line([(330, y), (460, y)], "#b3261e", 8)
    c.area([(474, y), (438, y - 20), (438, y + 20)], "#b3261e")
    c.line([(480, y), (540, y)], "#b3261e", 5)
