"""Garbage is collected while nobody types.

A full collection goes through all that is alive, a tenth of a second with a screen up, and no key
is answered meanwhile. What is alive in a pause is most of what stays: it is set aside then, so
that the collections that Python begins by itself go through what is new and no more.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable

PAUSE_S = 3.0  # without a key; whoever reads a step presses none for longer
EVERY_S = 60.0
# Python's own, but full collections four times rarer: a pause comes first.
THRESHOLDS = (1000, 10, 40)


class Tidying:
    """Collects garbage in pauses, once it was told to begin."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Take a clock that nobody sets, in seconds."""
        self._clock = clock
        self._last_key = self._last_time = clock()
        self._begun = False

    def begin(self) -> None:
        """Collect garbage again where opening the job put it off; what that made is set aside."""
        if not gc.isenabled():
            gc.freeze()
            gc.set_threshold(*THRESHOLDS)
            gc.enable()
            self._begun = True

    def key(self) -> None:
        """Note that somebody is at work."""
        self._last_key = self._clock()

    def look(self) -> bool:
        """Collect all garbage if there is a pause; tell whether there was one."""
        now = self._clock()
        pause = now - self._last_key >= PAUSE_S and now - self._last_time >= EVERY_S
        if self._begun and pause:
            gc.unfreeze()  # a screen that was closed since is garbage, too
            gc.collect()
            gc.freeze()
            self._last_time = now
        return self._begun and pause
