"""A room in depth: an eye, flat sides and boxes in feet, drawn from the farthest to the nearest."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from drawing.colours import BLACK, DARK, FAINT, MUD, SILT, tone
from drawing.shapes import Point
from drawing.sheet import HIGH, WIDE, Sheet

Spot = tuple[float, float, float]  # feet: along the room, across it, above its floor


@dataclass(frozen=True)
class Eye:
    """Where a picture of a room is taken from, and what it is aimed at."""

    at: Spot
    aim: Spot

    def _turned(self, spot: Spot) -> Spot:
        """Return a spot as right, up and ahead of the viewer."""
        dx, dy, dz = (a - b for a, b in zip(spot, self.at, strict=True))
        ax, ay, az = (a - b for a, b in zip(self.aim, self.at, strict=True))
        level, far = math.hypot(ax, ay), math.hypot(ax, ay, az)
        right, along = (dx * ay - dy * ax) / level, (dx * ax + dy * ay) / level
        return right, (dz * level - along * az) / far, (along * level + dz * az) / far

    def see(self, spots: Sequence[Spot]) -> list[Point]:
        """Return the outline of a flat shape in the picture, cut off where it is behind."""
        near, seen = 0.3, []
        turned = [self._turned(spot) for spot in spots]
        for a, b in zip(turned, [*turned[1:], turned[0]], strict=True):
            if a[2] >= near:
                seen.append(a)
            if (a[2] >= near) != (b[2] >= near):
                t = (near - a[2]) / (b[2] - a[2])
                seen.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, near))
        return [(WIDE / 2 + 610 * r / a, HIGH / 2 - 610 * u / a) for r, u, a in seen]


@dataclass(frozen=True)
class Block:
    """A box in a room, from its lowest corner to its highest; `look` is a key of `LOOKS`."""

    low: Spot
    high: Spot
    colour: str
    look: str = ""


@dataclass(frozen=True)
class Room:
    """A room: its size in feet, its colours, its silt line, what is on its floor and in it."""

    size: Spot
    walls: str
    top: str
    line: float
    floor: Callable[[Sheet, Eye], None]
    blocks: tuple[Block, ...]


def flat_side(low: Spot, high: Spot, axis: int, at: float) -> list[Spot]:
    """Return the four corners of a box's side that lies at right angles to an axis."""
    u, v = (n for n in range(3) if n != axis)
    corners = []
    for a, b in ((low[u], low[v]), (high[u], low[v]), (high[u], high[v]), (low[u], high[v])):
        spot = {axis: at, u: a, v: b}
        corners.append((spot[0], spot[1], spot[2]))
    return corners


def _part(side: Sequence[Spot], u: Point, v: Point) -> list[Spot]:
    """Return a part of a side: from one share of its width and height to another."""
    found, (a, b, _, d) = [], side
    for across, up in ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])):
        x, y, z = (p + (q - p) * across + (r - p) * up for p, q, r in zip(a, b, d, strict=True))
        found.append((x, y, z))
    return found


def _doors(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw cupboard doors on a side, about as wide as doors are; a tall side is one door."""
    wide, high = math.dist(side[0], side[1]), math.dist(side[0], side[3])
    count, tall = max(1, round(wide / 1.4)), high > 5  # noqa: PLR2004
    count = 1 if tall else count
    for n in range(count):
        ends = ((n + 0.1) / count, (n + 0.9) / count)
        for v in ((0.07, 0.43), (0.53, 0.93)) if tall else ((0.07, 0.93),):
            door = eye.see(_part(side, ends, v))
            c.area(door, BLACK, 0.13, rough=0)
            c.line([*door, *door[:1]], FAINT, 1.5)
        knob = (ends[1] - 0.1 / wide, ends[1])
        c.area(eye.see(_part(side, knob, (0.45, 0.5) if tall else (0.5, 0.62))), DARK)


def _courses(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw the joints of bricks on a side."""
    wide, high = math.dist(side[0], side[1]), math.dist(side[0], side[3])
    rows, columns = max(1, round(high / 0.3)), max(1, round(wide / 0.8))
    for row in range(rows):
        low, up = row / rows, (row + 1) / rows
        c.line(eye.see(_part(side, (0, 1), (low, low)))[:2], "#d8cdbb90", 1.6)
        for n in range(columns):
            u = (n + (row % 2) / 2) / columns
            c.line(eye.see(_part(side, (u, u), (low, up)))[1:3], "#d8cdbb90", 1.6)


LOOKS = {"doors": _doors, "brick": _courses}


def _side(c: Sheet, eye: Eye, side: Sequence[Spot], axis: int, of: Block, line: float) -> None:
    """Draw one side of a block or a room, with the mud on it up to the silt line."""
    outline = eye.see(side)
    c.area(outline, tone(of.colour, (0.9, 0.78, 1.06)[axis]), rough=0.04, cell=40)
    low, high = side[0][2], side[2][2]
    if axis == 2 and 0 < low < line:  # noqa: PLR2004 - the top of a block that was under water
        c.area(outline, SILT, 0.8, rough=0.14, cell=26)
    if high > low:
        if of.look:
            LOOKS[of.look](c, eye, side)
        share, thin = min(1, (line - low) / (high - low)), 0.14 / (high - low)
        if share > 0:
            film = eye.see(_part(side, (0, 1), (0, share)))
            c.area(film, SILT, 0.72, rough=0.14, cell=26)
            c.area(film, MUD, 0.5, down=(0, 1))
        if 0 < share < 1:
            band = eye.see(_part(side, (0, 1), (share - thin, share)))
            c.area(band, MUD, rough=0.25, cell=14, soft=0.8)
    c.line([*outline, *outline[:1]], "#0000003a", 1.2)


def _may_hide(eye: Eye, front: Block, back: Block) -> bool:
    """Tell whether a block may hide a part of another from the viewer."""
    return not any(
        (front.high[n] <= back.low[n] and eye.at[n] >= front.high[n])
        or (front.low[n] >= back.high[n] and eye.at[n] <= front.low[n])
        for n in range(3)
    )


def room(c: Sheet, which: Room, eye: Eye) -> None:
    """Draw a room: walls, floor, then its blocks from the farthest to the nearest."""
    zero, shell = (0.0, 0.0, 0.0), Block((0, 0, 0), which.size, which.walls)
    c.area(eye.see(flat_side(zero, which.size, 2, which.size[2])), which.top, rough=0.03, cell=80)
    for axis, at in ((0, 0), (0, which.size[0]), (1, 0), (1, which.size[1])):
        wall = flat_side(zero, which.size, axis, at)
        _side(c, eye, wall, axis, shell, which.line)
        c.area(eye.see(_part(wall, (0, 1), (0, 0.06))), BLACK, 0.3, soft=3, rough=0)
    which.floor(c, eye)
    c.dice.seed("blocks")  # the same whatever the floor is
    left = list(which.blocks)
    while left:
        clear = (a for a in left if not any(_may_hide(eye, a, b) for b in left if b is not a))
        block = next(clear, left[0])
        left.remove(block)
        for axis in (2, 0, 1):
            for at, way in ((block.low[axis], -1), (block.high[axis], 1)):
                if (eye.at[axis] - at) * way > 0:
                    side = flat_side(block.low, block.high, axis, at)
                    _side(c, eye, side, axis, block, which.line)
