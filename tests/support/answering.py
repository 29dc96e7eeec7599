"""Terminals that say what they draw."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from support.terminal import TUI, Terminal

TRIED = b"\x1b_Gi=31,s=1,v=1,a=q,t=d,f=24;AAAA\x1b\\"
CELL, LARGEST, COLOURS, IS = b"\x1b[16t", b"\x1b[?2;1;0S", b"\x1b[?1;1;0S", b"\x1b[c"

# What terminals answer: question -> answer. What is not there is passed over, as they do.
KITTY = {TRIED: b"\x1b_Gi=31;OK\x1b\\", CELL: b"\x1b[6;20;10t", IS: b"\x1b[?62;c"}
SIXEL = {
    CELL: b"\x1b[6;20;10t",
    LARGEST: b"\x1b[?2;0;700;600S",
    COLOURS: b"\x1b[?1;0;1024S",
    IS: b"\x1b[?63;1;2;4;6;22c",
}
NEITHER = {IS: b"\x1b[?1;2c"}
SILENT: dict[bytes, bytes] = {}


class Answering(Terminal):
    """A terminal of 100x30 that answers; `answers` is what it says."""

    size = (30, 100, 0, 0)

    def __init__(self, *args: Any, answers: Mapping[bytes, bytes], **how: Any) -> None:
        self.answers = answers
        self.heard = b""
        super().__init__(*args, **how)

    def read(self, seconds: float) -> bytes:
        new = super().read(seconds)
        self.heard += new
        found = [(self.heard.find(q), q) for q in self.answers if q in self.heard]
        for _, question in sorted(found):
            os.write(self.master, self.answers[question])
            self.heard = self.heard.replace(question, b"", 1)
        return new


def with_chafa() -> dict[str, str]:
    """Return the environment in which a program finds chafa.py as this one does."""
    import chafa  # noqa: PLC0415 - optional

    return {"PYTHONPATH": os.pathsep.join([TUI, str(Path(chafa.__file__).parents[1])])}
