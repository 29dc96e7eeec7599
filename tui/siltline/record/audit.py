"""Checks that a job file is whole: nothing changed, nothing missing since it was written."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from siltline.errors import Broken
from siltline.record.connect import connect, located, told
from siltline.record.envelope import canonical, name, unseal
from siltline.sentences import say

_CHUNK = 1 << 20


def _sqlite_faults(connection: sqlite3.Connection) -> Iterator[str]:
    for (line,) in connection.execute("PRAGMA integrity_check(5)"):
        if line != "ok":
            yield say("verify.sqlite", fault=line)


def _event_faults(connection: sqlite3.Connection, named: dict[str, int]) -> Iterator[str]:
    """Walk the events in file order; note the photos they name in `named`."""
    seen: set[str] = set()
    for seq, known_id, text in connection.execute("SELECT seq, id, envelope FROM event"):
        if name(text) != known_id:
            yield say("verify.event-changed", seq=seq)
            continue
        try:
            event = unseal(text, known_id)
            exact = canonical(json.loads(text)) == text
        except (Broken, TypeError):
            exact = False
        if not exact:
            yield say("verify.event-strange", seq=seq)
            continue
        if not seen.issuperset(event.parents):
            yield say("verify.parent-missing", seq=seq)
        if not event.parents and seen:
            yield say("verify.second-root", seq=seq)
        seen.add(event.id)
        if event.kind == "photo":
            named[event.body["sha256"]] = event.body["bytes"]


def _digest(connection: sqlite3.Connection, seq: int) -> str:
    """Hash a photo in pieces, so that the largest costs no more memory than the smallest."""
    found = hashlib.sha256()
    with connection.blobopen("photo", "data", seq, readonly=True) as blob:
        while piece := blob.read(_CHUNK):
            found.update(piece)
    return found.hexdigest()


def _photo_faults(connection: sqlite3.Connection, named: dict[str, int]) -> Iterator[str]:
    kept = connection.execute("SELECT seq, sha256, bytes, length(data) FROM photo").fetchall()
    for seq, sha256, size, length in kept:
        if size != length or _digest(connection, seq) != sha256:
            yield say("verify.photo-changed", photo=sha256[:12])
        elif sha256 not in named:
            yield say("verify.photo-stray", photo=sha256[:12])
    for sha256 in sorted(set(named) - {row[1] for row in kept}):
        yield say("verify.photo-missing", photo=sha256[:12])


def faults(path: Path) -> list[str]:
    """Return what is wrong with a job file, in words; an empty list where it is whole.

    Checks SQLite's own structure, each event against its id and its parents, each photo
    against its sha256, and that photos and photo events name each other.

    Raises:
        Unreadable: it cannot be opened as a job at all.
    """
    found: list[str] = []
    path = located(path)
    try:
        connection = connect(path)
        named: dict[str, int] = {}
        try:
            with told(path):
                found += _sqlite_faults(connection)
                found += _event_faults(connection, named)
                found += _photo_faults(connection, named)
        finally:
            connection.close()
    except Broken as fault:
        found.append(str(fault))
    return found
