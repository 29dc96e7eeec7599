"""The second copy: a job file on another drive that receives what is new after each act."""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from siltline.errors import NotNow, Refusal, Unreadable
from siltline.record import rows
from siltline.record.connect import connect, told
from siltline.record.joining import bring, root
from siltline.record.store import Record
from siltline.sentences import say


@dataclass(frozen=True, slots=True)
class CopyState:
    """How the second copy stands: how many events it lacks, and why if any."""

    path: Path
    behind: int = 0
    because: str = ""


class SecondCopy:
    """Follows one open record with a copy elsewhere."""

    def __init__(self, record: Record, path: Path, upto: str | None = None) -> None:
        """Take the record, where its copy lies, and the newest entry known to be there."""
        self.record = record
        self.path = path
        self.upto = upto
        self._connection: sqlite3.Connection | None = None
        self._there: set[str] = set()

    def _open(self) -> sqlite3.Connection:
        """Open the copy, or make it whole where there is none.

        Raises:
            NotNow: something else stands under its name.
            Unreadable: the drive is not there, full, or cannot be written.
        """
        if self._connection is not None and self.path.exists():
            return self._connection
        self.close()
        if not self.path.parent.is_dir():
            raise Unreadable(say("copy.pulled", folder=self.path.parent))
        if not self.path.exists():
            self._make()
        connection = connect(self.path)
        first = connection.execute("SELECT id FROM event ORDER BY seq LIMIT 1").fetchone()
        if first is None or first[0] != root(self.record):
            connection.close()
            raise NotNow(say("copy.another", path=self.path))
        self._connection, self._there = connection, rows.event_ids(connection)
        return connection

    def _make(self) -> None:
        part = self.path.with_name(f".{self.path.name}.part")
        try:
            target = sqlite3.connect(part)
            try:
                with told(self.record.path):
                    self.record.connection.backup(target)
            finally:
                target.close()
            part.replace(self.path)
        finally:
            with suppress(OSError):
                part.unlink()

    def bring(self) -> CopyState:
        """Bring what is new to the copy; never raises: what went wrong is told."""
        try:
            connection = self._open()
            new = [event for event in self.record.events if event.id not in self._there]
            with told(self.path):
                connection.execute("BEGIN IMMEDIATE")
                try:
                    bring(connection, self.record, new)
                    connection.execute("COMMIT")
                except BaseException:
                    if connection.in_transaction:
                        connection.execute("ROLLBACK")
                    raise
            self._there.update(event.id for event in new)
        except (Refusal, OSError) as fault:
            self.close()
            return CopyState(self.path, self._behind(), str(fault))
        self.upto = self.record.events[-1].id
        return CopyState(self.path)

    def _behind(self) -> int:
        """Return how many entries came since the newest that is known to be in the copy."""
        ids = [event.id for event in self.record.events]
        return len(ids) - (ids.index(self.upto) + 1 if self.upto in ids else 0)

    def close(self) -> None:
        """Close the copy; what it knew is looked up again when it is opened next."""
        if self._connection is not None:
            with suppress(sqlite3.Error):
                self._connection.execute("PRAGMA journal_mode = DELETE")
            with suppress(sqlite3.Error):
                self._connection.close()
        self._connection = None
