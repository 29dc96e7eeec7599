"""Are the tables, guards and views of a job file those that siltline makes?

A guard that is gone lets rows be changed by accident, and a view that was changed tells those
who read with SQL alone another story than the record.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from functools import cache
from pathlib import Path

from siltline.record.derived import DERIVED
from siltline.record.upgrade import WITHHELD
from siltline.sentences import say

SCHEMA = Path(__file__).with_name("schema.sql")
_READ = "SELECT type, name, tbl_name, sql FROM sqlite_schema"
Thing = tuple[str, str, str, str | None]  # type, name, table, statement (None: SQLite's own index)


@cache
def _made(*scripts: Path) -> dict[str, Thing]:
    with closing(sqlite3.connect(":memory:")) as connection:
        for script in scripts:
            connection.executescript(script.read_text(encoding="utf-8"))
        return {thing[1]: thing for thing in connection.execute(_READ)}


def layout_faults(connection: sqlite3.Connection) -> Iterator[str]:
    """Yield what differs from the layout of the file's version; derived tables may be away."""
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    wanted = _made(SCHEMA, WITHHELD, DERIVED) if version > 1 else _made(SCHEMA, DERIVED)
    ours = {thing[1] for thing in _made(SCHEMA, WITHHELD, DERIVED).values()}
    there: dict[str, Thing] = {thing[1]: thing for thing in connection.execute(_READ)}
    for name, thing in wanted.items():
        if there.get(name) != thing and not (name.startswith("derived_") and name not in there):
            yield say("verify.layout", name=name)
    for name, (kind, _, table, _) in there.items():
        if kind == "trigger" and table in ours and name not in ours:
            yield say("verify.layout-more", name=name, table=table)
