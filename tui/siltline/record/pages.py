"""Reads rows straight from the pages of an SQLite file, whatever else of it is damaged.

No schema, no tree and no header is needed: each page that holds rows is read by itself, and so
is each row of it. What is read may be damaged or stale; the caller knows a good row by its hash.
Source: sqlite.org/fileformat2.html, sections 1.6 (b-tree pages) and 2.1 (records), from memory;
held against SQLite itself in tests/record/test_pages.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from mmap import mmap

_INTERIOR_INDEX, _LEAF_INDEX, _LEAF_TABLE = 2, 10, 13  # the first byte of a page that holds rows
_HEADER = 100  # bytes of the file's header
_INTEGERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial type -> bytes
_FIRST_BLOB, _FIRST_TEXT = 12, 13  # serial types; every second number is one byte more

Raw = bytes | mmap
Value = int | str | bytes | None


def _varint(raw: Raw, at: int) -> tuple[int, int]:
    """Return a number of up to nine bytes and where it ends."""
    value = 0
    for place in range(at, at + 8):
        byte = raw[place]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:  # noqa: PLR2004 - the top bit says that more follows
            return value, place + 1
    return value << 8 | raw[at + 8], at + 9


def _local(size: int, usable: int, *, table: bool) -> int:
    """Return how many bytes of a payload lie in the page itself; the rest overflows."""
    most = usable - 35 if table else (usable - 12) * 64 // 255 - 23
    if size <= most:
        return size
    least = (usable - 12) * 32 // 255 - 23
    fitting = least + (size - least) % (usable - 4)
    return fitting if fitting <= most else least


def _payload(raw: Raw, at: int, size: int, page: int, *, table: bool) -> bytes:
    """Return a payload with what overflowed.

    Raises:
        ValueError: it leads out of the file, or in a ring.
    """
    here = _local(size, page, table=table)
    found = [raw[at : at + here]]
    left, at = size - here, at + here
    been: set[int] = set()
    while left > 0:
        at = (int.from_bytes(raw[at : at + 4], "big") - 1) * page
        if not 0 < at < len(raw) or at in been:
            msg = "a payload that leads nowhere"
            raise ValueError(msg)
        been.add(at)
        found.append(raw[at + 4 : at + 4 + min(left, page - 4)])
        left -= page - 4
    return b"".join(found)


def _value(kind: int, body: bytes) -> Value:
    if kind in _INTEGERS:
        return int.from_bytes(body, "big", signed=True)
    if kind >= _FIRST_TEXT and kind % 2:
        return body.decode("utf-8")
    return body if kind >= _FIRST_BLOB else {8: 0, 9: 1}.get(kind)


def _record(payload: bytes) -> list[Value]:
    """Return the values of a record.

    Raises:
        ValueError, IndexError: it is none.
    """
    end, at = _varint(payload, 0)
    body, values = end, list[Value]()
    while at < end:
        kind, at = _varint(payload, at)
        size = (kind - 12) // 2 if kind >= _FIRST_BLOB else _INTEGERS.get(kind, 8 * (kind == 7))  # noqa: PLR2004
        if body + size > len(payload):
            msg = "a value that leads out of its record"
            raise ValueError(msg)
        values.append(_value(kind, payload[body : body + size]))
        body += size
    return values


def _cells(raw: Raw, start: int, page: int) -> Iterator[int]:
    """Yield where the rows of a page begin."""
    first = start + (12 if raw[start] == _INTERIOR_INDEX else 8)
    count = int.from_bytes(raw[start + 3 : start + 5], "big")
    for pointer in range(first, min(first + 2 * count, start + page), 2):
        yield start + int.from_bytes(raw[pointer : pointer + 2], "big")


def rows(raw: Raw, page: int) -> Iterator[tuple[int, list[Value]]]:
    """Yield row number and values of each row of a table that can be read.

    Args:
        raw: the file.
        page: bytes a page.
    """
    for start in range(0, len(raw), page):
        if raw[start] != _LEAF_TABLE:  # the first page is the schema, which nobody needs here
            continue
        for at in _cells(raw, start, page):
            with suppress(ValueError, IndexError):
                size, after = _varint(raw, at)
                number, after = _varint(raw, after)
                yield number, _record(_payload(raw, after, size, page, table=True))


def index_pages(raw: Raw, page: int) -> Iterator[list[list[Value]]]:
    """Yield the entries of each page of an index, as far as they can be read."""
    for start in range(0, len(raw), page):
        if raw[start] not in (_INTERIOR_INDEX, _LEAF_INDEX):
            continue
        entries = []
        for at in _cells(raw, start, page):
            with suppress(ValueError, IndexError):
                size, after = _varint(raw, at + (4 if raw[start] == _INTERIOR_INDEX else 0))
                entries.append(_record(_payload(raw, after, size, page, table=False)))
        yield entries


def page_size(raw: Raw, usual: int) -> int:
    """Return the bytes a page that the header tells, or what is usual where that is damaged."""
    told = int.from_bytes(raw[16:18], "big") if len(raw) >= _HEADER else 0
    told = 65536 if told == 1 else told
    whole = bytes(raw[:16]) == b"SQLite format 3\x00" and told >= 512 and told.bit_count() == 1  # noqa: PLR2004
    return told if whole else usual
