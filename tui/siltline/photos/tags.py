"""All that EXIF says of a photo, as text: for a person who wants to see what the camera wrote."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from siltline.photos.headers import LONGEST, exif_of, open_picture

MOST = 400  # no camera writes as many outside of its own notes
_GROUPS = ((None, "Image"), (0x8769, "Exif"), (0x8825, "GPS"), (0xA005, "Interoperability"))
_POINTERS = {0x8769, 0x8825, 0xA005}
_MAKER_NOTE = 0x927C

Tag = tuple[str, str, str]  # group, name, value


def _shown(value: Any) -> str:
    if isinstance(value, bytes):
        text = value.decode("latin-1")
        readable = text.rstrip("\0").isprintable()
        return text.rstrip("\0") if readable else value[:LONGEST].hex(" ")
    if isinstance(value, tuple | list):
        return " ".join(_shown(part) for part in value[:LONGEST])
    return str(value)


def _of_group(found: Mapping[int, Any], names: Mapping[int, str]) -> Iterator[tuple[str, str]]:
    for tag in sorted(found):
        name, value = names.get(tag, f"0x{tag:04x}"), found[tag]
        if tag == _MAKER_NOTE and isinstance(value, bytes):
            yield name, f"{len(value)} bytes"
        elif tag not in _POINTERS:
            yield name, _shown(value)[:LONGEST]


def all_tags(data: bytes) -> list[Tag]:
    """Return every tag of EXIF with its group and its value as text, at most 400.

    Raises:
        Exception: whatever a reader raises on hostile bytes; the worker catches it.
    """
    from PIL import ExifTags  # noqa: PLC0415

    with open_picture(data) as image:
        exif = exif_of(image, data)
    found: list[Tag] = []
    for pointer, group in _GROUPS:
        names = ExifTags.GPSTAGS if group == "GPS" else ExifTags.TAGS
        directory = exif if pointer is None else exif.get_ifd(pointer)
        found += [(group, name, value) for name, value in _of_group(directory, names)]
    return found[:MOST]
