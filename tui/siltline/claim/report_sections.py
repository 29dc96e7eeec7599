"""The sections that the report shows: what water reached, drawn as the screen draws it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from siltline.job.section import drawable, section_at
from siltline.rules.reading import Reader
from siltline.rules.section.drawing import draw
from siltline.rules.section.shape import Section
from siltline.sentences import say

Data = dict[str, Any]
COLUMNS, ROWS = 100, 26  # what fits the width of the page in small type, three to a page


def _wetted(reader: Reader) -> Iterator[Section]:
    """Yield the wetted walls, the wetted rooms that none of them shows, the flooded spaces."""
    shown = set()
    for one in drawable(reader):  # walls come first
        section = section_at(reader, one.path)
        if section.wetted and not (one.kind == "room" and section.before in shown):
            shown.add(section.before)
            yield section


def sections(reader: Reader) -> list[Data]:
    """Return each section: its lines of text, and what stands for it where it cannot be seen."""
    return [
        {
            "alt": say("report.section-alt", name=section.name),
            "lines": "\n".join(draw(section, COLUMNS, ROWS, whole=True)),
        }
        for section in _wetted(reader)
    ]
