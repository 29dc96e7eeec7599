"""The crawl space: its hatch from outside, its soil bare or under plastic sheet."""

from __future__ import annotations

from functools import partial

from drawing.colours import FAINT, SOIL, YELLOW
from drawing.floors import footprints, puddle
from drawing.people import gloved_hand, person
from drawing.shapes import box, move, oval, points_at, rounded, smooth
from drawing.sheet import HIGH, WIDE, Sheet
from drawing.solid import Block, Eye, Room, flat_side, room
from drawing.textures import bricks, film, ragged, wet_mud


def _bare_soil(c: Sheet, eye: Eye) -> None:
    """Draw the bare wet soil of a crawl space."""
    ground = eye.see(flat_side((0, 0, 0), (22, 18, 0), 2, 0))
    wet_mud(c, ground, SOIL)
    c.area(ground, "#2c2017", 0.4, rough=0.2)
    for x, y, wide in ((8.2, 3.4, 0.7), (13.6, 5, 0.8)):
        puddle(c, eye, x, y, wide)
    footprints(c, eye, (11, 2.2), (0.15, 0.9))


def _plastic_sheet(c: Sheet, eye: Eye) -> None:
    """Draw plastic sheet on the soil of a crawl space, with mud and water on it."""
    _bare_soil(c, eye)
    for left, right, tint in ((0.3, 9, "#b7c0c3"), (13, 21.7, "#aeb8bb"), (8.2, 13.8, "#c4ccce")):
        sheet = eye.see([(left, 0.3, 0), (right, 0.3, 0), (right - 0.3, 17.5, 0), (left, 17.5, 0)])
        c.shadow(sheet, 0, 8, 0.6)
        c.area(sheet, tint, 0.86, rough=0.08, cell=40)
        c.line([*sheet, sheet[0]], "#ffffffb0", 3)
        for _ in range(40):
            x, y = c.dice.uniform(left, right - 1.2), 1 + 15 * c.dice.random() ** 2
            slant, bump = c.dice.uniform(-0.3, 0.3), partial(c.dice.uniform, -0.07, 0.07)
            bends = [(x + n * 0.2, y + n * slant + bump(), 0.0) for n in range(7)]
            fold = eye.see(bends)[:7]
            c.line(fold, "#ffffff90", 2.2)
            c.line(move(fold, 0, 3), "#5f6a6e70")
    for _ in range(46):
        x, y, r = c.dice.uniform(2, 20), 1 + 13 * c.dice.random() ** 1.6, c.dice.uniform(0.2, 0.9)
        lump = [
            (px + c.dice.uniform(-r, r) * 0.4, py, 0.0) for px, py in oval(x, y, r, r * 0.8)[::5]
        ]
        wet_mud(c, smooth(eye.see(lump)))
    for x, y, wide in ((8.6, 3.4, 1.0), (13.4, 4.6, 1.2), (11, 8.4, 1.5), (18, 7.5, 1.4)):
        puddle(c, eye, x, y, wide)


_PIERS = [(x, y) for x in (2.6, 8.2, 14.6, 19) for y in (6, 12)]
CRAWL = Room(
    size=(22, 18, 3),
    walls="#8b8983",
    top="#6d5238",
    line=1.2,
    floor=_bare_soil,
    blocks=(
        *(Block((n * 1.4, 0, 2.5), (n * 1.4 + 0.18, 18, 3), "#8f6a45") for n in range(1, 16)),
        *(Block((0, y + 0.3, 2.05), (22, y + 1, 2.5), "#7d5b3b") for y in (6, 12)),
        *(Block((x, y, 0), (x + 1.3, y + 1.3, 2.05), "#a3a099", "brick") for x, y in _PIERS),
    ),
)


def crawl(c: Sheet, *, cover: bool) -> None:
    """Draw the crawl space, its soil under poly or bare."""
    parts = {**vars(CRAWL), "floor": _plastic_sheet if cover else _bare_soil}
    room(c, Room(**parts), Eye((11.1, 0.3, 1.5), (11.6, 18, 0.1)))
    c.area(box(0, 0, WIDE / 2, HIGH), "#0b0806", 0.6, across=(1, 0), rough=0)
    c.area(box(WIDE / 2, 0, WIDE, HIGH), "#0b0806", 0.6, across=(0, 1), rough=0)


def hatch(c: Sheet) -> None:
    """Draw a crawl-space hatch, a second person outside, a gas tester that reads 0 in front."""
    bricks(c, "#a8624a", 330, 98, 41)
    c.area(box(0, 330, WIDE, 640), "#a3a19b", rough=0.06)
    for row in range(3):
        y = 330 + row * 97
        c.line([(0, y), (WIDE, y)], FAINT, 3)
        for x in range(row % 2 * 115, WIDE, 230):
            c.line([(x, y), (x, y + 97)], FAINT, 3)
    film(c, 420, 640, 0.5)
    c.thing(box(350, 372, 720, 624), "#6f4a2c", 0.12)
    c.area(box(372, 392, 698, 624), "#14110f", rough=0.2)
    for x in range(372, 698, 92):
        c.area(box(x, 392, x + 24, 440), "#4a3422", 0.8)
    c.area(points_at("372,624 698,624 620,560 450,560"), "#3d3024", rough=0.2)
    wet_mud(c, [*ragged(c, 0, WIDE, 624, 5), (WIDE, HIGH), (0, HIGH)])
    c.flecks([(0, 634), (WIDE, 745)], 160, "#5f7a3f", 7)
    person(c, 190, 700, 1.32)
    arm = points_at("850,610 960,560 1044,620 1044,800 820,800")
    c.area(arm, "#c4681f", rough=0.1, cell=20)
    c.thing(rounded(770, 390, 950, 800, 24), YELLOW)
    c.thing(rounded(825, 364, 895, 398, 8), "#2b2d2f")
    c.area(rounded(782, 402, 938, 800, 18), "#3a3d40")
    c.area(rounded(796, 428, 924, 536, 8), "#b9c7a5", rough=0.02)
    c.words(860, 482, "0", 92, "#1d261a")
    gloved_hand(c, 770, 566, 180)
