"""Brings what is intact of a damaged job file together, and says what is lost.

Rows are read page by page, without SQLite, for one bit in a schema or a header makes SQLite
refuse a whole file. What lies in no page that can be read is looked for in the raw bytes: an
event that lies in one piece is known by its own form and hash. The indexes of ids tell of
entries that nothing else names any more.
"""

from __future__ import annotations

import hashlib
import heapq
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from mmap import ACCESS_READ, mmap
from pathlib import Path

from msgspec import Struct, field

from siltline.errors import Broken, Unreadable
from siltline.record.connect import PAGE_BYTES
from siltline.record.envelope import Event, canonical, name, unseal
from siltline.record.pages import Raw, Value, index_pages, page_size, rows
from siltline.sentences import say

_START = re.compile(rb'\{"at":"')
_END = b'"v":1}'
_LONGEST_CARVED = 64_000  # bytes; a longer event does not lie in one piece
_MOST_ENDS = 8  # a body may have such an end too
_ID = re.compile(r"[0-9a-f]{64}")


class Salvaged(Struct):
    """What was found intact, and what is known to be lost.

    Attributes:
        events: by id.
        photos: sha256 of those whose bytes are intact, and which nobody withheld.
        lost: ids of events and sha256 of photos, sorted.
    """

    events: dict[str, Event] = field(default_factory=dict)
    photos: set[str] = field(default_factory=set)
    lost: list[str] = field(default_factory=list)

    def of(self, kind: str, key: str) -> set[str]:
        """Return what the events of a kind name."""
        return {event.body[key] for event in self.events.values() if event.kind == kind}


@contextmanager
def _raw(path: Path) -> Iterator[Raw]:
    """Give the bytes of a file without reading all of them.

    Raises:
        Unreadable: there is no such file, or it cannot be read.
    """
    try:
        with path.open("rb") as file:
            if not path.stat().st_size:
                yield b""
                return
            with mmap(file.fileno(), 0, access=ACCESS_READ) as raw:
                yield raw
    except OSError as fault:
        raise Unreadable(say("record.cannot-open", name=path.name)) from fault


def _event(text: Value) -> Event | None:
    """Return an event whose text is exactly what siltline writes; its id follows from it."""
    if not isinstance(text, str):
        return None
    try:
        event = unseal(text, name(text))
        return event if canonical(json.loads(text)) == text else None
    except (Broken, TypeError, ValueError, RecursionError):
        return None


def _carved(raw: Raw) -> Iterator[str]:
    """Yield the texts in raw bytes that may be events in one piece: from their start to each end.

    Keys are sorted, so that every event ends in its version.
    """
    for match in _START.finditer(raw):
        start = end = match.start()
        for _ in range(_MOST_ENDS):
            end = raw.find(_END, end, start + _LONGEST_CARVED)
            if end < 0:
                break
            end += len(_END)
            with suppress(UnicodeDecodeError):
                yield raw[start:end].decode("utf-8")


def _photo(values: list[Value]) -> tuple[str, bytes] | None:
    """Return the hash and the bytes of a row of the photo table, if they fit."""
    match values:
        case [None, str(sha256), int(), bytes(data)]:
            return (sha256, data) if hashlib.sha256(data).hexdigest() == sha256 else None
    return None


def intact_photos(path: Path) -> Iterator[tuple[str, bytes]]:
    """Yield hash and bytes of the photos of a damaged file that are intact, one by one."""
    with _raw(path) as raw:
        for _, values in rows(raw, page_size(raw, PAGE_BYTES)):
            photo = _photo(values)
            if photo is not None:
                yield photo


