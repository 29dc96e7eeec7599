"""The house from outside: two corners of it, its front door, and the gas line at its wall."""

from __future__ import annotations

from drawing.colours import BLACK, DARK, GLASS, SOIL, STEEL, WATER, tone
from drawing.shapes import box, oval, points_at, rounded
from drawing.sheet import HIGH, WIDE, Sheet
from drawing.textures import bricks, film, ragged, siding, wet_mud

BRICK = "#a8573f"


def _window(c: Sheet, x0: float, y0: float, x1: float, y1: float) -> None:
    c.thing(box(x0 - 10, y0 - 10, x1 + 10, y1 + 14), "#e8e6dc")
    c.area(box(x0, y0, x1, y1), GLASS, rough=0.08, cell=40, down=(1, 0.6))
    c.line([((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1)], "#e8e6dc", 7)
    c.line([(x0, (y0 + y1) / 2), (x1, (y0 + y1) / 2)], "#e8e6dc", 7)


def corner(c: Sheet, *, door: bool) -> None:
    """Draw one corner of the house, with the mark of the water along two of its walls."""
    bricks(c, BRICK, 610, 58, 24)
    c.thing(points_at("0,0 1024,0 1024,150 640,215 0,130"), "#5c5a57", 0.12, 20)
    c.area(points_at("640,215 1024,150 1024,610 640,640"), BLACK, 0.32, rough=0.05, cell=60)
    film(c, 455, 620, 0.7)
    for x in (90, 330):
        _window(c, x, 250, x + 120, 400)
    if door:
        c.thing(box(486, 232, 590, 606), "#3f5f57")
        c.area(oval(574, 430, 7, 9), "#d8b458")
        c.area(box(486, 470, 590, 606), SOIL, 0.5, rough=0.2)
    else:
        _window(c, 780, 235, 880, 380)
    wet_mud(c, [*ragged(c, 0, WIDE, 612, 9), (WIDE, HIGH), (0, HIGH)], SOIL)
    c.area(oval(300, 705, 210, 26), WATER, 0.9, rough=0.1, soft=3)
    c.flecks([(0, 640), (WIDE, 750)], 190, "#6c7f45", 6)
    c.line([(640, 215), (640, 640)], "#00000060", 3)


def entrance(c: Sheet) -> None:
    """Draw the front door: nothing is posted on it, and mud stands on its lower half."""
    siding(c, "#c9c3b4")
    c.thing(box(290, 40, 740, 700), "#efece2")
    c.thing(box(330, 80, 700, 690), "#3f5f57", 0.06)
    for x0, x1 in ((370, 500), (530, 660)):
        for y0, y1 in ((120, 330), (380, 640)):
            c.area(box(x0, y0, x1, y1), tone("#3f5f57", 0.8), rough=0.05)
            c.line([*box(x0, y0, x1, y1), (x0, y0)], "#00000055", 3)
    c.thing(oval(668, 400, 15, 15), "#d8b458")
    c.area(rounded(440, 344, 590, 366, 6), "#b8a25a")
    film(c, 430, 720, 0.55)
    wet_mud(c, [*ragged(c, 0, WIDE, 700, 8), (WIDE, HIGH), (0, HIGH)], SOIL)
    c.thing(box(820, 170, 940, 250), "#2c3033")
    c.words(880, 210, "7", 58, "#e8e6dc")


def valve(c: Sheet) -> None:
    """Draw the gas meter at the wall, the lever of its valve across the pipe: shut."""
    bricks(c, BRICK, 690, 120, 50)
    film(c, 330, 690, 0.5)
    for x in (350, 650):
        c.thing(box(x - 18, 300, x + 18, 700), STEEL)
    c.thing(rounded(300, 120, 720, 360, 30), "#8d9794")
    c.thing(rounded(400, 160, 620, 250, 8), "#e9e6da")
    c.words(510, 205, "0412", 56, DARK)
    c.area(oval(510, 305, 30, 30), "#d9d6c9")
    c.thing(oval(350, 520, 44, 44), "#b98f4a")
    c.thing(rounded(240, 502, 460, 538, 10), "#c63a2b")
    c.thing(rounded(700, 470, 900, 600, 8), "#f6f2e6")
    c.line([(500, 530), (700, 500)], "#3a3a3a", 4)
    c.words(800, 535, "SHUT", 58, "#b3261e")
    wet_mud(c, [*ragged(c, 0, WIDE, 690, 8), (WIDE, HIGH), (0, HIGH)], SOIL)
