"""The event envelope: canonical JSON, named by its hash, knowing what it was written upon.

For strings, integers, booleans, null and ASCII keys, `json.dumps` with sorted keys and no
blanks writes what RFC 8785 (JSON Canonicalization Scheme) asks for, so any language can
check an id. Floats are refused: a number is the text that was typed, with its unit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any, Literal

from msgspec import Raw, Struct
from msgspec.json import Decoder, decode

from siltline import times
from siltline.errors import Broken
from siltline.sentences import say

VERSION = 1
LARGEST = 2**53 - 1  # RFC 8785 section 3.2.2.3: integers that every reader keeps exact


class Event(Struct, frozen=True, gc=False):
    """One thing that a person said or saw.

    Attributes:
        id: sha256 of `text`, 64 hex digits.
        kind: ticked, photo, laid, ... (DEVELOPERS.md has the list).
        at: RFC 3339 with offset, as the laptop's clock had it.
        device: which laptop, 16 hex digits.
        by: the person, or None where nobody was named.
        parents: ids of the events that were the newest when this one was written, sorted.
        body: what the kind needs.
        text: the canonical JSON that is stored.
    """

    id: str
    kind: str
    at: str
    device: str
    by: str | None
    parents: tuple[str, ...]
    body: Mapping[str, Any]
    text: str


class Late(Mapping[str, Any]):
    """The body of a large event: each part of it is decoded when it is asked for."""

    def __init__(self, parts: dict[str, Raw]) -> None:
        """Take the parts as they stand in the text."""
        self.parts = parts

    def __getitem__(self, key: str) -> Any:
        """Return a part; KeyError where there is none of that name."""
        return decode(self.parts[key])

    def __contains__(self, key: object) -> bool:
        """Tell whether there is a part of that name, without decoding it."""
        return key in self.parts

    def __iter__(self) -> Iterator[str]:
        """Return the names of the parts."""
        return iter(self.parts)

    def __len__(self) -> int:
        """Return how many parts there are."""
        return len(self.parts)


class _Envelope(Struct, frozen=True, forbid_unknown_fields=True):
    v: Literal[1]
    kind: str
    at: str
    device: str
    by: str | None
    parents: tuple[str, ...]
    body: dict[str, Any]


class _Large(_Envelope, frozen=True, forbid_unknown_fields=True):
    body: dict[str, Raw]


LARGE = 65_536  # characters; a plan is megabytes, and what is read of it is read as steps
_read, _read_large = Decoder(_Envelope).decode, Decoder(_Large).decode


def _check(value: object, where: str) -> None:
    match value:
        case None | bool() | str():
            return
        case int() if abs(value) <= LARGEST:
            return
        case Mapping():
            for key, inner in value.items():
                if not (isinstance(key, str) and key.isascii()):
                    msg = f"{where}: key {key!r} is not ASCII text"
                    raise TypeError(msg)
                _check(inner, f"{where}.{key}")
        case list() | tuple():
            for number, inner in enumerate(value):
                _check(inner, f"{where}[{number}]")
        case _:
            msg = f"{where}: {type(value).__name__} cannot be recorded"
            raise TypeError(msg)


def canonical(value: Mapping[str, Any]) -> str:
    """Return the canonical JSON of a value of str, int, bool, None, lists and objects.

    Raises:
        TypeError: a float, another type, a key that is not ASCII, an integer past 2**53 - 1.
        UnicodeEncodeError: a lone surrogate, which UTF-8 cannot hold.
    """
    import json  # noqa: PLC0415 - no first paint needs it

    _check(value, "event")
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    text.encode("utf-8")
    return text


def name(text: object) -> str:
    """Return the id of an event: the sha256 of its canonical JSON; "" where that is no text."""
    if not isinstance(text, str):
        return ""  # a damaged file gives NULL where the text stood
    return sha256(text.encode("utf-8")).hexdigest()


def seal(
    kind: str,
    body: Mapping[str, Any],
    *,
    at: str,
    device: str,
    by: str | None,
    parents: Iterable[str],
) -> Event:
    """Return a new event, named by its hash; errors as for `canonical`."""
    above = tuple(sorted(parents))
    text = canonical(
        {
            "v": VERSION,
            "kind": kind,
            "at": at,
            "device": device,
            "by": by,
            "parents": above,
            "body": body,
        }
    )
    return Event(name(text), kind, at, device, by, above, body, text)


def unseal(text: str, known_id: str) -> Event:
    """Return the event that was stored under an id; the id is taken on trust (see `audit`).

    Raises:
        Broken: not an envelope of this version.
    """
    try:
        if len(text) < LARGE:
            found = _read(text)
            body: Mapping[str, Any] = found.body
        else:
            found = _read_large(text)
            body = Late(found.body)
        times.read(found.at)
    except (ValueError, RecursionError) as fault:
        raise Broken(say("record.not-an-event", id=known_id[:12])) from fault
    return Event(known_id, found.kind, found.at, found.device, found.by, found.parents, body, text)


def heads(events: Sequence[Event]) -> tuple[str, ...]:
    """Return the ids of the events that no other event was written upon, sorted."""
    covered = {parent for event in events for parent in event.parents}
    return tuple(sorted(event.id for event in events if event.id not in covered))
