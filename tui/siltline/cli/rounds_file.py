"""Reads a CSV of readings at points: columns point, value and, if need be, when.

All faults of a file are told at once, each with its line and its column, and then nothing of it
is kept: a table that was mended can be taken whole.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from siltline.cli.readings_file import text_of
from siltline.errors import WrongUse
from siltline.judge.register import Key, key_of
from siltline.rules.faults import MOST_TOLD
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.job.rounds import Round

POINT, VALUE, WHEN = COLUMNS = ("point", "value", "when")
# What people call the column of moments; were it passed over, a reading of paper would be of now.
LIKE_WHEN = ("at", "date", "day", "time")
FOR_ALL = ("meter", "temp")  # of a whole table; they change what a reading counts as
Row = tuple[int, dict[str, str]]  # the line that it begins on, and its cells by their column


class _Faults:
    """The faults of a file, as sentences that say where."""

    def __init__(self) -> None:
        self.told: list[str] = []

    def at(self, line: int, column: str, told: str) -> None:
        """Take a fault in."""
        place = {"line": line, "column": column}
        self.told.append(say("read.at-cell" if column else "read.at-line", **place, told=told))

    def ensure_none(self, name: str) -> None:
        """Refuse a file that has any."""
        if self.told:
            more = [say("faults.more")] if len(self.told) > MOST_TOLD else []
            end = say("read.table-faults", name=name, n=len(self.told))
            raise WrongUse("\n".join([*self.told[:MOST_TOLD], *more, end]))


def rounds_of(path: Path, job: Job, on_all: str = "") -> list[Round]:
    """Return the rounds of a CSV file; lines that follow each other with one moment are a round.

    Args:
        path: UTF-8, a line of column names with `point`, `value` and perhaps `when`.
        job: the open job, whose points and meters the file is held against.
        on_all: the moment of lines that tell none; "" is now.

    Raises:
        WrongUse: it cannot be read, or something in it cannot be taken; all of that is named.
    """
    from siltline.job.rounds import Round  # noqa: PLC0415

    faults = _Faults()
    rounds: list[Round] = []
    first: dict[tuple[Key, str], int] = {}
    for line, cells in _rows(path, faults):
        point, value = cells[POINT], cells[VALUE]
        when = cells.get(WHEN, "") or on_all
        _look_at(job, line, cells, faults)
        before = first.setdefault((key_of(point), when), line)
        if point and before != line:
            faults.at(line, POINT, say("read.table-twice", name=point, line=before))
        elif not rounds or rounds[-1].when != when:
            rounds.append(Round(when, {point: value}, {point: line}))
        else:
            rounds[-1].values[point], rounds[-1].lines[point] = value, line
    if not rounds and not faults.told:
        faults.at(1, "", say("read.table-empty"))
    faults.ensure_none(path.name)
    return rounds


def _look_at(job: Job, line: int, cells: dict[str, str], faults: _Faults) -> None:
    """Hold each cell of a row against what can be read there."""
    from siltline.job.points import point_named, when_read  # noqa: PLC0415
    from siltline.job.rounds import moisture_typed  # noqa: PLC0415

    looks: dict[str, Callable[[str], object]] = {
        POINT: lambda typed: point_named(job, typed),
        VALUE: moisture_typed,
        WHEN: lambda typed: when_read(job, typed),
    }
    for column, look in looks.items():
        typed = cells.get(column, "")
        if not typed and column != WHEN:
            faults.at(line, column, say("read.cell-empty"))
        elif typed:
            try:
                look(typed)
            except WrongUse as fault:
                faults.at(line, column, str(fault))


def _rows(path: Path, faults: _Faults) -> Iterator[Row]:
    """Yield the rows of a file below its first line; blank ones, as spreadsheets leave, are none.

    Raises:
        WrongUse: the first line does not name what is needed.
    """
    lines = _lines(path, faults)
    at, header = next(lines, (1, []))
    names = [name.strip().lower() for name in header]
    _ensure_named(at, names, faults)
    faults.ensure_none(path.name)
    for line, texts in lines:
        if len(texts) > len(names):
            told = {"n": len(texts), "columns": len(names)}
            faults.at(line, "", say("read.cells", **told))
        else:
            yield line, dict.fromkeys(names, "") | dict(zip(names, texts, strict=False))


def _lines(path: Path, faults: _Faults) -> Iterator[tuple[int, list[str]]]:
    """Yield each row with the line that it begins on, its cells without blanks around."""
    text = text_of(path)
    mark = max(",;\t", key=text.partition("\n")[0].count)  # spreadsheets of other countries
    rows = csv.reader(io.StringIO(text), delimiter=mark, skipinitialspace=True, strict=True)
    begins = 1
    try:
        for row in rows:
            texts = [text.strip() for text in row]
            if any(texts):
                yield begins, texts
            begins = rows.line_num + 1
    except csv.Error:
        faults.at(begins, "", say("read.no-csv"))


def _ensure_named(line: int, names: Sequence[str], faults: _Faults) -> None:
    """Refuse a first line in which a column is missing, stands twice, or goes by another name."""
    missing = [name for name in (POINT, VALUE) if name not in names]
    if missing:
        faults.at(line, "", say("read.columns", missing=", ".join(missing)))
    for name in COLUMNS:
        if names.count(name) > 1:
            faults.at(line, name, say("read.column-twice"))
    for name in FOR_ALL:
        if name in names:
            faults.at(line, name, say("read.column-for-all", option=f"--{name}"))
    like = [name for name in names if name in LIKE_WHEN]
    if like and WHEN not in names:
        faults.at(line, like[0], say("read.column-when"))
