"""Photos that are meant to hurt whoever reads them, and workers that run code of ours."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from siltline.photos import reader as reader_module

TUI = str(Path(__file__).parents[2] / "tui")


def saved(image: Image.Image, kind: str, **how: object) -> bytes:
    written = io.BytesIO()
    image.save(written, kind, **how)
    return written.getvalue()


def with_exif(tiff: bytes, image: bytes) -> bytes:
    """Return a JPEG with bytes of ours in the place of EXIF."""
    segment = b"Exif\0\0" + tiff
    return image[:2] + b"\xff\xe1" + struct.pack(">H", len(segment) + 2) + segment + image[2:]


PLAIN = saved(Image.new("RGB", (64, 48), "red"), "JPEG")


def endless_exif(entries: int = 300) -> bytes:
    """Return 8 kB of EXIF over which the second reader sits for a minute.

    300 entries each point to the same directory of 300 entries of 999 numbers.
    """
    inner = 8 + 2 + 12 * entries + 4
    pointers = struct.pack("<HHII", 0x8825, 4, 1, inner) * entries
    numbers = struct.pack("<HHII", 0xEEEE, 1, 999, 0) * entries
    head = b"II*\0" + struct.pack("<I", 8)
    count, last = struct.pack("<H", entries), struct.pack("<I", 0)
    return head + count + pointers + last + count + numbers + last


def endless_scans(scans: int = 4000) -> bytes:
    """Return a small JPEG whose last scan comes so often that drawing it takes half a minute."""
    whole = saved(Image.new("RGB", (3000, 3000)), "JPEG", progressive=True)
    last = whole[whole.rfind(b"\xff\xda") : -2]
    return whole[:-2] + last * scans + whole[-2:]


def started_with(monkeypatch: pytest.MonkeyPatch, code: str) -> None:
    """Let every new worker run some code of ours before it begins, as a bad library would."""
    start = f"""
import os, sys, time
sys.path.insert(0, {TUI!r})
from siltline.photos import worker
real_first, real_second = worker.first_reader, worker.second_reader
{code}
worker.main()
"""
    monkeypatch.setattr(reader_module, "_START", start)


def _chunk(kind: bytes, content: bytes) -> bytes:
    """Return a chunk of a PNG (ISO/IEC 15948, 5.3)."""
    check = struct.pack(">I", zlib.crc32(kind + content))
    return struct.pack(">I", len(content)) + kind + content + check


def _even(rows: int, row: int) -> bytes:
    """Return that many rows of that many bytes of one colour, deflated."""
    deflate = zlib.compressobj(9)
    return b"".join(deflate.compress(bytes(row)) for _ in range(rows)) + deflate.flush()


def png_bomb(side: int) -> bytes:
    """Return a PNG of side by side pixels of one colour, a bit each."""
    size = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    rows = _chunk(b"IDAT", _even(side, 1 + (side + 7) // 8))
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", size) + rows + _chunk(b"IEND", b"")


def directory(entries: list[tuple[int, int, int, int]], after: int = 0) -> bytes:
    """Return a TIFF directory of tags (number, type, count, value).

    Args:
        entries: as above; a value that needs more than 4 bytes is where it stands.
        after: where the next directory is said to stand; 0 for nowhere.
    """
    packed = b"".join(struct.pack("<HHII", *entry) for entry in entries)
    return struct.pack("<H", len(entries)) + packed + struct.pack("<I", after)


def tiff_bomb(side: int) -> bytes:
    """Return a TIFF of side by side pixels of one colour, a bit each, in one deflated strip."""
    strip = _even(side, (side + 7) // 8)
    told = {256: side, 257: side, 258: 1, 259: 8, 262: 1, 277: 1, 278: side, 279: len(strip)}
    entries = [(tag, 4, 1, value) for tag, value in told.items()]
    behind = 8 + 2 + 12 * (len(entries) + 1) + 4
    entries.insert(5, (273, 4, 1, behind))  # tags stand in order (TIFF 6.0, section 2)
    return b"II*\0" + struct.pack("<I", 8) + directory(entries) + strip


def endless_note() -> bytes:
    """Return 56 bytes of EXIF whose maker's note says it is 4 GB long.

    A reader that unfolds it byte by byte sits over it for minutes (exifread issue 182).
    """
    inner = 8 + 2 + 12 * 2 + 4
    main = directory([(0x010F, 2, 2, 0x41), (0x8769, 4, 1, inner)])
    return b"II*\0" + struct.pack("<I", 8) + main + directory([(0x927C, 7, 0xFFFFFFFF, 0)])


def looping_exif() -> Iterator[tuple[str, bytes]]:
    """Yield EXIF whose directories lead back to themselves, each with how."""
    head, size = b"II*\0" + struct.pack("<I", 8), 8 + 2 + 12 + 4
    yield "the next one is itself", head + directory([(0x0112, 3, 1, 1)], after=8)
    for name, tag in (("EXIF", 0x8769), ("GPS", 0x8825), ("others", 0xA005), ("below", 0x014A)):
        yield f"{name} is itself", head + directory([(tag, 4, 1, 8)], after=8)
    there, back = directory([(0x8769, 4, 1, size)]), directory([(0x8825, 4, 1, 8)], after=8)
    yield "one leads to the other", head + there + back
    yield "EXIF within EXIF", head + there + directory([(0x8769, 4, 1, size)], after=size)
