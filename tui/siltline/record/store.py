"""Reads and appends: one transaction an act, everyone's acts seen before ours is written."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

from siltline.errors import Broken, NotNow, Unreadable, WrongUse
from siltline.record import rows
from siltline.record.connect import BUSY_MS, connect, located, told
from siltline.record.envelope import Event, name, seal, unseal
from siltline.record.lying import identity
from siltline.sentences import say

Found = TypeVar("Found")


class Record:
    """An open job file.

    Attributes:
        path: where it lies.
        events: all events read so far, in the order in which this file received them.
        heads: ids of the events that nothing was written upon yet.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.events: list[Event] = []
        self.heads: set[str] = set()
        self.connection = connection
        self._last = 0
        self._seen_version: int | None = None
        self._whole = path.absolute()  # a folder that one stood in may be pulled too
        self._identity = identity(self._whole)

    def _take(self, events: Sequence[Event]) -> None:
        """Take in events, each after those that it was written upon."""
        self.events += events
        self.heads.update([event.id for event in events])
        self.heads.difference_update(*[event.parents for event in events])

    def refresh(self) -> int:
        """Read what others appended since the last look; return how many events that were."""
        with told(self.path):
            found = self.connection.execute(
                "SELECT seq, id, envelope FROM event WHERE seq > ? ORDER BY seq", (self._last,)
            ).fetchall()
        new: list[Event] = []
        for seq, known_id, text in found:
            if name(text) != known_id:
                raise Broken(say("record.changed", seq=seq, name=self.path.name))
            new.append(unseal(text, known_id))
        if new:
            self._take(new)
            self._last = found[-1][0]
        return len(new)

    def touched_by_others(self) -> bool:
        """Tell whether another program wrote since the last call; costs 8 microseconds."""
        with told(self.path):
            (version,) = self.connection.execute("PRAGMA data_version").fetchone()
        touched = self._seen_version not in (None, version)
        self._seen_version = version
        return touched

    @contextmanager
    def impatient(self) -> Iterator[None]:
        """Look without waiting: raise Busy at once where another program is just writing."""
        with told(self.path):
            self.connection.execute("PRAGMA busy_timeout = 0")
        try:
            yield
        finally:
            with told(self.path):
                self.connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")

    @property
    def lies(self) -> str:
        """Tell where the file is: here, away, or another (file lies under its name now)."""
        found = identity(self._whole)
        return "away" if found is None else "here" if found == self._identity else "another"

    def reopen(self) -> None:
        """Go on with the file that lies under the name now, as after a drive was plugged in again.

        Raises:
            NotNow: it lacks something that was recorded here.
            Unreadable, Broken: as when a job is opened.
        """
        fresh = open_record(self._whole)
        lacks = len({event.id for event in self.events} - {event.id for event in fresh.events})
        if lacks:
            fresh.connection.close()
            raise NotNow(say("record.lacks", name=self.path.name, n=lacks))
        old = self.connection
        vars(self).update({**vars(fresh), "path": self.path})
        with suppress(sqlite3.Error):  # its drive is gone
            old.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Hold the only right to write; all or nothing of what is appended inside is kept.

        Raises:
            Unreadable: locked by another program, read-only, or the disk is full. Nothing of
                the act was recorded then, unless it says so, and everything before it still is.
        """
        with told(self.path):
            self.connection.execute("BEGIN IMMEDIATE")
        self.refresh()
        before = len(self.events), set(self.heads), self._last
        ending = False
        try:
            with told(self.path):
                yield
                ending = True
                self.connection.execute("COMMIT")
        except BaseException as fault:
            if self.connection.in_transaction:
                self.connection.execute("ROLLBACK")
            ours = self.events[before[0] :]
            del self.events[before[0] :]
            self.heads, self._last = before[1], before[2]
            if ending and isinstance(fault, Unreadable) and self._may_stand(ours):
                unsure = say("record.unsure", name=self.path.name, fault=fault.__cause__)
                raise Unreadable(unsure) from fault
            raise

    def _may_stand(self, events: list[Event]) -> bool:
        """Tell whether an act may be in the file although committing it gave an error.

        The last thing that a commit does is to sync the emptied journal. When that fails the
        act stands, and only a power cut could take it back.
        """
        try:
            there = rows.event_ids(self.connection)
        except sqlite3.Error:
            return True  # the drive is gone: nobody can tell
        return bool(events) and events[-1].id in there

    def append(
        self, kind: str, body: Mapping[str, Any], *, at: str, device: str, by: str | None
    ) -> Event:
        """Append an event upon all that is known; call inside `writing`."""
        event = seal(kind, body, at=at, device=device, by=by, parents=self.heads)
        with told(self.path):
            self._last = rows.keep_event(self.connection, event) or self._last
        self._take([event])
        return event

    def keep_photo(self, sha256: str, data: bytes) -> bool:
        """Keep photo bytes; False where these bytes are kept already. Call inside `writing`."""
        with told(self.path):
            return rows.keep_photo(self.connection, sha256, data)

    def erase_photo(self, sha256: str) -> None:
        """Erase the bytes of a withheld photo; call inside `writing`, with its event."""
        with told(self.path):
            rows.erase_photo(self.connection, sha256)

    def has_photo(self, sha256: str) -> bool:
        """Tell whether the bytes of a photo are in the file."""
        with told(self.path):
            select = "SELECT 1 FROM photo WHERE sha256 = ?"
            return self.connection.execute(select, (sha256,)).fetchone() is not None

    def derived(self, read: Callable[[sqlite3.Connection], Found]) -> Found:
        """Return what a function of `derived` or `rows` reads here; faults are told as always."""
        with told(self.path):
            return read(self.connection)

    def photo_bytes(self, sha256: str) -> bytes:
        """Return a photo as the camera wrote it.

        Raises:
            WrongUse: no such photo in this job.
            Broken: the bytes kept are not the bytes that were taken in.
        """
        from hashlib import sha256 as digest  # noqa: PLC0415 - not needed to open a job

        with told(self.path):
            row = self.connection.execute(
                "SELECT data FROM photo WHERE sha256 = ?", (sha256,)
            ).fetchone()
        if row is None:
            raise WrongUse(say("photos.unknown", photo=sha256[:12]))
        data = bytes(row[0])
        if digest(data).hexdigest() != sha256:
            raise Broken(say("verify.photo-changed", photo=sha256[:12]))
        return data

    def close(self) -> None:
        """Close the file and leave exactly one file behind."""
        try:
            self.connection.execute("PRAGMA journal_mode = DELETE")
        except sqlite3.Error:
            pass  # read-only, or another program is at work: its journal is its own
        finally:
            self.connection.close()


def open_record(path: Path) -> Record:
    """Open a job file and read its events; errors as for `connect` and `unseal`."""
    path = located(path)
    record = Record(path, connect(path))
    try:
        record.refresh()
    except BaseException:
        record.connection.close()
        raise
    record.touched_by_others()
    return record
