"""Outside the house: the meter box, and the weep holes at the foot of its brick walls."""

from __future__ import annotations

from drawing.colours import BLACK, SILT, SOIL, STEEL, WATER
from drawing.shapes import box, oval, points_at, rounded, smooth, turn
from drawing.sheet import HIGH, WIDE, Sheet
from drawing.textures import bricks, film, ragged, siding, wet_mud


def meter(c: Sheet) -> None:
    """Draw an outdoor meter box without its meter, its main off and tagged."""
    siding(c, "#bcc9cf")
    film(c, 650, HIGH)
    for y0, y1 in ((0, 130), (640, HIGH)):
        c.thing(box(455, y0, 501, y1), STEEL)
        c.area(box(455, y0, 501, y1), BLACK, 0.4, across=(0, 1), rough=0)
    c.thing(rounded(350, 100, 606, 390, 12), "#a4acaf")
    c.thing(rounded(366, 400, 590, 660, 8), "#a4acaf")
    for r, tint in ((112, "#c5cccf"), (98, "#7a8184"), (92, "#1f2326")):
        c.area(oval(478, 246, r, r), tint)
    for x, y in ((430, 200), (510, 200), (430, 270), (510, 270)):
        c.area(rounded(x, y, x + 18, y + 38, 4), "#b98f4a", rough=0.15)
        c.line([(x + 9, y + 4), (x + 9, y + 34)], "#3a2a12", 3)
    c.thing(points_at("366,404 366,656 196,694 196,426"), "#8f989c", 0.07)
    c.area(box(384, 418, 574, 644), "#2c3033")
    c.area(rounded(420, 448, 538, 616, 8), "#17181a")
    c.area(rounded(444, 540, 514, 606, 6), "#cf4a34")
    c.area(rounded(444, 462, 514, 536, 6), "#0b0c0d")
    tag = turn(points_at("630,520 710,520 745,550 745,716 595,716 595,550"), 5, (670, 530))
    c.thing(tag, "#f6f2e6", 0.03)
    c.line([*tag, *tag[:2]], "#b3261e", 8)
    c.area(oval(670, 544, 10, 10), "#3a3a3a")
    wire = oval(575, 545, 95, 70, (165, 0))
    c.line(wire, "#3a3a3a", 6)
    c.line(wire, "#e4e0d4", 3)
    c.words(664, 638, "OFF", 60, "#b3261e")


def weep(c: Sheet, colour: str, *, clear: bool) -> None:
    """Draw the foot of a brick wall, its weep holes plugged with mud or clear."""
    c.dice.seed(colour)  # another wall, other bricks
    bricks(c, colour, 500, 170, 66)
    film(c, 70, 500, 0.4)
    c.area(box(0, 500, WIDE, 640), "#9b9892", rough=0.1, cell=20)
    c.area(box(0, 500, WIDE, 640), SILT, 0.6, down=(0.3, 1), cell=40)
    c.area(box(0, 500, WIDE, 522), BLACK, 0.4, down=(1, 0), rough=0)
    wet_mud(c, [*ragged(c, 0, WIDE, 630, 7), (WIDE, HIGH), (0, HIGH)], SOIL)
    c.flecks([(0, 640), (WIDE, 745)], 160, "#6c7f45", 6)
    for x in (170, 510, 850):
        c.origin(x, 500)
        c.area(box(-19, -64, 19, 0), "#0d0b0a", rough=0)
        if clear:
            c.area(points_at("-14,-4 14,-4 36,136 -32,140"), "#2e2218", 0.7, soft=4, rough=0.2)
            c.line(points_at("0,-2 3,60 1,134"), "#dfe6e680", 4)
            c.area(oval(2, 150, 70, 14), WATER, rough=0.1, soft=1)
        else:
            plug = smooth(
                points_at("-17,-62 2,-50 17,-60 16,-24 36,12 16,30 -24,28 -34,10 -16,-26")
            )
            c.shadow(plug, 3, 5)
            wet_mud(c, plug, "#866a4a")
    c.origin()
