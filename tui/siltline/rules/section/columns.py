"""Where what stands across a section: the scale, the wall and its layers, the space beside it."""

from __future__ import annotations

from msgspec import Struct

from siltline.rules.section.canvas import Canvas
from siltline.rules.section.glyphs import Pen
from siltline.rules.section.scale import Scale
from siltline.rules.section.shape import Layer, Section
from siltline.sentences import say
from siltline.text import cells

SCALE = 10  # columns of the scale: two numbers of four, a blank between them, the axis
BEHIND = 4  # columns of what lies behind a wall
POST = 2  # columns of the wall at each side of a space under the floor
SLOT = 3  # columns of a mark and its key
# how thick a layer is drawn; not to scale, and the drawing says so
_THICK = {"cladding": 3, "sheathing": 1, "structure": 1, "insulation": 3, "finish": 1}


class Columns(Struct, frozen=True):
    """The columns of a section.

    Attributes:
        wall: where the wall begins, just right of what lies behind it.
        space: where the room or the space under the floor begins.
        width: how wide that is.
    """

    wall: int
    space: int
    width: int

    @property
    def end(self) -> int:
        """Return the first column right of the space."""
        return self.space + self.width


def fixed(section: Section) -> int:
    """Return how many columns stand left of the space, and right of it the other wall."""
    return columns(section, 0).space + (POST if section.under else 0)


def columns(section: Section, width: int) -> Columns:
    """Return the columns of a section whose space is so wide."""
    if section.under:
        return Columns(SCALE, SCALE + POST, width)
    if section.kind == "room":
        return Columns(SCALE + 1, SCALE + 2, width)
    thick = sum(_THICK[layer.name] + 1 for layer in section.layers) + 1
    return Columns(SCALE + BEHIND, SCALE + BEHIND + thick, width)


def draw_scale(canvas: Canvas, scale: Scale, at: int, pen: Pen, *, known: bool) -> None:
    """Draw the axis from row `at` of the canvas, with its numbers where a height is known."""
    for row in range(scale.rows):
        canvas.put(at + row, SCALE - 1, pen.glyph("axis"))
    for row, inches, centimetres in scale.marks() if known else ():
        canvas.put(at + row, 0, f"{inches:>4} {centimetres:>4}{pen.glyph('tick')}")


def draw_head(canvas: Canvas, section: Section, place: Columns, pen: Pen, *, known: bool) -> None:
    """Draw the top row: units of the scale, numbers of the layers, what lies at each side."""
    if known:
        canvas.put(0, 0, f"{'in':>4} {'cm':>4}")
    at = place.wall + 1
    for number, layer in enumerate(section.layers, 1):
        canvas.put(0, at + _THICK[layer.name] // 2, str(number))
        at += _THICK[layer.name] + 1
    if section.kind == "wall" and section.outer:
        canvas.put(0, SCALE, pen.fit(say("section.outside"), BEHIND))
    room = pen.fit(section.before, place.width)
    if section.kind == "wall" and all(cells(char) == 1 for char in room):
        canvas.put(0, place.space, room)


def draw_layers(canvas: Canvas, section: Section, place: Columns, scale: Scale, pen: Pen) -> None:
    """Draw the layers of a wall from its top to the floor, each in its hatch."""
    column = place.wall
    edge = pen.glyph("between" if section.layers else "foundation")
    for layer in section.layers:
        for row in range(scale.above + 1):
            canvas.put(row + 1, column, edge)
            if _is_there(layer, scale, row):
                hatch = pen.hatch(layer.material) * _THICK[layer.name]
                canvas.put(row + 1, column + 1, hatch)
        column += _THICK[layer.name] + 1
    for row in range(scale.above + 1):
        canvas.put(row + 1, column, edge)


def _is_there(layer: Layer, scale: Scale, row: int) -> bool:
    return layer.bottom is None or row <= scale.row(layer.bottom.si)


def draw_below(canvas: Canvas, place: Columns, scale: Scale, pen: Pen) -> None:
    """Draw what bounds a space under the floor: joists, the walls at its sides, the soil."""
    rows = scale.above + 1
    every = range(place.space + 1, place.end, 6)
    canvas.put(0, place.wall, pen.glyph("ceiling") * (place.width + 2 * POST))
    for column in every:
        canvas.put(1, column, pen.glyph("joist"))
    for row in range(1, rows + 2):
        for column in (place.wall, place.end):
            canvas.put(row, column, pen.glyph("foundation") * POST)
    canvas.put(rows + 2, place.wall, pen.glyph("soil") * (place.width + 2 * POST))
