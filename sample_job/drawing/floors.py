"""What lies on the floor of a room in depth: mud, standing water, footprints."""

from __future__ import annotations

import math

from drawing.colours import WATER
from drawing.shapes import Point, oval
from drawing.sheet import Sheet
from drawing.solid import Eye, flat_side
from drawing.textures import wet_mud


def puddle(c: Sheet, eye: Eye, x: float, y: float, size: float) -> None:
    """Draw standing water on a floor."""
    angles = [math.tau * n / 48 for n in range(48)]
    ring = [(a, size * (1 + 0.2 * math.sin(2 * a + y) + 0.1 * math.sin(5 * a + x))) for a in angles]
    outline = eye.see([(x + r * math.cos(a), y + r * math.sin(a), 0) for a, r in ring])
    c.area(outline, "#2e2419", 0.6, soft=4, rough=0)
    c.area(outline, WATER, 0.85, rough=0.05, cell=40, soft=2)
    c.area(outline, "#dfe3e0", 0.5, down=(1, 0), patchy=0.6, cell=70, soft=4)


def footprints(c: Sheet, eye: Eye, start: Point, stride: Point) -> None:
    """Draw footprints in mud."""
    for n in range(7):
        x, y = start[0] + stride[0] * n + 0.5 * (n % 2), start[1] + stride[1] * n
        sole = eye.see([(px, py, 0) for px, py in oval(x, y, 0.18, 0.4)])
        c.area(sole, "#2d2116", 0.6, soft=1, rough=0.2)


def mud_floor(c: Sheet, eye: Eye, size: Point) -> None:
    """Cover the floor of a room of that length and breadth with mud."""
    long, broad = size
    wet_mud(c, eye.see(flat_side((0, 0, 0), (long, broad, 0), 2, 0)))
    for x, y, wide in ((0.4, 0.62, 1.0), (0.66, 0.5, 0.8), (0.72, 0.22, 0.8), (0.24, 0.5, 0.7)):
        puddle(c, eye, long * x, broad * y, wide)
    footprints(c, eye, (long * 0.3, broad * 0.2), (0.5, 0.7))
