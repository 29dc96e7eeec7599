"""The process that reads strangers' bytes; `reader.py` starts it, feeds it and may kill it.

Protocol, over pipes. A request is one byte of kind, 2 + 2 bytes of width and height in pixels
(0 where the kind wants none), 8 bytes of length and the bytes of a photo. To READ the answer is
two lines of JSON, one a reader, so that the first is safe when the second hangs. To all others it
is 8 bytes of length and that many bytes, as `ANSWERS` says; no bytes where it cannot be done.
"""

from __future__ import annotations

import json
import logging
import os
import struct
import sys
import warnings
from collections.abc import Callable
from typing import BinaryIO

from siltline.photos.headers import first_reader, quietly, second_reader
from siltline.photos.limits import hold_memory

READ, DRAW, SKETCH, TAGS, CELLS = b"R", b"D", b"S", b"T", b"C"
REQUEST = struct.Struct("<cHHQ")
LENGTH = struct.Struct("<Q")


def _answer_read(data: bytes, answers: BinaryIO) -> None:
    for reader in (first_reader, second_reader):
        facts, fault = quietly(reader, data)
        answers.write(json.dumps({"facts": facts, "fault": fault}).encode("ascii") + b"\n")
        answers.flush()


def _draw(data: bytes, width: int, height: int) -> bytes:
    from siltline.photos.drawing import draw  # noqa: PLC0415 - not needed to take photos in

    return draw(data, max(width, height))


def _sketch(data: bytes, _width: int, _height: int) -> bytes:
    from siltline.photos.sketch import sketch  # noqa: PLC0415 - not needed to take photos in

    looks, drawn = sketch(data)
    return json.dumps(looks).encode("ascii") + b"\n" + drawn


def _tags(data: bytes, _width: int, _height: int) -> bytes:
    from siltline.photos.tags import all_tags  # noqa: PLC0415 - only where a person asks

    return json.dumps(all_tags(data)).encode("ascii")


def _cells(data: bytes, width: int, height: int) -> bytes:
    from siltline.photos.drawing import cells  # noqa: PLC0415 - only where a person looks

    return cells(data, width, height)


ANSWERS: dict[bytes, Callable[[bytes, int, int], bytes]] = {
    DRAW: _draw,  # a JPEG, its longer side the longer of the two
    SKETCH: _sketch,  # a line of JSON: what the pixels show; then a small JPEG
    TAGS: _tags,  # JSON: all that EXIF says
    CELLS: _cells,  # width and height, 2 bytes each, then three bytes a pixel
}


def main() -> None:
    """Answer until the pipe closes."""
    hold_memory()
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # a library that prints must not answer for us
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123 - for life
    logging.disable()
    warnings.simplefilter("ignore")
    source = sys.stdin.buffer
    while len(head := source.read(REQUEST.size)) == REQUEST.size:
        kind, width, height, length = REQUEST.unpack(head)
        data = source.read(length)
        if kind == READ:
            _answer_read(data, answers)
            continue
        try:
            answer = ANSWERS[kind](data, width, height)
        except Exception:  # noqa: BLE001 - decoders leak a dozen kinds on hostile bytes
            answer = b""
        answers.write(LENGTH.pack(len(answer)) + answer)
        answers.flush()
