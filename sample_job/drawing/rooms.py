"""The rooms of the house as blocks: kitchen, den, and the hall with its stairs."""

from __future__ import annotations

from functools import partial

from drawing.colours import DARK, GLASS, PLASTER, STEEL, WOOD
from drawing.floors import mud_floor
from drawing.sheet import Sheet
from drawing.solid import Block, Eye, Room, room


def _table(x0: float, y0: float, x1: float, y1: float, high: float) -> tuple[Block, ...]:
    """Return a table: its four legs and its top."""
    feet = [(x, y) for x in (x0 + 0.1, x1 - 0.3) for y in (y0 + 0.1, y1 - 0.3)]
    legs = (Block((x, y, 0), (x + 0.2, y + 0.2, high - 0.15), WOOD) for x, y in feet)
    return (*legs, Block((x0, y0, high - 0.15), (x1, y1, high), WOOD))


def _books() -> tuple[Block, ...]:
    """Return a bookcase against the wall at the start of a room."""
    tints = ("#8c3f34", "#4a6274", "#b58b3c", "#5c7350", "#d6c9ab", "#6a4f6b")
    found = [Block((0, 3, 0), (1, 7, 6.6), "#7d5836")]
    for shelf in range(4):
        z = 0.3 + shelf * 1.56
        found.append(Block((1, 3.15, z), (1.02, 6.85, z + 1.4), "#3a281a"))
        for n in range(9 if shelf % 2 else 7):
            y, high = 3.25 + n * 0.38, 0.85 + 0.13 * ((n * 5 + shelf * 3) % 4)
            found.append(Block((1.02, y, z), (1.08, y + 0.3, z + high), tints[(n * 7 + shelf) % 6]))
    return tuple(found)


KITCHEN = Room(
    size=(12, 10, 8),
    walls=PLASTER,
    top="#efece2",
    line=28 / 12,
    floor=partial(mud_floor, size=(12, 10)),
    blocks=(
        Block((0, 8.3, 0), (8.5, 10, 0.3), DARK),
        Block((0, 8, 0.3), (8.5, 10, 2.9), "#f0ece0", "doors"),
        Block((0, 7.9, 2.9), (8.6, 10, 3.05), "#5f5c58"),
        Block((4, 8.3, 3.05), (5.8, 9.5, 3.08), "#b9c1c4"),
        Block((4.84, 9.6, 3.05), (5, 9.7, 4.2), "#c6cdd0"),
        Block((4.84, 9.0, 4.06), (5, 9.6, 4.2), "#c6cdd0"),
        Block((0, 8.9, 4.9), (3.2, 10, 7.2), "#f0ece0", "doors"),
        Block((6.6, 8.9, 4.9), (8.5, 10, 7.2), "#f0ece0", "doors"),
        Block((3.7, 9.95, 4.5), (6.1, 10, 7.1), "#f8f6f0"),
        Block((3.85, 9.93, 4.65), (4.82, 9.95, 6.95), GLASS),
        Block((4.98, 9.93, 4.65), (5.95, 9.95, 6.95), GLASS),
        Block((9.8, 3.3, 0), (12, 5.8, 3), "#e4e4e0"),
        Block((9.77, 3.6, 0.8), (9.8, 5.5, 2.1), "#2b2c2e"),
        Block((9.7, 3.6, 2.45), (9.8, 5.5, 2.55), STEEL),
        *(Block((x, y, 3), (x + 0.6, y + 0.8, 3.03), DARK) for x in (10, 10.9) for y in (3.5, 4.8)),
        Block((11.7, 3.3, 3), (12, 5.8, 3.9), "#d8d8d4"),
        Block((10.6, 3.3, 5.6), (12, 5.8, 6.2), STEEL),
        Block((9.5, 0.2, 0), (12, 3, 5.9), "#c9d2d4"),
        Block((9.42, 0.22, 0.15), (9.5, 2.98, 3.8), "#d3dbdd"),
        Block((9.42, 0.22, 3.9), (9.5, 2.98, 5.85), "#d3dbdd"),
        Block((9.3, 2.65, 2.6), (9.42, 2.78, 3.6), "#7b8488"),
        Block((9.3, 2.65, 4.1), (9.42, 2.78, 5), "#7b8488"),
        *_table(4.2, 3, 6.4, 5, 2.5),
        Block((5, 0, 0), (7.8, 0.06, 6.9), "#f8f6f0"),
        Block((5.2, 0.06, 0), (7.6, 0.1, 6.7), "#9c7a55", "doors"),
        Block((0, 2.6, 4), (0.06, 4.6, 5.6), WOOD),
        Block((0.06, 2.8, 4.2), (0.08, 4.4, 5.4), "#cfd8c8"),
    ),
)

