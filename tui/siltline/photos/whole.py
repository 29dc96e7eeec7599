"""Does a picture's file go on to its end? Cheap signs only; nothing is decoded."""

from __future__ import annotations

_END_OF_IMAGE = b"\xff\xd9"
_SCAN = 0xDA
_SCAN_HEAD = 64  # more than the head of any scan has
_PNG_END = b"IEND"
_MOST_BOXES = 1000  # a HEIF has about five; millions of empty ones would take seconds
_RUN = bytes(65536)  # no camera writes 64 KiB of zeros into a JPEG


def _first_scan(data: bytes) -> int:
    """Return where the picture's own scan begins, past the thumbnail inside EXIF; -1 if nowhere.

    Segments: ISO/IEC 10918-1 (JPEG), annex B.1.1.4: marker, two bytes of length, content.
    """
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:  # noqa: PLR2004 - every marker starts so
        if data[at + 1] == 0xFF:  # noqa: PLR2004 - fill bytes may stand before a marker
            at += 1
            continue
        if data[at + 1] == _SCAN:
            return at
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return -1


def head(data: bytes) -> bytes:
    """Return the part of a JPEG that says what it is, up to its own scan; other files whole.

    What a camera writes of a picture stands before its pixels (CIPA DC-008, 4.5.4), and they are
    nearly all of the file.
    """
    scan = _first_scan(data) if data[:2] == b"\xff\xd8" else -1
    return data if scan < 0 else data[: scan + _SCAN_HEAD]


def _boxes_end(data: bytes) -> int:
    """Return where the top-level boxes of a HEIF say that the file ends.

    Boxes: ISO/IEC 14496-12, 4.2: 4 bytes of size, 4 of type; size 1 puts 8 bytes of size after
    them, size 0 means to the end of the file.
    """
    at = 0
    for _ in range(_MOST_BOXES):
        if at + 8 > len(data):
            break
        size = int.from_bytes(data[at : at + 4], "big")
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16], "big")
        if size == 0:
            return len(data)
        if size < 8:  # noqa: PLR2004 - no box is smaller than its own head
            break
        at += size
    return at


def cut_off(data: bytes, kind: str) -> bool:
    """Tell whether a JPEG, PNG or HEIF ends before its picture does.

    A JPEG that lost its end has no end marker after its first scan began; what follows the
    marker (a second picture, a maker's trailer) does not matter.
    """
    if kind in ("JPEG", "MPO"):
        scan = _first_scan(data)
        return scan < 0 or data.rfind(_END_OF_IMAGE, scan) < 0  # it stands at the end of most
    if kind == "PNG":
        return data.rfind(_PNG_END) < 0
    return kind == "HEIF" and _boxes_end(data) > len(data)


def zero_filled(data: bytes, kind: str) -> bool:
    """Tell whether a long run of zero bytes stands in a JPEG, as of a card pulled mid-copy."""
    return kind in ("JPEG", "MPO") and _RUN in data


def scans(data: bytes) -> int:
    """Return how many scans a JPEG says it has; a few more where it holds other pictures.

    Inside a scan every byte of 0xFF is followed by 0 or a restart marker (ISO/IEC 10918-1,
    B.1.1.5), so the mark of a scan stands nowhere else.
    """
    return data.count(bytes((0xFF, _SCAN))) if data[:2] == b"\xff\xd8" else 0
