"""Reads a CSV of readings at points: columns point, value and, if need be, when."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from siltline.cli.readings_file import text_of
from siltline.errors import WrongUse
from siltline.sentences import say

COLUMNS = ("point", "value")


def rounds_of(path: Path) -> list[tuple[str, dict[str, str]]]:
    """Return the rounds of a CSV file, each with its moment as typed ("" where none stands).

    Lines that follow each other with one moment are a round; a point that comes again begins one.

    Args:
        path: UTF-8, a line of column names with `point`, `value` and perhaps `when`.

    Raises:
        WrongUse: it cannot be read, lacks a column or a value; all such lines are named.
    """
    rows = csv.DictReader(io.StringIO(text_of(path)), skipinitialspace=True, strict=True)
    rounds: list[tuple[str, dict[str, str]]] = []
    faults = []
    try:
        rows.fieldnames = names = [name.strip().lower() for name in rows.fieldnames or []]
        missing = [column for column in COLUMNS if column not in names]
        if missing:
            raise WrongUse(say("read.columns", name=path.name, missing=", ".join(missing)))
        for row in rows:
            when, point, value = ((row.get(k) or "").strip() for k in ("when", *COLUMNS))
            if not point or not value:
                faults.append(say("read.line", line=rows.line_num))
                continue
            if not rounds or rounds[-1][0] != when or point in rounds[-1][1]:
                rounds.append((when, {}))
            rounds[-1][1][point] = value
    except csv.Error as fault:
        raise WrongUse(say("readings.not-csv", name=path.name, line=rows.line_num + 1)) from fault
    if faults:
        raise WrongUse(" ".join(faults))
    return rounds
