"""What covers walls and ground: siding, boards, bricks, wet mud, and the film below a silt line."""

from __future__ import annotations

import math

from drawing.colours import BLACK, FAINT, MUD, SILT, tone
from drawing.shapes import Point, Points, box, rounded
from drawing.sheet import HIGH, WHOLE, WIDE, Sheet


def ragged(c: Sheet, x0: float, x1: float, y: float, jitter: float) -> list[Point]:
    """Return points from one side to the other along an uneven level line."""
    return [(x0 + (x1 - x0) * n / 40, y + c.dice.uniform(-jitter, jitter)) for n in range(41)]


def film(c: Sheet, y0: float, y1: float, alpha: float = 0.75) -> None:
    """Draw what muddy water left on a wall: a film below its silt line, and the line."""
    edge = ragged(c, 0, WIDE, y0, 3)
    c.area([*edge, (WIDE, y1), (0, y1)], SILT, alpha, rough=0.12, cell=50, soft=1)
    c.area([*edge, (WIDE, y1), (0, y1)], MUD, alpha, rough=0.15, cell=30, down=(0, 0.9))
    for _ in range(34):
        x, long = c.dice.uniform(0, WIDE), c.dice.uniform(30, 120)
        c.line([(x, y0 + 8), (x, min(y1, y0 + long))], "#4e3b2844", c.dice.uniform(1, 4))
    band = [*edge, *ragged(c, WIDE, 0, y0 + 14, 4)]
    c.area(band, MUD, min(1, alpha + 0.2), rough=0.25, cell=12, soft=1.2)


def wet_mud(c: Sheet, points: Points, colour: str = MUD) -> None:
    """Draw wet mud: lumps, gloss and hollows."""
    c.area(points, colour, rough=0.24, cell=26, soft=1)
    c.area(points, "#d3c8b2", 0.26, cell=13, patchy=1.0, soft=2)
    c.area(points, "#33261a", 0.4, cell=20, patchy=0.95, soft=2)


def siding(c: Sheet, colour: str) -> None:
    """Cover the picture with lapped boards of a house wall."""
    c.area(WHOLE, colour, rough=0.04, cell=70)
    for y in range(0, HIGH, 44):
        c.area(box(0, y, WIDE, y + 14), BLACK, 0.28, down=(1, 0), rough=0)
        c.line([(0, y), (WIDE, y)], FAINT, 1.5)


def planks(c: Sheet, high: int) -> None:
    """Cover the picture with boards that run across it."""
    for y in range(0, HIGH, high):
        colour = tone("#8a6340", c.dice.uniform(0.88, 1.08))
        c.area(box(0, y, WIDE, y + high), colour, rough=0.08, cell=60)
        for _ in range(4):
            grain = ragged(c, 0, WIDE, y + c.dice.uniform(4, high - 4), 1.5)
            c.line(grain, "#3a220f28", c.dice.uniform(0.8, 2))
        c.line([(0, y), (WIDE, y)], "#2a190bb0", 2.5)


def bricks(c: Sheet, colour: str, foot: float, wide: float, high: float) -> None:
    """Draw courses of bricks from the top of the picture down to a level."""
    c.area(box(0, 0, WIDE, foot), "#b9ae9c", rough=0.06, cell=24)
    for row in range(math.ceil(foot / high)):
        y = foot - (row + 1) * high
        for n in range(-1, math.ceil(WIDE / wide) + 1):
            x = n * wide + (row % 2) * wide / 2
            brick = rounded(x + 5, y + 5, x + wide - 5, y + high - 5, 4)
            c.area(brick, tone(colour, c.dice.uniform(0.84, 1.14)), rough=0.08, cell=24)
            c.line([(x + 6, y + high - 5), (x + wide - 6, y + high - 5)], FAINT)
