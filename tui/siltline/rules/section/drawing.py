"""Draws a section to scale: rows of one height each, marks with keys, labels in their order.

A mark stands on the row nearest to its height. Its label stands on that row too where it is
free, else on the nearest one; mark and key tell which belongs to which.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from siltline.rules.section import columns as across
from siltline.rules.section.glyphs import Pen
from siltline.rules.section.picture import above_scale, beside_scale, paint, si
from siltline.rules.section.placing import packed, spread
from siltline.rules.section.scale import scale_for
from siltline.rules.section.shape import Section
from siltline.rules.section.telling import Entry, entries, groups
from siltline.sentences import say
from siltline.text import cells

NARROWEST, LOWEST = 40, 12  # columns and rows below which only a sentence is shown
_ROWS = 18  # rows of the drawing where any height will do
_FEWEST = 6  # rows of the drawing, however much is said below it
_LABELS = 30  # columns that labels need to stand beside the drawing
_NARROW, _BROAD = 12, 30  # columns of the room or the space


class _Sheet(Struct, frozen=True):
    """What is drawn, with what, and how much room there is."""

    section: Section
    pen: Pen
    width: int
    found: Sequence[Entry]

    @property
    def placed(self) -> list[Entry]:
        return [entry for entry in self.found if entry.height is not None]

    @property
    def known(self) -> bool:
        return bool(self.section.heights())


def draw(
    section: Section,
    width: int,
    height: int | None = None,
    *,
    ascii_only: bool = False,
    whole: bool = False,
) -> list[str]:
    """Return a section as lines of text.

    Args:
        section: what to draw.
        width: columns that a line may take; from 40 on it is drawn.
        height: how many lines there may be; from 12 on it is drawn; None for as many as it
            takes to say everything.
        ascii_only: draw with ASCII, names included.
        whole: keep what is said below the drawing though it takes more lines: for a screen
            that scrolls.

    Returns:
        At most `height` lines, none wider than `width` columns of a terminal, without any
        control character. A window too small for a drawing gets a sentence that says so.
    """
    pen = Pen(ascii_only)
    if width < NARROWEST or (height is not None and height < LOWEST):
        told = say("section.too-small", columns=NARROWEST, rows=LOWEST)
        return [pen.fit(told, width)][: max(0, 1 if height is None else height)]
    sheet = _Sheet(section, pen, width, entries(section))
    beside = _beside(sheet, height)
    below = _below(sheet, beside=beside)
    rows = _rows_for(sheet, below, height, beside=beside)
    lines = [_title(sheet), *_drawing(sheet, rows, beside=beside)]
    rest = None if height is None or whole else height - len(lines)
    return [line.rstrip() for line in (*lines, *_cut(below, rest, pen, width))]


def _title(sheet: _Sheet) -> str:
    """Return the name with its verdict: the name gives way, the verdict does not."""
    section, pen = sheet.section, sheet.pen
    word = {True: "wetted", False: "not-wetted", None: "not-known"}[section.wetted]
    told = say("section.flooded" if section.under else "section.was-wetted")
    verdict = f"{told} {pen.glyph(word)} {_yes_no(section)}"
    name = pen.fit(say("section.title", name=section.name), sheet.width - cells(verdict) - 2)
    return f"{name}  {verdict}"


def _yes_no(section: Section) -> str:
    return {True: say("section.yes"), False: say("section.no"), None: say("section.unknown")}[
        section.wetted
    ]


def _beside(sheet: _Sheet, height: int | None) -> bool:
    """Tell whether the labels stand beside the drawing: where they fit, each a row."""
    room = sheet.width - across.fixed(sheet.section) - _NARROW - 1
    rows = len(sheet.placed) + 4 if height is None else height - 4
    return room >= _LABELS and len(sheet.placed) <= rows - beside_scale(sheet.section)


def _below(sheet: _Sheet, *, beside: bool) -> list[str]:
    """Return what is said below the drawing, the weightiest first."""
    pen, width = sheet.pen, sheet.width
    listed = [] if beside else [pen.fit(one.told(pen), width) for one in sheet.placed]
    found = [line for group in groups(sheet.section, list(sheet.found), pen)
             for line in _paragraph(group, pen, width)]  # fmt: skip
    return [*listed, *found, *(pen.fit(one, width) for one in _notes(sheet))]


def _paragraph(group: Sequence[str], pen: Pen, width: int) -> Iterator[str]:
    """Yield a group as lines: its heading, its texts in as few lines as they fit."""
    head, *texts = group
    indent = 2 if head else 0
    shown = [pen.fit(text, width - indent) for text in texts]
    rows = packed([head, *shown] if head else shown, width)
    if head and len(rows) > 1:
        rows = [rows[0], *packed([text for row in rows[1:] for text in row], width - indent)]
    for number, row in enumerate(rows):
        yield " " * (indent if number else 0) + "   ".join(row)


def _notes(sheet: _Sheet) -> Iterator[str]:
    if not sheet.known:
        yield say("section.no-scale")
    if sheet.section.kind == "wall" and sheet.section.parts:
        yield say("section.which-wall", room=sheet.section.before)


def _rows_for(sheet: _Sheet, below: list[str], height: int | None, *, beside: bool) -> int:
    """Return how many rows the drawing may have, its frame included."""
    least = max(_FEWEST, len(sheet.placed) if beside else 0) + beside_scale(sheet.section)
    if height is None:
        return max(_ROWS, least)
    return max(least, height - 1 - len(below))


def _cut(lines: list[str], rows: int | None, pen: Pen, width: int) -> list[str]:
    """Return the lines that fit; of those that do not, how many there are."""
    if rows is None or len(lines) <= rows:
        return lines
    if rows <= 0:
        return []
    kept = lines[: rows - 1]
    while kept and kept[-1].endswith(":"):  # a heading that lost what it heads
        kept.pop()
    left = len(lines) - len(kept)
    return [*kept, pen.fit(say("section.more", n=left), width)]


def _drawing(sheet: _Sheet, rows: int, *, beside: bool) -> list[str]:
    """Return the drawing, with its labels beside it where they stand there."""
    section, pen, placed = sheet.section, sheet.pen, sheet.placed
    frame = beside_scale(section)
    scale = scale_for(section.heights(), rows - frame)
    labels, widest = _labels(sheet) if beside else ([], -1)
    room = sheet.width - across.fixed(section) - widest - 1
    place = across.columns(section, max(_NARROW, min(_BROAD, room)))
    tall = max(scale.rows + frame, len(labels))
    canvas = paint(section, placed, place, scale, pen, tall)
    if not beside:
        return canvas.lines()
    wanted = [above_scale(section) + scale.row(si(entry)) for entry in placed]
    at = dict(zip(spread(wanted, tall), labels, strict=True))
    left = sheet.width - canvas.columns - 1
    return [f"{line} {pen.fit(at.get(n, ''), left)}" for n, line in enumerate(canvas.lines())]


def _labels(sheet: _Sheet) -> tuple[list[str], int]:
    """Return the labels and how wide they are: in both systems of units where that fits."""
    free = sheet.width - across.fixed(sheet.section) - _NARROW - 1
    whole = [sheet.pen.text(one.told(sheet.pen)) for one in sheet.placed]
    if max(map(cells, whole)) > free:
        whole = [sheet.pen.text(one.told(sheet.pen, whole=False)) for one in sheet.placed]
    return whole, min(free, max(map(cells, whole)))
