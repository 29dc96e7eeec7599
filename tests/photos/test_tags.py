"""All that EXIF says is told, also where it says it in a strange place."""

from __future__ import annotations

import struct

from siltline.photos.tags import all_tags
from support.hostile import PLAIN, directory, with_exif

HEAD = b"II*\0" + struct.pack("<I", 8)
MAKER_NOTE, ARTIST, GPS = 0x927C, 0x013B, 0x8825


def test_a_makers_note_among_satellite_tags_hides_nothing() -> None:
    inner = 8 + 2 + 12 * 2 + 4
    main = directory([(ARTIST, 2, 2, 0x41), (GPS, 4, 1, inner)])
    data = with_exif(HEAD + main + directory([(MAKER_NOTE, 7, 3, 0x636261)]), PLAIN)
    assert all_tags(data) == [("Image", "Artist", "A"), ("GPS", "0x927c", "3 bytes")]


def test_a_makers_note_that_is_a_number_hides_nothing() -> None:
    main = directory([(ARTIST, 2, 2, 0x41), (MAKER_NOTE, 3, 1, 7)])
    assert all_tags(with_exif(HEAD + main, PLAIN)) == [
        ("Image", "Artist", "A"), ("Image", "MakerNote", "7")
    ]  # fmt: skip
