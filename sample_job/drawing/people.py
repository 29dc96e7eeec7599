"""The crew: one of them in full gear, a gloved hand, and a thumb over the lens."""

from __future__ import annotations

from drawing.colours import BLACK, DARK, GLOVE, MUD, SUIT, WATER, YELLOW
from drawing.shapes import box, oval, points_at, rounded, turn
from drawing.sheet import HIGH, WHOLE, WIDE, Sheet
from drawing.textures import film, planks, siding, wet_mud


def person(c: Sheet, x: float, foot: float, scale: float) -> None:
    """Draw a member of the crew from the front, in full gear, 430 units tall."""
    c.origin(x, foot, scale)
    c.area(oval(6, 0, 92, 13), BLACK, 0.5, soft=5, rough=0)
    for way in (-1, 1):
        for shape, colour in (
            ("4,-190 52,-195 46,-60 8,-60", SUIT),
            ("4,-84 50,-84 50,-20 66,-4 6,-4", "#3c5a3a"),
            ("6,-10 68,-10 68,0 6,0", DARK),
            ("6,-80 48,-80 48,-73 6,-73", "#e8dfc8"),
            ("50,-318 74,-300 98,-182 70,-176 44,-270", "#56708a"),
        ):
            c.area([(px * way, py) for px, py in points_at(shape)], colour)
        c.flecks([(way * 10, -50), (way * 48, -6)], 30, MUD)
        glove = rounded(way * 84 - 18, -192, way * 84 + 18, -138, 15)
        c.area(turn(glove, -way * 10, (way * 84, -166)), GLOVE)
    c.area(points_at("-58,-312 -30,-330 30,-330 58,-312 54,-180 -54,-180"), SUIT)
    c.area(points_at("0,-330 58,-312 54,-180 14,-180"), BLACK, 0.14, rough=0)
    for y in (-262, -212):
        c.area(box(-55, y - 8, 55, y + 8), YELLOW)
    c.line([(0, -326), (0, -184)], "#22303c99")
    _head(c)
    c.origin()


def _head(c: Sheet) -> None:
    """Draw the head of a person: mask, goggles, hard hat."""
    for shape, colour in (
        (box(-15, -345, 15, -322), "#c9946f"),
        (oval(0, -368, 34, 42), "#c9946f"),
        (oval(0, -351, 29, 25), "#f3f1ea"),
        (oval(0, -351, 29, 25, (0, 180)), "#dedbd2"),
        (rounded(-36, -389, 36, -367, 9), "#39424a"),
        (rounded(-29, -386, 29, -370, 7), "#9fd0dd"),
        (oval(0, -390, 41, 40, (180, 360)), YELLOW),
        (rounded(-47, -396, 47, -387, 4), "#d6a81d"),
        (box(-5, -430, 5, -398), "#d6a81d"),
    ):
        c.area(shape, colour, rough=0.04)
    c.line(points_at("-33,-368 -20,-356 20,-356 33,-368"), "#bdb8aa", 1.5)


def gloved_hand(c: Sheet, x: float, y: float, wide: float) -> None:
    """Draw the gloved fingers and thumb that hold a thing of that width from its right."""
    for top in range(0, 184, 46):
        finger = rounded(x + wide * 0.42, y + top, x + wide + 40, y + top + 44, 20)
        c.thing(finger, GLOVE, 0.1, 16)
    c.thing(turn(rounded(x - 26, y + 10, x + 26, y + 120, 25), 14, (x, y + 60)), GLOVE, 0.1, 16)


def crew(c: Sheet) -> None:
    """Draw one of the crew in full gear at a door."""
    siding(c, "#cfd3cd")
    c.thing(box(250, 60, 560, 690), "#f4f1e8")
    c.area(box(274, 84, 536, 690), "#4d6b5a", rough=0.06)
    for x, y0, y1 in ((300, 110, 330), (415, 110, 330), (300, 360, 640), (415, 360, 640)):
        c.area(box(x, y0, x + 95, y1), BLACK, 0.18, rough=0)
        c.line([(x, y1), (x + 95, y1), (x + 95, y0)], "#ffffff50", 2.5)
    c.area(oval(296, 400, 11, 11), "#d8b75c", rough=0.2)
    c.thing(rounded(800, 150, 850, 230, 8), "#3a3a3a")
    c.area(rounded(808, 165, 842, 222, 6), "#efe3b8")
    film(c, 478, 700)
    wet_mud(c, box(0, 690, WIDE, HIGH))
    c.area(box(0, 684, WIDE, 702), BLACK, 0.4, soft=3, rough=0)
    person(c, 610, 742, 1.5)


def thumb(c: Sheet) -> None:
    """Draw a useless picture: a blurred floor and a thumb over the lens."""
    planks(c, 150)
    c.area(WHOLE, MUD, 0.8, patchy=0.8, cell=90, rough=0.3)
    c.area(oval(300, 260, 190, 70), WATER)
    c.blur(16)
    for less, soft, tint in ((0, 22, "#b97e5c"), (50, 36, "#d79b77"), (130, 50, "#e4b292")):
        tip = turn(rounded(560 + less, 130 + less, 1500, 720 - less, 150), 24, (1024, 500))
        c.area(tip, tint, soft=soft)
    c.area(oval(980, 640, 260, 200), "#8c3f2c", 0.5, soft=60, rough=0)
