"""The picture of a section: ground, lines and marks, each on the row of its height."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from siltline.rules.section import columns as across
from siltline.rules.section.canvas import Canvas
from siltline.rules.section.columns import Columns
from siltline.rules.section.glyphs import Pen
from siltline.rules.section.placing import slots
from siltline.rules.section.scale import Scale
from siltline.rules.section.shape import Section
from siltline.rules.section.telling import Entry

_LINES = ("waterline", "silt-line", "highest-wet-reading")
_UP, _DOWN = ("ceiling", "attic"), ("floor", "crawl-space", "basement")


def above_scale(section: Section) -> int:
    """Return how many rows stand above the scale: a head; over a space, floor and joists."""
    return 2 if section.under else 1


def beside_scale(section: Section) -> int:
    """Return how many rows a drawing has beside those of its scale, above and below it."""
    return 3 if section.under else 1


def si(entry: Entry) -> Decimal:
    """Return the height of an entry that has one, in metres."""
    return entry.height.si if entry.height is not None else Decimal(0)


def paint(
    section: Section, placed: Sequence[Entry], place: Columns, scale: Scale, pen: Pen, rows: int
) -> Canvas:
    """Return the picture of a section.

    Args:
        section: what is drawn.
        placed: its entries that have a height.
        place: its columns.
        scale: its scale.
        pen: what to draw with.
        rows: how tall the canvas is; at least the rows of the scale and those beside it.
    """
    canvas = Canvas(rows, place.end + (across.POST if section.under else 0))
    known = bool(section.heights())
    first = above_scale(section)
    across.draw_scale(canvas, scale, first, pen, known=known)
    if section.under:
        across.draw_below(canvas, place, scale, pen)
    else:
        across.draw_layers(canvas, section, place, scale, pen)
    across.draw_head(canvas, section, place, pen, known=known)
    _lines(canvas, section, placed, place, scale, pen)
    marks = [one for one in placed if one.key]
    where = slots([scale.row(si(one)) for one in marks], place.width // across.SLOT)
    at = {one.key: place.space + slot * across.SLOT for one, slot in zip(marks, where, strict=True)
          if slot is not None}  # fmt: skip
    _cables(canvas, marks, at, first, scale, pen)
    for one in marks:
        row = first + scale.row(si(one))
        if one.key in at:
            canvas.put(row, at[one.key], f"{pen.glyph(one.thing)}{one.key}"[: across.SLOT])
        else:
            canvas.put(row, place.end - 1, pen.glyph("more"))
    return canvas


def _lines(
    canvas: Canvas,
    section: Section,
    placed: Sequence[Entry],
    place: Columns,
    scale: Scale,
    pen: Pen,
) -> None:
    """Draw floor, ceiling and the lines of the water; those of one row share it."""
    before: dict[int, list[str]] = {}
    behind: dict[int, list[str]] = {}
    for one in placed:
        # A line at the floor says that no water came so far: none is drawn there.
        if one.across and (one.thing not in _LINES or si(one) > 0):
            side = behind if one.behind else before
            side.setdefault(scale.row(si(one)), []).append(one.thing)
    first = above_scale(section)
    _shared(canvas, before, first, place.space, place.width, pen)
    _shared(canvas, behind, first, across.SCALE, across.BEHIND, pen)


def _shared(
    canvas: Canvas, rows: Mapping[int, list[str]], first: int, column: int, width: int, pen: Pen
) -> None:
    for row, things in rows.items():
        for number, thing in enumerate(things):
            start, end = (width * n // len(things) for n in (number, number + 1))
            canvas.put(first + row, column + start, pen.glyph(thing) * (end - start))


def _cables(
    canvas: Canvas,
    marks: Sequence[Entry],
    at: Mapping[str, int],
    first: int,
    scale: Scale,
    pen: Pen,
) -> None:
    """Draw each cable whose run is known: up, down to the floor, or to its lowest height."""
    for one in marks:
        cable = one.cable
        if cable is None or one.key not in at:
            continue
        row = scale.row(si(one))
        ends = {row}
        if cable.runs in _UP:
            ends.add(0)
        if cable.runs in _DOWN:
            ends.add(scale.above)
        if cable.lowest is not None:
            ends.add(scale.row(cable.lowest.si))
        for between in range(min(ends), max(ends) + 1):
            canvas.put(first + between, at[one.key], pen.glyph("cable"))
        if cable.lowest is not None and cable.runs not in _DOWN:
            canvas.put(first + scale.row(cable.lowest.si), at[one.key], pen.glyph("cable-end"))
