"""Keeps what is typed while it is typed: at most twice a second, and at the latest on leaving."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from time import monotonic

from textual.timer import Timer
from textual.widget import Widget

from siltline.job.drafts import Draft

EVERY_S = 0.5


class Keeper:
    """Writes the draft of a form that is on the screen."""

    def __init__(self, of: Widget, draft: Draft, typed: Callable[[], Mapping[str, str]]) -> None:
        """Take the form, where to keep, and what stands in its fields now."""
        self.of = of
        self.draft = draft
        self.typed = typed
        self.written = -EVERY_S
        self.first: dict[str, str] = {}
        self.last: dict[str, str] = {}
        self.now: dict[str, str] = {}
        self.waiting: Timer | None = None

    def start(self, first: Mapping[str, str]) -> None:
        """Begin with what stands in the fields.

        Args:
            first: what would stand there if nothing had been typed before: that is no draft.
        """
        self.first = dict(first)
        self.last = self.now = dict(self.typed())

    def changed(self) -> None:
        """Keep what stands in the fields now, or soon."""
        self.now = dict(self.typed())
        if self.waiting is not None or self.now == self.last:
            return
        left = self.written + EVERY_S - monotonic()
        if left <= 0:
            self.write()
        else:
            self.waiting = self.of.set_timer(left, self.write)

    def _stop(self) -> None:
        if self.waiting is not None:
            self.waiting.stop()
            self.waiting = None

    def write(self) -> None:
        """Keep what stood in the fields when they changed last: on leaving they may be gone."""
        self._stop()
        if self.now == self.last:
            return
        if self.now == self.first:
            self.draft.throw_away()
        else:
            self.draft.keep(self.now)
        self.last, self.written = self.now, monotonic()

    def throw_away(self) -> None:
        """Forget what was typed."""
        self._stop()
        self.draft.throw_away()
        self.last = self.now = dict(self.typed())
