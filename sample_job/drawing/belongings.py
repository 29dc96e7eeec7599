"""Belongings that can be saved: wet photographic prints in an album, in bags, in a freezer."""

from __future__ import annotations

from drawing.colours import BLACK, DARK, PAPER, SILT
from drawing.shapes import box, move, oval, points_at, rounded, smooth, turn
from drawing.sheet import WHOLE, WIDE, Sheet
from drawing.textures import planks, wet_mud

# Small invented pictures on the prints: colour and outline, in hundredths of the print.
PRINTS = (
    (
        "#8fb4cf 0,0 100,0 100,100 0,100",
        "#5f7f58 0,55 30,30 60,52 85,36 100,50 100,100 0,100",
        "#3f6f94 0,66 100,66 100,100 0,100",
        "#e9e2cf 48,70 48,40 66,68",
        "#8b4a2f 38,72 72,72 66,80 44,80",
    ),
    (
        "#d9c58f 0,0 100,0 100,100 0,100",
        "#7c9457 0,62 100,62 100,100 0,100",
        "#a84d3b 22,44 50,18 78,44",
        "#efe6d2 28,44 72,44 72,80 28,80",
        "#5c4633 44,56 56,56 56,80 44,80",
    ),
    (
        "#b7c7a4 0,0 100,0 100,100 0,100",
        "#6f8a4d 0,70 100,70 100,100 0,100",
        "#b0503e 24,95 30,48 44,48 50,95",
        "#4a5f86 54,95 60,56 74,56 80,95",
        "#d2a078 37,25 45,30 45,42 37,47 29,42 29,30",
        "#d2a078 67,35 74,39 74,51 67,55 60,51 60,39",
    ),
    (
        "#e7b977 0,0 100,0 100,100 0,100",
        "#f6e3a4 68,22 79,27 82,38 79,49 68,54 57,49 54,38 57,27",
        "#7d5a78 0,62 34,34 62,64 100,48 100,100 0,100",
        "#4d3a50 0,84 50,70 100,82 100,100 0,100",
    ),
)


def _wet_print(c: Sheet, kind: int, x: float, y: float, angle: float) -> None:
    """Draw a wet photographic print, 210 by 150, round a centre and turned."""
    paper = turn(box(x - 105, y - 75, x + 105, y + 75), angle, (x, y))
    c.thing(paper, PAPER)
    for row in PRINTS[kind]:
        colour, outline = row.split(" ", 1)
        inside = [(x - 95 + px * 1.9, y - 65 + py * 1.3) for px, py in points_at(outline)]
        c.area(turn(inside, angle, (x, y)), colour, rough=0.06, cell=16)
    c.area(paper, "#c4a6a0", 0.6, cell=26, patchy=1.0)
    c.area(paper, SILT, 0.9, down=(0, 1), cell=18, patchy=0.8)


def album(c: Sheet) -> None:
    """Draw a wet album with prints that stick together."""
    planks(c, 128)
    c.thing(rounded(84, 76, 940, 690, 14), "#6f2f2b", 0.12)
    for left, fall in ((104, (0, 1)), (514, (1, 0))):
        page = rounded(left, 92, left + 406, 672, 8)
        c.area(page, "#ddd0b2", rough=0.08, cell=40)
        c.area(page, "#4a3722", 0.55, across=fall, rough=0)
        c.area(page, SILT, 0.7, down=(0, 1), cell=60, patchy=0.6)
    places = points_at("300,220 345,342 280,500 695,216 742,340 690,500")
    for n, (angle, place) in enumerate(zip((-6, 5, -3, 4, -7, 3), places, strict=True)):
        _wet_print(c, n % 4, *place, angle)
    for px, py, wide, high in ((270, 664, 190, 46), (760, 672, 190, 38), (100, 300, 36, 170)):
        ring = [(a + c.dice.uniform(-16, 16), b) for a, b in oval(px, py, wide, high)[::2]]
        wet_mud(c, smooth([(a, b + c.dice.uniform(-12, 12)) for a, b in ring]))
    for _ in range(90):
        x, y, r = c.dice.uniform(120, 910), c.dice.uniform(110, 650), c.dice.uniform(3, 11)
        c.area(oval(x, y + r * 0.3, r, r * 0.9), BLACK, 0.35, rough=0)
        c.area(oval(x, y, r, r * 0.85), "#dfe8ea", 0.6, rough=0)
        c.area(oval(x - r * 0.3, y - r * 0.3, r * 0.3, r * 0.22), "#ffffff", rough=0)


