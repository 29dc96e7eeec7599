"""Small pictures for tests, with EXIF as a camera would write it."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image


def picture(
    number: int = 0,
    *,
    stamp: str | None = "2026:03:12 07:30:00",
    offset: str | None = None,
    make: str = "Invented",
    model: str = "T1",
    size: tuple[int, int] = (32, 24),
) -> bytes:
    """Return a small JPEG that differs from every other number's."""
    image = Image.new("RGB", size, (number * 7 % 256, number * 31 % 256, number * 101 % 256))
    image.putpixel((0, 0), (number % 256, number // 256 % 256, 0))
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = make, model
    inner = exif.get_ifd(0x8769)
    if stamp is not None:
        inner[0x9003] = stamp
    if offset is not None:
        inner[0x9011] = offset
    inner[0x9286] = f"number {number}".encode()
    written = io.BytesIO()
    image.save(written, "JPEG", exif=exif)
    return written.getvalue()


def commented(data: bytes, text: bytes) -> bytes:
    """Return a JPEG with a comment before its picture, where every reader sees it."""
    return data[:2] + b"\xff\xfe" + (len(text) + 2).to_bytes(2, "big") + text + data[2:]


def photo(folder: Path, name: str = "IMG_0001.JPG", number: int = 0, **how: object) -> Path:
    """Write a picture into a folder; return its path."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(picture(number, **how))  # type: ignore[arg-type]
    return path
