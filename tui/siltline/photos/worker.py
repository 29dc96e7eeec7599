"""The process that reads strangers' bytes; `reader.py` starts it, feeds it and may kill it.

Protocol, over pipes. A request is one byte (R read, D draw), 4 bytes of pixels (for drawing),
8 bytes of length and the bytes of a photo. To R the answer is two lines of JSON, one a reader,
so that the first is safe when the second hangs. To D it is 8 bytes of length and a JPEG; the
length is 0 where the picture cannot be drawn.
"""

from __future__ import annotations

import json
import logging
import os
import struct
import sys
import warnings
from typing import BinaryIO

from siltline.photos.headers import first_reader, quietly, second_reader

READ, DRAW = b"R", b"D"
REQUEST = struct.Struct("<cIQ")
LENGTH = struct.Struct("<Q")


def _answer_read(data: bytes, answers: BinaryIO) -> None:
    for reader in (first_reader, second_reader):
        facts, fault = quietly(reader, data)
        answers.write(json.dumps({"facts": facts, "fault": fault}).encode("ascii") + b"\n")
        answers.flush()


def _answer_draw(data: bytes, pixels: int, answers: BinaryIO) -> None:
    from siltline.photos.drawing import draw  # noqa: PLC0415 - not needed to take photos in

    try:
        picture = draw(data, pixels)
    except Exception:  # noqa: BLE001 - decoders leak a dozen kinds on hostile bytes
        picture = b""
    answers.write(LENGTH.pack(len(picture)) + picture)
    answers.flush()


def main() -> None:
    """Answer until the pipe closes."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # a library that prints must not answer for us
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123 - for life
    logging.disable()
    warnings.simplefilter("ignore")
    source = sys.stdin.buffer
    while len(head := source.read(REQUEST.size)) == REQUEST.size:
        kind, pixels, length = REQUEST.unpack(head)
        data = source.read(length)
        if kind == DRAW:
            _answer_draw(data, pixels, answers)
        else:
            _answer_read(data, answers)
