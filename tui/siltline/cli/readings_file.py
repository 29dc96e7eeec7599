"""Reads a CSV of drying readings: columns `day` and `mc`, one reading a line."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from siltline.cli.table_file import Faults, by_name, lines_of
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.drying import Reading

_NUMBER = re.compile(r"[+-]?(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})")
COLUMNS = ("day", "mc")


def _number(text: str, column: str, line: int, faults: Faults) -> float:
    """Return a number of a cell; what is none is a fault."""
    bare = text.removesuffix("%").strip() if column == "mc" else text
    if not _NUMBER.fullmatch(bare):
        faults.at(line, column, say("readings.no-number", text=text[:40]))
        return 0.0
    return float(bare)


def readings_of(path: Path) -> list[Reading]:
    """Return the readings of a CSV file.

    Args:
        path: UTF-8, a line of column names with `day` (days from any origin) and `mc` (percent).

    Raises:
        WrongUse: it cannot be read, lacks a column, or holds what is no number; all of that is
            told, with its line and column.
    """
    from siltline.science.drying import Reading  # noqa: PLC0415

    faults = Faults()
    lines = lines_of(path, faults)
    at, header = next(lines, (1, []))
    names = [name.lower() for name in header]
    _ensure_named(at, names, faults)
    found = [] if faults.told else list(lines)
    read = []
    for line, cells in found:
        faults.too_wide(line, cells, names)
        here = by_name(names, cells)
        read.append(Reading(*(_number(here[name], name, line, faults) for name in COLUMNS)))
    faults.ensure_none(say("readings.faults", name=path.name, n=len(faults.told)))
    return read


def _ensure_named(line: int, names: list[str], faults: Faults) -> None:
    """Refuse a first line in which a column is missing or stands twice."""
    missing = [name for name in COLUMNS if name not in names]
    if missing:
        faults.at(line, "", say("readings.columns", missing=", ".join(missing)))
    faults.twice(line, names, COLUMNS)
