"""The second copy: a job file on another drive that receives what is new after each act."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from msgspec import Struct

from siltline.errors import NotNow, Refusal, Unreadable, why
from siltline.record import rows
from siltline.record.connect import connect, told
from siltline.record.derived import about, forget_about, keep_about, keep_steps, step_rows
from siltline.record.joining import bring, root
from siltline.record.store import Record
from siltline.sentences import say

# What SQLite says of the copy; of the job itself every act was recorded before.
_SAID = {
    "SQLITE_BUSY": "copy.locked",
    "SQLITE_LOCKED": "copy.locked",
    "SQLITE_READONLY": "copy.read-only",
    "SQLITE_FULL": "copy.full",
    "SQLITE_CORRUPT": "copy.damaged",
    "SQLITE_NOTADB": "copy.damaged",
}


@contextmanager
def _told_of_copy() -> Iterator[None]:
    """Turn faults of the copy into sentences about it; those of the record pass."""
    try:
        yield
    except UnicodeDecodeError as fault:
        raise Unreadable(say("copy.damaged")) from fault
    except sqlite3.Error as fault:
        family = "_".join(getattr(fault, "sqlite_errorname", "").split("_")[:2])
        if family in _SAID:
            raise Unreadable(say(_SAID[family])) from fault
        raise Unreadable(say("copy.fault", fault=fault)) from fault
    except OSError as fault:
        raise Unreadable(say("copy.fault", fault=why(fault))) from fault


def _connect(path: Path) -> sqlite3.Connection:
    """Open the copy; what SQLite finds wrong with it is raised as it is, to be told here."""
    try:
        return connect(path)
    except Refusal as fault:
        if isinstance(fault.__cause__, sqlite3.Error | UnicodeDecodeError):
            raise fault.__cause__ from None
        raise


class CopyState(Struct, frozen=True):
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
            sqlite3.Error, OSError: other faults of the copy.
        """
        if self._connection is not None and self.path.exists():
            return self._connection
        self.close()
        if not self.path.parent.is_dir():
            raise Unreadable(say("copy.pulled", folder=self.path.parent))
        if not self.path.exists() or (self.path.is_file() and not self.path.stat().st_size):
            self._make()
        self._connection = _connect(self.path)
        self._there = rows.event_ids(self._connection)
        if root(self.record) not in self._there:
            raise NotNow(say("copy.another", path=self.path))
        return self._connection

    def _make(self) -> None:
        part = self.path.with_name(f".{self.path.name}.part")
        try:
            target = sqlite3.connect(part)
            try:
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
            with _told_of_copy():
                self._bring(self._open())
        except Refusal as fault:
            self.close()
            return CopyState(self.path, self._behind(), str(fault))
        self.upto = self.record.events[-1].id
        return CopyState(self.path)

    def look(self) -> CopyState:
        """Tell how the copy stands without writing to it; never raises."""
        try:
            with _told_of_copy():
                if not self.path.parent.is_dir():
                    raise Unreadable(say("copy.pulled", folder=self.path.parent))
                if not self.path.is_file():
                    raise Unreadable(say("copy.absent"))
                self._connection = _connect(self.path)
                there = rows.event_ids(self._connection)
            if root(self.record) not in there:
                raise NotNow(say("copy.another", path=self.path))
        except Refusal as fault:
            return CopyState(self.path, self._behind(), str(fault))
        finally:
            self.close()
        return CopyState(self.path, sum(event.id not in there for event in self.record.events))

    def _bring(self, connection: sqlite3.Connection) -> None:
        connection.execute("BEGIN IMMEDIATE")
        try:
            (count,) = connection.execute("SELECT count(*) FROM event").fetchone()
            if count != len(self._there):  # somebody works on the copy itself
                self._there = rows.event_ids(connection)
            new = [event for event in self.record.events if event.id not in self._there]
            bring(connection, self.record, new)
            self._bring_derived(connection, len(self._there) + len(new))
            connection.execute("COMMIT")
        except BaseException:
            with suppress(sqlite3.Error):
                connection.execute("ROLLBACK")
            raise
        self._there.update(event.id for event in new)

    def _bring_derived(self, connection: sqlite3.Connection, events: int) -> None:
        """Bring the step table; where the copy knows more than the job, have it made again."""
        if events != len(self.record.events):
            forget_about(connection)
            return
        with told(self.record.path):
            steps, made = step_rows(self.record.connection), about(self.record.connection)
        keep_steps(connection, steps)
        keep_about(connection, **made)

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
