"""Reads a CSV of drying readings: columns `day` and `mc`, one reading a line."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import TYPE_CHECKING

from siltline.errors import WrongUse
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.drying import Reading

LARGEST = 1_000_000  # bytes; a year of daily readings has a hundredth of that
_NUMBER = re.compile(r"[+-]?(?:\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})")
COLUMNS = ("day", "mc")


def text_of(path: Path) -> str:
    """Return the text of a list of readings.

    Raises:
        WrongUse: missing, too large, unreadable, or no UTF-8.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise WrongUse(say("readings.too-large", name=path.name))
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as fault:
        raise WrongUse(say("files.missing", name=path)) from fault
    except OSError as fault:
        raise WrongUse(say("files.unreadable", name=path, fault=fault.strerror)) from fault
    except ValueError as fault:
        raise WrongUse(say("readings.not-text", name=path.name)) from fault


def _number(text: str | None, column: str, line: int) -> float:
    bare = (text or "").strip()
    if column == "mc":
        bare = bare.removesuffix("%").strip()
    if not _NUMBER.fullmatch(bare):
        raise WrongUse(say("readings.no-number", line=line, column=column, text=(text or "")[:40]))
    return float(bare)


def readings_of(path: Path) -> list[Reading]:
    """Return the readings of a CSV file.

    Args:
        path: UTF-8, a line of column names with `day` (days from any origin) and `mc` (percent).

    Raises:
        WrongUse: it cannot be read, lacks a column, or holds what is no number; with its line.
    """
    from siltline.science.drying import Reading  # noqa: PLC0415

    rows = csv.DictReader(io.StringIO(text_of(path)), skipinitialspace=True, strict=True)
    try:
        names = [name.strip().lower() for name in rows.fieldnames or []]
        rows.fieldnames = names
        missing = [column for column in COLUMNS if column not in names]
        if missing:
            raise WrongUse(say("readings.columns", name=path.name, missing=", ".join(missing)))
        return [
            Reading(*(_number(row[column], column, rows.line_num) for column in COLUMNS))
            for row in rows
        ]
    except csv.Error as fault:
        raise WrongUse(say("readings.not-csv", name=path.name, line=rows.line_num + 1)) from fault
