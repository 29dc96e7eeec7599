"""Brings what is intact of a damaged job file into a new one, and says what is lost.

Three ways to each row, for a damaged page can close one and leave another open: the table from
its start, row by row by number, and by the index of ids. What SQLite cannot reach at all is
looked for in the raw bytes: an event that lies in one piece is known by its own form and hash.
"""

from __future__ import annotations

import hashlib
import json
import re
import sqlite3
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from siltline.errors import Broken, Unreadable
from siltline.record.connect import uri
from siltline.record.envelope import Event, canonical, name, unseal
from siltline.sentences import say

_START = re.compile(rb'\{"at":"')
_LONGEST_CARVED = 200_000  # bytes; a longer event does not lie in one piece
_MOST = 10_000_000  # row numbers tried beyond which no job goes


@dataclass(slots=True)
class Salvaged:
    """What was found intact, and what is known to be lost."""

    events: dict[str, Event] = field(default_factory=dict)
    photos: dict[str, bytes] = field(default_factory=dict)
    lost: list[str] = field(default_factory=list)


def _rows(connection: sqlite3.Connection, table: str, columns: str) -> Iterator[tuple[Any, ...]]:
    """Yield every row of a table that can be reached; the same row may come twice."""
    select = f"SELECT {columns} FROM {table}"  # noqa: S608 - our own words
    seen = 0
    with suppress(sqlite3.Error):
        for row in connection.execute(f"{select} ORDER BY seq"):
            seen += 1
            yield row
        return
    with suppress(sqlite3.Error):
        yield from connection.execute(f"{select} ORDER BY seq DESC")
    last = 0
    for order in ("DESC", "ASC"):
        with suppress(sqlite3.Error):
            query = f"SELECT seq FROM {table} ORDER BY seq {order} LIMIT 1"  # noqa: S608
            (found,) = connection.execute(query).fetchone() or (0,)
            last = max(last, found)
    for seq in range(1, min(max(last, 2 * seen + 1000), _MOST)):
        with suppress(sqlite3.Error):
            yield from connection.execute(f"{select} WHERE seq = ?", (seq,))


def _event(text: object) -> Event | None:
    """Return an event whose text is exactly what siltline writes; its id follows from it."""
    if not isinstance(text, str):
        return None
    try:
        event = unseal(text, name(text))
        return event if canonical(json.loads(text)) == text else None
    except (Broken, TypeError, ValueError, RecursionError):
        return None


def _carved(raw: bytes) -> Iterator[Event]:
    """Yield the events that lie in one piece in raw bytes."""
    decoder = json.JSONDecoder()
    for match in _START.finditer(raw):
        piece = raw[match.start() : match.start() + _LONGEST_CARVED].decode("utf-8", "replace")
        with suppress(ValueError, RecursionError):
            _, end = decoder.raw_decode(piece)
            event = _event(piece[:end])
            if event is not None:
                yield event


def read_all(path: Path) -> Salvaged:
    """Return what is intact of a damaged file; the file is only read.

    Raises:
        Unreadable: there is no such file.
    """
    try:
        raw = path.read_bytes()
    except OSError as fault:
        raise Unreadable(say("record.cannot-open", name=path.name)) from fault
    found = Salvaged()
    with suppress(sqlite3.Error):
        connection = sqlite3.connect(uri(path, "ro"), uri=True)
        try:
            for (text,) in _rows(connection, "event", "envelope"):
                event = _event(text)
                if event is not None:
                    found.events.setdefault(event.id, event)
            for sha256, data in _rows(connection, "photo", "sha256, data"):
                if isinstance(data, bytes) and hashlib.sha256(data).hexdigest() == sha256:
                    found.photos[sha256] = data
        finally:
            connection.close()
    for event in _carved(raw):
        found.events.setdefault(event.id, event)
    found.lost = _lost(found)
    return found


def _lost(found: Salvaged) -> list[str]:
    """Return the ids of events and photos that what was found names, and that are not there."""
    events = found.events.values()
    parents = {parent for event in events for parent in event.parents}
    taken = {event.body["sha256"] for event in events if event.kind == "photo"}
    away = {event.body["photo"] for event in events if event.kind == "withheld"}
    return sorted((parents - found.events.keys()) | (taken - found.photos.keys() - away))


def ordered(found: Salvaged) -> list[Event]:
    """Return the events so that parents come first, as far as they are there."""
    left = dict(found.events)
    placed: list[Event] = []
    while left:
        ready = [e for e in left.values() if not any(p in left for p in e.parents)]
        for event in sorted(ready, key=lambda e: (e.at, e.id)) or list(left.values()):
            placed.append(event)
            del left[event.id]
    return placed
