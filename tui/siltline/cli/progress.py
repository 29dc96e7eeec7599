"""Shows how far long work has come: on stderr, only to a person, only when it is long."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import Self

from siltline.progress import Follower, Pace

AFTER_S = 1.0
EVERY_S = 0.2


class Line(Follower):
    """One line of a terminal that is written over and over; use it as a context."""

    def __init__(self) -> None:
        self._pace = Pace()
        self._started = self._shown = time.monotonic()
        self._wide = 0
        self._tty = sys.stderr.isatty()

    def reached(self, what: str, done: int, total: int | None = None) -> None:
        """Show how far the work is, past a second and not more often than can be read."""
        self._pace.see(what, done, total)
        now = time.monotonic()
        if self._tty and now - self._started > AFTER_S and now - self._shown > EVERY_S:
            self._shown = now
            self._write(self._pace.line())

    def _write(self, line: str) -> None:
        sys.stderr.write("\r" + line.ljust(self._wide) + "\r")
        sys.stderr.flush()
        self._wide = len(line)

    def clear(self) -> None:
        """Make room for a sentence, or for what comes after the work."""
        if self._wide:
            self._write("")

    def __enter__(self) -> Self:
        """Begin; nothing is shown yet."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Leave an empty line behind."""
        self.clear()
