"""Brings a job file of an earlier version up to this one, with a copy kept until that is done."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from pathlib import Path

WITHHELD = Path(__file__).with_name("withheld.sql")


def _to_2(connection: sqlite3.Connection) -> None:
    """Let a person withhold the bytes of a photo."""
    connection.execute("DROP TRIGGER IF EXISTS photo_kept")
    for statement in _statements(WITHHELD.read_text(encoding="utf-8")):
        connection.execute(statement)


# version -> what brings a file of that version to the next
_STEPS = {1: _to_2}


def _statements(script: str) -> list[str]:
    """Split a script, for `executescript` would end the transaction that it runs in."""
    found, text = [], ""
    for line in script.splitlines(keepends=True):
        text += line
        if sqlite3.complete_statement(text):
            found.append(text)
            text = ""
    return found


def copy_name(path: Path) -> Path:
    """Return the name of the copy that is kept while a file is brought up."""
    return path.with_name(f".{path.name}.before-upgrade")


def upgrade(path: Path, connection: sqlite3.Connection, version: int, wanted: int) -> None:
    """Bring a file from its version to the wanted one, all in one transaction.

    A kill at any moment leaves the file as it was or as it is wanted, and a copy of it as it
    was beside it, which is taken away when the file is opened next.

    Raises:
        sqlite3.Error: it cannot be written; it stays as it was.
    """
    kept = copy_name(path)
    _forget(kept)
    try:
        with closing(sqlite3.connect(kept)) as copy:
            copy.execute("PRAGMA journal_mode = OFF")  # a new file needs none; none can be left
            connection.backup(copy)
        _step_by_step(connection, version, wanted)
    except BaseException:
        if not connection.in_transaction:
            _forget(kept)  # the file is as it was
        raise
    kept.unlink()


def _step_by_step(connection: sqlite3.Connection, version: int, wanted: int) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        (now,) = connection.execute("PRAGMA user_version").fetchone()  # another may have done it
        for step in range(max(version, now), wanted):
            _STEPS[step](connection)
        connection.execute(f"PRAGMA user_version = {wanted}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _forget(kept: Path) -> None:
    """Take a copy away that is not needed."""
    with suppress(OSError):
        kept.unlink()
