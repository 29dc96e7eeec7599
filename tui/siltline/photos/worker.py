"""The process that reads strangers' bytes; `reader.py` starts it, feeds it and may kill it.

Protocol, over pipes: a request is 8 bytes of length and the bytes of a photo. The answer is
two lines of JSON, one a reader, so that the first is safe when the second hangs.
"""

from __future__ import annotations

import json
import logging
import os
import sys
import warnings

from siltline.photos.headers import first_reader, quietly, second_reader

LENGTH_BYTES = 8


def main() -> None:
    """Answer until the pipe closes."""
    answers = os.fdopen(os.dup(1), "w", encoding="ascii", newline="\n")
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123 - for as long as we live
    logging.disable()
    warnings.simplefilter("ignore")
    source = sys.stdin.buffer
    while len(head := source.read(LENGTH_BYTES)) == LENGTH_BYTES:
        data = source.read(int.from_bytes(head, "little"))
        for reader in (first_reader, second_reader):
            facts, fault = quietly(reader, data)
            answers.write(json.dumps({"facts": facts, "fault": fault}) + "\n")
            answers.flush()
