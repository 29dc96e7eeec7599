"""The sections that the report shows: what water reached, drawn as the screen draws it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from siltline.job import Job
from siltline.job.drying import drawn, told
from siltline.job.section import drawable, measured, section_at
from siltline.judge.drying import verdicts
from siltline.rules.reading import Reader
from siltline.rules.section.drawing import draw
from siltline.rules.section.shape import Section
from siltline.science.chart import PAPER
from siltline.sentences import say

Data = dict[str, Any]
COLUMNS, ROWS = 100, 26  # what fits the width of the page in small type, three to a page


def _wetted(job: Job, reader: Reader) -> Iterator[Section]:
    """Yield the wetted walls, the wetted rooms that none of them shows, the flooded spaces."""
    shown, points = set(), measured(job)
    for one in drawable(reader):  # walls come first
        section = section_at(reader, one.path, points)
        if section.wetted and not (one.kind == "room" and section.before in shown):
            shown.add(section.before)
            yield section


def sections(job: Job, reader: Reader) -> list[Data]:
    """Return each section: its lines of text, and what stands for it where it cannot be seen."""
    return [
        {
            "alt": say("report.section-alt", name=section.name),
            "lines": "\n".join(draw(section, COLUMNS, ROWS, whole=True)),
        }
        for section in _wetted(job, reader)
    ]


def charts(job: Job) -> list[Data]:
    """Return the drying chart of each measuring point, and the sentences that tell the same."""
    found = []
    for one in verdicts(job.board):
        lines = drawn(one, (COLUMNS, ROWS - 8), PAPER)
        if lines:
            sentences = " ".join(told(job, one))
            found.append({"alt": sentences, "told": sentences, "lines": "\n".join(lines)})
    return found
