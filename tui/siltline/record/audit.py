"""Checks that a job file is whole: nothing changed, nothing missing since it was written."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from siltline.errors import Broken, Refusal
from siltline.progress import QUIET, Follower
from siltline.record.connect import connect, located, told
from siltline.record.envelope import Event, canonical, name, unseal
from siltline.record.layout import layout_faults
from siltline.sentences import say

_CHUNK = 1 << 20
_ASK_EVERY_S = 0.05


@contextmanager
def _broken_off_in_a_hurry(connection: sqlite3.Connection, follow: Follower) -> Iterator[None]:
    """Break a long statement off when somebody waits for the file that it reads."""
    done = threading.Event()

    def ask() -> None:
        while not done.wait(_ASK_EVERY_S):
            if follow.hurry():
                connection.interrupt()

    asker = threading.Thread(target=ask, daemon=True)
    asker.start()
    try:
        yield
    finally:
        done.set()
        asker.join()


def _integrity(connection: sqlite3.Connection, follow: Follower) -> list[str]:
    """Return what SQLite says of its structure.

    It walks the whole file in one statement and lets nobody commit meanwhile: an act that waits
    goes first, and the walk begins again on the newest state.
    """
    while True:
        follow.reached("structure", 0)
        try:
            with _broken_off_in_a_hurry(connection, follow):
                rows = connection.execute("PRAGMA integrity_check(5)").fetchall()
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorname != "SQLITE_INTERRUPT":
                raise
        else:
            return [str(line) for (line,) in rows]


def _sqlite_faults(connection: sqlite3.Connection, follow: Follower) -> Iterator[str]:
    for line in _integrity(connection, follow):
        if line != "ok":
            yield say("verify.sqlite", fault=line)


class _Named:
    """The photos that the events name: taken in (sha256 -> bytes), and withheld."""

    def __init__(self) -> None:
        self.taken: dict[str, int] = {}
        self.withheld: set[str] = set()
        self.lost: set[str] = set()  # events and photos that a salvage could not bring over

    def see(self, event: Event) -> None:
        body = event.body
        if event.kind == "photo":
            self.taken[body["sha256"]] = body["bytes"]
        elif event.kind == "withheld":
            self.withheld.add(body["photo"])
        elif event.kind == "salvaged":
            self.lost.update(body["lost"])


def _read(known_id: str, text: str) -> Event | None:
    """Return an event if it is in exactly the form that siltline writes."""
    try:
        event = unseal(text, known_id)
        exact = canonical(json.loads(text)) == text
    except (Broken, TypeError, ValueError, RecursionError):
        return None
    return event if exact else None


def _event_faults(connection: sqlite3.Connection, named: _Named) -> Iterator[str]:
    """Walk the events in file order; note the photos they name in `named`."""
    rows = connection.execute("SELECT seq, id, envelope FROM event ORDER BY seq").fetchall()
    for _, known_id, text in rows:  # what a salvage lost is known before its children are met
        if '"kind":"salvaged"' in str(text) and name(text) == known_id:
            event = _read(known_id, text)
            if event is not None:
                named.see(event)
    seen: set[str] = set()
    for seq, known_id, text in rows:
        if name(text) != known_id:
            yield say("verify.event-changed", seq=seq)
            continue
        event = _read(known_id, text)
        if event is None:
            yield say("verify.event-strange", seq=seq)
            continue
        if not seen.issuperset(set(event.parents) - named.lost):
            yield say("verify.parent-missing", seq=seq)
        if not event.parents and seen and event.id not in named.lost:
            yield say("verify.second-root", seq=seq)
        seen.add(event.id)
        named.see(event)


def _digest(connection: sqlite3.Connection, seq: int) -> str:
    """Hash a photo in pieces, so that the largest costs no more memory than the smallest.

    Returns:
        The sha256, or "" where a damaged page shows a row that has no bytes, or is not there.
    """
    found = hashlib.sha256()
    try:
        with connection.blobopen("photo", "data", seq, readonly=True) as blob:
            while piece := blob.read(_CHUNK):
                found.update(piece)
    except sqlite3.OperationalError as fault:
        if getattr(fault, "sqlite_errorname", "") == "SQLITE_ERROR":
            return ""
        raise
    return found.hexdigest()


def _photo_faults(connection: sqlite3.Connection, named: _Named, follow: Follower) -> Iterator[str]:
    select = "SELECT seq, CAST(sha256 AS TEXT), bytes, length(data) FROM photo"
    kept = [(seq, sha256 or "", *sizes) for seq, sha256, *sizes in connection.execute(select)]
    for done, (seq, sha256, size, length) in enumerate(kept):
        follow.reached("hash", done, len(kept))
        if size != length or _digest(connection, seq) != sha256:
            yield say("verify.photo-changed", photo=sha256[:12])
        elif sha256 not in named.taken:
            yield say("verify.photo-stray", photo=sha256[:12])
        elif sha256 in named.withheld:
            yield say("verify.photo-not-erased", photo=sha256[:12])
    there = {row[1] for row in kept} | named.withheld | named.lost
    for sha256 in sorted(named.taken.keys() - there):
        yield say("verify.photo-missing", photo=sha256[:12])


def _withheld_faults(connection: sqlite3.Connection, named: _Named) -> Iterator[str]:
    """Compare the list that lets photos go, and keeps them from coming back, with the record."""
    if not connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'withheld'").fetchone():
        return  # version 1
    select = "SELECT coalesce(CAST(sha256 AS TEXT), '') FROM withheld"
    listed = {sha256 for (sha256,) in connection.execute(select)}
    for sha256 in sorted(listed ^ named.withheld):
        yield say("verify.withheld-list", photo=sha256[:12])


def faults(path: Path, follow: Follower = QUIET) -> list[str]:
    """Return what is wrong with a job file, in words; an empty list where it is whole.

    Checks SQLite's own structure, each event against its id and its parents, each photo
    against its sha256, that photos and photo events name each other, and the file's layout.
    What a salvage could not bring over is no fault of the new file, which says so itself.

    Args:
        path: the job file.
        follow: is told how far it is, and may stop it.

    Raises:
        Unreadable: it cannot be opened as a job at all.
    """
    path = located(path)
    try:
        connection = connect(path)
    except Broken as fault:
        return [str(fault)]
    # torn letters are shown as such; the hash of their text does not fit then
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    found: list[str] = []
    try:
        with told(path):
            found += _length_faults(connection, path)
            for look in _looks(connection, follow):
                found += look  # what is found before a failure stays
    except Refusal as fault:
        if not (found or isinstance(fault, Broken)):
            raise  # it could not be looked at: locked, a drive that went away
        found.append(str(fault))
    finally:
        connection.close()
    return found


def _length_faults(connection: sqlite3.Connection, path: Path) -> Iterator[str]:
    """Tell that a file is shorter than its pages: SQLite reads what is missing as nothing."""
    size = path.stat().st_size  # before the count: another program may make the file longer
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    (each,) = connection.execute("PRAGMA page_size").fetchone()
    if size < pages * each:
        yield say("verify.short", missing=pages * each - size)


def _looks(connection: sqlite3.Connection, follow: Follower) -> Iterator[Iterator[str]]:
    """Yield each way of looking, in turn."""
    named = _Named()
    yield _sqlite_faults(connection, follow)
    yield _event_faults(connection, named)
    yield _photo_faults(connection, named, follow)
    yield _withheld_faults(connection, named)
    yield layout_faults(connection)
