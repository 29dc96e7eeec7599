"""Reads a CSV of readings at points: columns point, value and, if need be, when.

All faults of a file are told at once, each with its line and its column, and then nothing of it
is kept: a table that was mended can be taken whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from siltline.cli.table_file import Faults, by_name, lines_of
from siltline.errors import WrongUse
from siltline.judge.register import Key, key_of
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.job.rounds import Round

POINT, VALUE, WHEN = COLUMNS = ("point", "value", "when")
# What people call the column of moments; were it passed over, a reading of paper would be of now.
LIKE_WHEN = ("at", "date", "day", "time")
FOR_ALL = ("meter", "temp")  # of a whole table; they change what a reading counts as
Row = tuple[int, dict[str, str]]  # the line that it begins on, and its cells by their column


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

    faults = Faults()
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
    faults.ensure_none(_end(path, faults))
    return rounds


def _end(path: Path, faults: Faults) -> str:
    """Return what was kept of a file with faults, and what to do."""
    return say("read.table-faults", name=path.name, n=len(faults.told))


def _look_at(job: Job, line: int, cells: dict[str, str], faults: Faults) -> None:
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


def _rows(path: Path, faults: Faults) -> Iterator[Row]:
    """Yield the rows of a file below its first line; blank ones, as spreadsheets leave, are none.

    Raises:
        WrongUse: the first line does not name what is needed.
    """
    lines = lines_of(path, faults)
    at, header = next(lines, (1, []))
    names = [name.lower() for name in header]
    _ensure_named(at, names, faults)
    faults.ensure_none(_end(path, faults))
    for line, texts in lines:
        if not faults.too_wide(line, texts, names):
            yield line, by_name(names, texts)


def _ensure_named(line: int, names: Sequence[str], faults: Faults) -> None:
    """Refuse a first line in which a column is missing, stands twice, or goes by another name."""
    missing = [name for name in (POINT, VALUE) if name not in names]
    if missing:
        faults.at(line, "", say("read.columns", missing=", ".join(missing)))
    faults.twice(line, names, COLUMNS)
    for name in FOR_ALL:
        if name in names:
            faults.at(line, name, say("read.column-for-all", option=f"--{name}"))
    like = [name for name in names if name in LIKE_WHEN]
    if like and WHEN not in names:
        faults.at(line, like[0], say("read.column-when"))
