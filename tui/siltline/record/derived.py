"""What is computed and kept beside the record, for SQL and for speed; droppable at any time."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

Facts = dict[str, Any]
DERIVED = Path(__file__).with_name("derived.sql")
OF_PHOTOS = ("derived_photo", "derived_picture")
Row = tuple[str, int, str, str, str, str]  # step, number, phase, place, act, state


def make_sure(connection: sqlite3.Connection) -> None:
    """Make the derived tables where somebody dropped them; beside the file if it is read-only."""
    select = "SELECT name FROM sqlite_schema WHERE name GLOB 'derived_*' AND type = 'table'"
    there = {name for (name,) in connection.execute(select)}
    for name, statement in _statements().items():
        if name not in there:
            try:
                connection.execute(statement)
            except sqlite3.OperationalError:
                connection.execute(statement.replace("CREATE TABLE", "CREATE TEMP TABLE"))


@cache
def _statements() -> dict[str, str]:
    """Return the name of each derived table and the statement that makes it."""
    script = DERIVED.read_text(encoding="utf-8")
    parts = re.split(r"(?=CREATE TABLE IF NOT EXISTS )", script)[1:]
    return {part.split()[5]: part for part in parts}


def step_rows(connection: sqlite3.Connection) -> dict[str, Row]:
    """Return the step table as it stands, by step id."""
    rows = connection.execute("SELECT step, number, phase, place, act, state FROM derived_step")
    return {row[0]: row for row in rows}


def keep_steps(connection: sqlite3.Connection, wanted: Mapping[str, Row]) -> None:
    """Bring the step table to the wanted rows, writing only what differs."""
    there = step_rows(connection)
    connection.executemany(
        "DELETE FROM derived_step WHERE step = ?", [(s,) for s in there if s not in wanted]
    )
    connection.executemany(
        "INSERT INTO derived_step VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (step) DO UPDATE SET "
        "number = excluded.number, phase = excluded.phase, place = excluded.place, "
        "act = excluded.act, state = excluded.state",
        [row for step, row in wanted.items() if there.get(step) != row],
    )


def keep_about(connection: sqlite3.Connection, **values: str) -> None:
    """Keep facts about the derived tables: which engine made them, upon which event."""
    connection.executemany("INSERT OR REPLACE INTO derived_about VALUES (?, ?)", values.items())


def forget_about(connection: sqlite3.Connection) -> None:
    """Have the step table made again when the job is opened, or verified, next."""
    connection.execute("DELETE FROM derived_about")


def about(connection: sqlite3.Connection) -> dict[str, str]:
    """Return what `keep_about` kept."""
    return dict(connection.execute("SELECT name, value FROM derived_about"))


def keep_facts(
    connection: sqlite3.Connection, sha256: str, reader: str, facts: Mapping[str, Any]
) -> None:
    """Keep what a reader found in a photo."""
    import json  # noqa: PLC0415 - no first paint needs it

    connection.execute(
        "INSERT OR REPLACE INTO derived_photo VALUES (?, ?, ?)",
        (sha256, reader, json.dumps(facts, sort_keys=True)),
    )


def copy_facts(
    source: sqlite3.Connection, target: sqlite3.Connection, photos: Iterable[str]
) -> None:
    """Bring what was read and drawn of some photos along, so that it need not be done again."""
    for sha256 in photos:
        for table in OF_PHOTOS:
            row = source.execute(f"SELECT * FROM {table} WHERE sha256 = ?", (sha256,)).fetchone()  # noqa: S608 - names of ours
            if row is not None:
                places = ", ".join("?" * len(row))
                target.execute(f"INSERT OR REPLACE INTO {table} VALUES ({places})", row)  # noqa: S608


def forget_photo(connection: sqlite3.Connection, sha256: str) -> None:
    """Drop all that was read and drawn of a photo."""
    for table in OF_PHOTOS:
        connection.execute(f"DELETE FROM {table} WHERE sha256 = ?", (sha256,))  # noqa: S608


def whole_rows(
    connection: sqlite3.Connection,
    table: str = "derived_photo",
    maker: str = "reader",
    facts: str = "facts",
) -> Iterator[tuple[str, str, Facts]]:
    """Yield the rows of a table of photos that can be read; the others are as if not there.

    Args:
        connection: of the job file.
        table: one of `OF_PHOTOS`.
        maker: its column that tells which version made a row.
        facts: its column that tells what was found, as JSON.
    """
    import json  # noqa: PLC0415 - no first paint needs it

    blobs = ", ".join(f"CAST({column} AS BLOB)" for column in ("sha256", maker, facts))
    for sha256, version, found in connection.execute(f"SELECT {blobs} FROM {table}"):  # noqa: S608 - names of ours
        with suppress(ValueError, RecursionError):
            said = json.loads(found)
            if isinstance(said, dict):
                yield sha256.decode(), version.decode(), said


def readers(connection: sqlite3.Connection) -> dict[str, str]:
    """Return sha256 -> the version of the reader that read the photo."""
    return {sha256: reader for sha256, reader, _ in whole_rows(connection)}


def photo_facts(connection: sqlite3.Connection) -> dict[str, Facts]:
    """Return sha256 -> facts, of all photos."""
    return {sha256: facts for sha256, _, facts in whole_rows(connection)}


def torn_rows(connection: sqlite3.Connection) -> int:
    """Return how many rows of the photo table cannot be read."""
    (rows,) = connection.execute("SELECT count(*) FROM derived_photo").fetchone()
    return int(rows) - len(photo_facts(connection))