def read_all(path: Path) -> Salvaged:
    """Return what is intact of a damaged file; the file is only read.

    Raises:
        Unreadable: there is no such file.
    """
    found, named = Salvaged(), set[str]()
    at: dict[int, set[str]] = {}  # row -> what was found intact under that number
    doubtful: list[tuple[int, str, Event]] = []
    with _raw(path) as raw:
        size = page_size(raw, PAGE_BYTES)
        for number, values in rows(raw, size):
            event = _event(values[2]) if len(values) == 3 else None  # noqa: PLR2004 - seq, id, text
            photo = _photo(values)
            if event is not None and _doubtful(values[1], event):
                doubtful.append((number, str(values[1]), event))
            elif event is not None:
                found.events.setdefault(event.id, event)
                at.setdefault(number, set()).add(event.id)
            elif photo is not None:
                found.photos.add(photo[0])
                at.setdefault(number, set()).add(photo[0])
            else:
                named |= _broken_row(values)
        changed = _settle(raw, size, doubtful, found, at)
        named |= {known for known, _ in changed}
        known_texts = found.events.keys() | {event for _, event in changed}
        for text in _carved(raw):
            event = None if name(text) in known_texts else _event(text)
            if event is not None:
                found.events[event.id] = event
        named |= _indexed(raw, size, found, at)
    _weigh(found, named)
    return found


def _doubtful(known: Value, event: Event) -> bool:
    """Tell whether an entry stands under another id than its text has: one of them changed."""
    return isinstance(known, str) and bool(_ID.fullmatch(known)) and known != event.id


def _settle(
    raw: Raw,
    size: int,
    doubtful: list[tuple[int, str, Event]],
    found: Salvaged,
    at: dict[int, set[str]],
) -> list[tuple[str, str]]:
    """Take in the doubtful entries whose text is what was written; return the others.

    The text is what was written where its id is in an index, or a later entry names it.

    Returns:
        The id under which each changed entry stands, and the one that its text has now.
    """
    if not doubtful:
        return []
    vouched = {parent for event in found.events.values() for parent in event.parents}
    vouched |= {parent for _, _, event in doubtful for parent in event.parents}
    vouched |= {str(e[0]) for entries in index_pages(raw, size) for e in entries if e}
    for number, _, event in doubtful:
        if event.id in vouched:
            found.events.setdefault(event.id, event)
            at.setdefault(number, set()).add(event.id)
    return [(known, event.id) for _, known, event in doubtful if event.id not in vouched]


def _broken_row(values: list[Value]) -> set[str]:
    """Return the id or hash under which something broken stood."""
    match values:
        case [None, str(name_), str()] | [None, str(name_), int(), bytes()]:
            return {name_} if _ID.fullmatch(name_) else set()
    return set()


def _indexed(raw: Raw, size: int, found: Salvaged, at: dict[int, set[str]]) -> set[str]:
    """Return the ids in indexes whose rows are gone.

    A row that is there, with another id than the index tells, means that the index is damaged.
    """
    taken = found.of("photo", "sha256") | found.photos
    gone: set[str] = set()
    for entries in index_pages(raw, size):
        keys = [(e[0], e[1]) for e in entries if len(e) == 2]  # noqa: PLR2004 - id, seq
        here = {key: seq for key, seq in keys if isinstance(key, str) and isinstance(seq, int)}
        of_photos = not here.keys().isdisjoint(taken)
        same_kind = taken if of_photos else found.events.keys()
        gone |= {
            key
            for key, seq in here.items()
            if _ID.fullmatch(key) and at.get(seq, set()).isdisjoint(same_kind)
        }
    return gone


def _weigh(found: Salvaged, named: set[str]) -> None:
    """Set what is lost: what was found or stood in the file names it, and it is not there."""
    away = found.of("withheld", "photo")
    found.photos -= away
    parents = {parent for event in found.events.values() for parent in event.parents}
    wanted = parents | found.of("photo", "sha256") | named
    found.lost = sorted(wanted - found.events.keys() - found.photos - away)


def ordered(found: Salvaged) -> list[Event]:
    """Return the events so that parents come first, as far as they are there."""
    waits = {e.id: {p for p in e.parents if p in found.events} for e in found.events.values()}
    upon: dict[str, list[str]] = {}
    for child, parents in waits.items():
        for parent in parents:
            upon.setdefault(parent, []).append(child)
    ready = [(found.events[i].at, i) for i, parents in waits.items() if not parents]
    heapq.heapify(ready)
    placed: list[Event] = []
    while ready:
        _, here = heapq.heappop(ready)
        placed.append(found.events[here])
        for child in upon.get(here, ()):
            waits[child].discard(here)
            if not waits[child]:
                heapq.heappush(ready, (found.events[child].at, child))
    return placed
