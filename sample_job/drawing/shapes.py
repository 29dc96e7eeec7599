"""Outlines: points of boxes, ovals and the like, and how to turn, move and soften them."""

from __future__ import annotations

import math
from collections.abc import Sequence

Point = tuple[float, float]
Points = Sequence[Point]


def points_at(text: str) -> list[Point]:
    """Return the points of a text such as `10,20 30,40`."""
    pairs = (pair.split(",") for pair in text.split())
    return [(float(x), float(y)) for x, y in pairs]


def box(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    """Return the corners of an upright box."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def oval(x: float, y: float, across: float, down: float, part: Point = (0, 360)) -> list[Point]:
    """Return an ellipse round a centre, or the part of it between two angles (0 is right)."""
    angles = (math.radians(part[0] + (part[1] - part[0]) * n / 48) for n in range(49))
    return [(x + across * math.cos(a), y + down * math.sin(a)) for a in angles]


def rounded(x0: float, y0: float, x1: float, y1: float, r: float) -> list[Point]:
    """Return a box with round corners."""
    middles = ((x1 - r, y1 - r), (x0 + r, y1 - r), (x0 + r, y0 + r), (x1 - r, y0 + r))
    arcs = (oval(x, y, r, r, (n * 90, n * 90 + 90)) for n, (x, y) in enumerate(middles))
    return [point for arc in arcs for point in arc[::6]]


def turn(points: Points, degrees: float, about: Point) -> list[Point]:
    """Return points turned about another point, clockwise."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    apart = [(x - about[0], y - about[1]) for x, y in points]
    return [(about[0] + x * cos - y * sin, about[1] + x * sin + y * cos) for x, y in apart]


def move(points: Points, x: float, y: float) -> list[Point]:
    """Return points moved by so much."""
    return [(px + x, py + y) for px, py in points]


def smooth(points: Points) -> list[Point]:
    """Return an outline with its corners cut twice."""
    for _ in range(2):
        pairs = list(zip(points, [*points[1:], points[0]], strict=True))
        shares = [(a, b, t) for a, b in pairs for t in (0.25, 0.75)]
        points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b, t in shares]
    return list(points)
