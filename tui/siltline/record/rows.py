"""The few statements that write the record; each is called inside a transaction."""

from __future__ import annotations

import sqlite3

from siltline.record.derived import forget_photo
from siltline.record.envelope import Event


def keep_event(connection: sqlite3.Connection, event: Event) -> int | None:
    """Append an event; return its place in this file.

    A photo that it withholds is listed, so that its bytes come back from no other file.
    """
    if event.kind == "withheld":
        connection.execute("INSERT OR IGNORE INTO withheld VALUES (?)", (event.body["photo"],))
    insert = "INSERT INTO event (id, envelope) VALUES (?, ?)"
    return connection.execute(insert, (event.id, event.text)).lastrowid


def event_ids(connection: sqlite3.Connection) -> set[str]:
    """Return the ids of the events in a file."""
    return {found for (found,) in connection.execute("SELECT id FROM event")}


def photo_hashes(connection: sqlite3.Connection) -> set[str]:
    """Return the sha256 of each photo whose bytes are in a file."""
    found = connection.execute("SELECT sha256 FROM photo")
    return {sha256 for (sha256,) in found if isinstance(sha256, str)}  # a torn row has any type


def keep_photo(connection: sqlite3.Connection, sha256: str, data: bytes) -> bool:
    """Keep photo bytes; False where they are kept already."""
    if connection.execute("SELECT 1 FROM photo WHERE sha256 = ?", (sha256,)).fetchone():
        return False
    insert = "INSERT INTO photo (sha256, bytes, data) VALUES (?, ?, ?)"
    connection.execute(insert, (sha256, len(data), data))
    return True


def erase_photo(connection: sqlite3.Connection, sha256: str) -> None:
    """Erase the bytes of a photo that an event withholds, from the pages they leave too."""
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("DELETE FROM photo WHERE sha256 = ?", (sha256,))
    forget_photo(connection, sha256)