def bagged(c: Sheet) -> None:
    """Draw the same prints in flat clear bags with paper between, and a blank label."""
    planks(c, 128)
    spots = ((190, 195, -4), (515, 185, 2), (835, 200, 5), (195, 535, 3), (520, 540, -3))
    for n, (x, y, angle) in enumerate(spots):
        middle = (x, y)
        for by in (12, 0):
            sheet = box(x - 140 + by, y - 112 + by, x + 140 + by, y + 128 + by)
            c.thing(turn(sheet, angle + by / 2, middle), "#f6f4ec", 0.03)
        _wet_print(c, n % 4, x, y + 14, angle)
        bag = turn(rounded(x - 130, y - 128, x + 130, y + 120, 10), angle, middle)
        c.area(bag, "#dcebf0", 0.25)
        c.line([*bag, *bag[:2]], "#ffffff", 3)
        c.line(move([*bag, *bag[:2]], 2, 3), "#3f5a6a70", 1.5)
        zipper = turn(box(x - 128, y - 116, x + 128, y - 100), angle, middle)
        c.area(zipper, "#4f8fb5", 0.9)
        for gap in (-84, 40):
            glint = turn(box(x + gap, y - 90, x + gap + 16, y + 100), angle + 14, middle)
            c.area(glint, "#ffffff", 0.45, soft=3, rough=0)
    c.thing(turn(rounded(715, 440, 955, 620, 10), 4, (835, 530)), "#fbfaf5", 0.02)
    c.area(turn(box(717, 450, 953, 482), 4, (835, 530)), "#b3433a")
    for y in (520, 554, 588):
        c.line(turn([(740, y), (930, y)], 4, (835, 530)), "#7f8a92")


def freezer(c: Sheet) -> None:
    """Draw a freezer drawer with flat bags, and a dial thermometer among them."""
    c.area(WHOLE, "#dfe9ee", rough=0.03, cell=80)
    c.area(box(0, 0, WIDE, 140), "#7f9cad", down=(1, 0))
    c.area(box(0, 30, WIDE, 150), "#ffffff", 0.9, cell=26, patchy=0.7, down=(0, 1))
    c.thing(points_at("110,120 914,120 1010,640 14,640"), "#c3d6e0")
    c.area(points_at("140,140 884,140 966,620 58,620"), "#7693a3")
    for n in range(12):
        row, column = divmod(n, 4)
        wide, y = 172 + row * 22, 160 + row * 148
        x = 512 + (column - 1.5) * (wide + 6) - wide / 2
        c.thing(
            turn(rounded(x, y, x + wide, y + 136, 16), c.dice.uniform(-4, 4), (x, y)), "#e9f1f4"
        )
        for line in PRINTS[(column + row) % 4]:
            colour, outline = line.split(" ", 1)
            scaled = [
                (x + wide * (0.16 + a * 0.0068), y + 30 + b * 0.88) for a, b in points_at(outline)
            ]
            c.area(scaled, colour, 0.75)
        c.area(box(x + 8, y + 10, x + wide - 8, y + 20), "#4f8fb5", 0.8)
        c.area(rounded(x, y, x + wide, y + 136, 16), "#ffffff", 0.6, cell=22, patchy=0.9)
    c.thing(rounded(-10, 640, WIDE + 10, 800, 10), "#eef3f5", 0.02)
    c.area(box(0, 640, WIDE, 668), BLACK, 0.2, down=(1, 0), rough=0)
    c.area(rounded(352, 684, 672, 720, 16), "#a9bac4")
    _dial(c, 690, 350, reading=-2)


def _dial(c: Sheet, x: float, y: float, reading: float) -> None:
    """Draw a dial thermometer from -20 to 20 F."""
    c.thing(oval(x, y, 172, 172), "#8c9599")
    c.area(oval(x, y, 160, 160), "#d5dbdd")
    c.area(oval(x, y, 150, 150), "#fbfbf8", rough=0.01)
    c.line(oval(x, y, 132, 132, (135, 270)), "#4f8fb5", 12)
    c.line(oval(x, y, 132, 132, (270, 405)), "#c9503c", 12)
    for degrees in range(-20, 21, 2):
        tens, angle = degrees % 10 == 0, degrees * 6.75
        tick = [(x, y - 124), (x, y - (98 if tens else 112))]
        c.line(turn(tick, angle, (x, y)), "#1c1a16", 5 if tens else 2.5)
        if tens:
            c.words(*turn([(x, y - 76)], angle, (x, y))[0], str(degrees), 30)
    c.words(x, y + 74, "°F", 40)
    needle = turn([(x - 6, y + 34), (x, y - 118), (x + 6, y + 34)], reading * 6.75, (x, y))
    c.thing(needle, "#b3261e", 0)
    c.area(oval(x, y, 14, 14), DARK)
