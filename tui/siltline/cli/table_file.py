"""Reads a table that somebody typed: CSV as spreadsheets write it, its faults told all at once."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from pathlib import Path

from siltline.errors import WrongUse
from siltline.rules.faults import MOST_TOLD
from siltline.sentences import say

LARGEST = 1_000_000  # bytes; a year of daily readings has a hundredth of that
_MARKS = ",;\t"  # between cells; spreadsheets of countries with a decimal comma write `;`


class Faults:
    """The faults of a file, as sentences that say where."""

    def __init__(self) -> None:
        self.told: list[str] = []

    def at(self, line: int, column: str, told: str) -> None:
        """Take a fault in; `column` is the name of one, or ""."""
        place = {"line": line, "column": column}
        self.told.append(say("read.at-cell" if column else "read.at-line", **place, told=told))

    def too_wide(self, line: int, cells: Sequence[str], names: Sequence[str]) -> bool:
        """Take in a row of more cells than columns (17,5 is two cells); tell whether it is one."""
        wide = len(cells) > len(names)
        if wide:
            self.at(line, "", say("read.cells", n=len(cells), columns=len(names)))
        return wide

    def twice(self, line: int, names: Sequence[str], columns: Sequence[str]) -> None:
        """Take in each column that a first line names more than once."""
        for name in columns:
            if names.count(name) > 1:
                self.at(line, name, say("read.column-twice"))

    def ensure_none(self, end: str) -> None:
        """Refuse a file that has any; `end` says what was kept and what to do."""
        if self.told:
            more = [say("faults.more")] if len(self.told) > MOST_TOLD else []
            raise WrongUse("\n".join([*self.told[:MOST_TOLD], *more, end]))


def by_name(names: Sequence[str], cells: Sequence[str]) -> dict[str, str]:
    """Return the cells of a row by their column; "" where a row ends early."""
    return dict.fromkeys(names, "") | dict(zip(names, cells, strict=False))


def text_of(path: Path) -> str:
    """Return the text of a table.

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


def lines_of(path: Path, faults: Faults) -> Iterator[tuple[int, list[str]]]:
    """Yield each row with the line that it begins on, its cells without blanks around.

    Blank rows, as spreadsheets leave them, are none. What is no CSV ends the file and is a fault.

    Raises:
        WrongUse: as `text_of`.
    """
    text = text_of(path)
    mark = max(_MARKS, key=text.partition("\n")[0].count)
    rows = csv.reader(io.StringIO(text), delimiter=mark, skipinitialspace=True, strict=True)
    begins = 1
    try:
        for row in rows:
            cells = [cell.strip() for cell in row]
            if any(cells):
                yield begins, cells
            begins = rows.line_num + 1
    except csv.Error:
        faults.at(begins, "", say("read.no-csv"))
