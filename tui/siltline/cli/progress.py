"""Shows how far long work has come: on stderr, only to a person, only when it is long."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from typing import TypeVar

from siltline.sentences import say

T = TypeVar("T")
AFTER_S = 1.0
EVERY_S = 0.2


def counted(work: Iterable[T]) -> Iterator[T]:
    """Pass results on and, past a second, show their count and rate on a terminal."""
    started = shown = time.monotonic()
    number = 0
    tty = sys.stderr.isatty()
    for number, result in enumerate(work, 1):
        yield result
        now = time.monotonic()
        if tty and now - started > AFTER_S and now - shown > EVERY_S:
            shown = now
            rate = f"{number / (now - started):.0f}"
            sys.stderr.write("\r" + say("progress.line", n=number, rate=rate) + " ")
            sys.stderr.flush()
    if tty and shown > started:
        sys.stderr.write("\r\n")