COUCH, CUSHION = "#55704f", "#6d8a64"
DEN = Room(
    size=(14, 12, 8),
    walls="#a9bcc0",
    top="#ece9e0",
    line=27 / 12,
    floor=partial(mud_floor, size=(14, 12)),
    blocks=(
        Block((12.6, 4, 0), (14, 9, 8), "#a5573f", "brick"),
        Block((12.56, 5.3, 0.4), (12.6, 7.7, 3.2), "#1b1715"),
        Block((12.2, 4.3, 4.2), (12.6, 8.7, 4.5), "#6f4a2c"),
        Block((11.5, 4.6, 0), (12.56, 8.4, 0.4), "#a5573f", "brick"),
        Block((12.3, 5.9, 4.5), (12.4, 7.1, 5.6), "#d9c48a"),
        Block((3, 9, 0.25), (9.5, 11.9, 1.4), COUCH),
        Block((3, 11.2, 1.4), (9.5, 11.9, 3.2), COUCH),
        Block((3, 9, 1.4), (3.6, 11.2, 2.2), COUCH),
        Block((8.9, 9, 1.4), (9.5, 11.2, 2.2), COUCH),
        Block((3.65, 9.05, 1.4), (6.2, 11.2, 1.8), CUSHION),
        Block((6.3, 9.05, 1.4), (8.85, 11.2, 1.8), CUSHION),
        Block((3.7, 10.8, 1.8), (6.2, 11.2, 2.9), CUSHION),
        Block((6.3, 10.8, 1.8), (8.8, 11.2, 2.9), CUSHION),
        Block((4.2, 11.94, 3.9), (8.2, 12, 7), "#f8f6f0"),
        Block((4.35, 11.92, 4.05), (6.15, 11.94, 6.85), GLASS),
        Block((6.25, 11.92, 4.05), (8.05, 11.94, 6.85), GLASS),
        *_table(5.4, 5, 8.6, 7, 1.5),
        *_books(),
        Block((6.6, 0, 0), (9.4, 0.06, 6.9), "#f8f6f0"),
        Block((6.8, 0.06, 0), (9.2, 0.1, 6.7), "#9c7a55", "doors"),
        Block((2, 0, 3.8), (5.2, 0.06, 6.4), WOOD),
        Block((2.2, 0.06, 4), (5, 0.08, 6.2), "#d8caa2"),
    ),
)

_STAIR = tuple((3.2 + n * 0.8, 0.64 * (n + 1)) for n in range(8))
HALL = Room(
    size=(10, 9, 8.4),
    walls="#d3bfa2",
    top="#efece2",
    line=27.5 / 12,
    floor=partial(mud_floor, size=(10, 9)),
    blocks=(
        *(Block((x, 6, 0), (x + 0.8, 9, z), "#b58a5c") for x, z in _STAIR),
        *(Block((x + 0.3, 6.05, z), (x + 0.4, 6.15, z + 2.6), "#f4f0e4") for x, z in _STAIR[:-1]),
        Block((2.8, 5.95, 0), (3.1, 6.25, 3.7), "#6f4a2c"),
        Block((0.3, 8.94, 0), (2.7, 9, 6.9), "#f8f6f0"),
        Block((0.5, 8.9, 0), (2.5, 8.94, 6.7), "#9c7a55", "doors"),
        Block((9.75, 2.3, 2.1), (10, 3.9, 4.7), "#8b9296"),
        Block((9.68, 2.42, 2.2), (9.75, 3.78, 4.6), "#a9b0b3"),
        Block((9.62, 3.5, 3.3), (9.68, 3.62, 3.6), DARK),
        Block((9.85, 3, 4.7), (10, 3.15, 8.4), "#7d8386"),
    ),
)


def hall(c: Sheet) -> None:
    """Draw the hall from one corner: stairs with their rail, the panel's door on the wall."""
    eye = Eye((0.5, 0.5, 5.2), (9.6, 6.8, 2.4))
    room(c, HALL, eye)
    rail = eye.see([(_STAIR[n][0] + 0.35, 6.1, _STAIR[n][1] + 2.65) for n in (0, -2)])
    c.line(rail[:2], "#6f4a2c", 12)
