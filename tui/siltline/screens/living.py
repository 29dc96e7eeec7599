"""What happens to a job that is open for days: its file moves, the laptop sleeps, clocks jump.

Looked at a few times a second without waiting for anything; each thing is told once, and once
more when it is over.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

from msgspec import Struct

from siltline import times
from siltline.errors import Busy, NotNow, Refusal
from siltline.job import Job
from siltline.progress import lasting
from siltline.record.lying import stamp
from siltline.sentences import say

ASLEEP_S = 120.0  # between two looks; a busy machine is late by seconds
CLOCK_S = 30.0  # time servers move a clock by less
BEHIND_S = 300.0  # clocks of two laptops differ by minutes


def steady() -> float:
    """Return seconds of a clock that nobody sets and that goes on while the laptop sleeps.

    Linux stops CLOCK_MONOTONIC in sleep (clock_gettime(2)); so does macOS, but for its raw one
    (from memory); Windows counts on.
    """
    name = "CLOCK_MONOTONIC_RAW" if sys.platform == "darwin" else "CLOCK_BOOTTIME"
    number, read = getattr(time, name, None), getattr(time, "clock_gettime", None)
    return time.monotonic() if number is None or read is None else float(read(number))


class Seen(Struct, frozen=True):
    """What a look found: sentences (text, grave), and whether the job stands otherwise now.

    `by_others` where another program wrote, and not only the same file came back.
    """

    told: tuple[tuple[str, bool], ...] = ()
    changed: bool = False
    by_others: bool = False


class Watch:
    """Looks after an open job.

    Attributes:
        trouble: why nothing can be recorded just now, in one sentence; "" where all is well.
    """

    def __init__(
        self,
        job: Job,
        wall: Callable[[], float] = time.time,
        steady_clock: Callable[[], float] = steady,
    ) -> None:
        """Take the job, the clock that people set, and one that nobody sets (seconds)."""
        self.job = job
        self.trouble = ""
        self._wall, self._steady = wall, steady_clock
        self._last = wall(), steady_clock()
        self._unread = False
        self._stamp: tuple[int, ...] | None = None
        self._tried: tuple[int, ...] | None = None

    def look(self) -> Seen:
        """Look at the clocks and at the file; never waits and never raises a refusal."""
        clocks = self._clocks()
        was, before = self.trouble, len(self.job.record.events)
        changed = False
        try:
            changed = self._file()
            self.trouble = ""
        except Busy:
            pass  # for a moment; the next look sees what was written
        except Refusal as fault:
            self.trouble = str(fault)
        told = []
        if self.trouble and self.trouble != was:
            told.append((self.trouble, True))
        elif was and not self.trouble:
            told.append((say("life.back", name=self.job.record.path.name), False))
        by_others = changed and len(self.job.record.events) > before
        return Seen((*clocks, *told), changed, by_others)

    def _clocks(self) -> tuple[tuple[str, bool], ...]:
        wall, even = self._last
        self._last = self._wall(), self._steady()
        passed = self._last[1] - even
        set_by = self._last[0] - wall - passed
        told = []
        if passed > ASLEEP_S:
            told.append((say("life.slept", long=lasting(passed)), False))
        if abs(set_by) > CLOCK_S:
            by = lasting(abs(set_by))
            told.append((say("life.clock-on" if set_by > 0 else "life.clock-back", by=by), True))
        return tuple(told)

    def _file(self) -> bool:
        """Read what is new in the file; tell whether there was anything.

        Raises:
            Refusal: the file is away, or another one that is not the same job so far.
        """
        record = self.job.record
        if record.lies == "here":
            return self._read()
        seen = stamp(record.path.absolute())
        still, self._stamp = seen == self._stamp, seen
        if seen is None or not still:  # gone, or just being copied
            raise NotNow(self._away())
        if seen == self._tried:
            raise NotNow(self.trouble)
        self._tried = seen
        try:
            self.job.reopen()
        except NotNow:
            raise
        except Refusal as fault:
            raise NotNow(self._away()) from fault
        return True

    def _read(self) -> bool:
        with self.job.record.impatient():
            self._unread |= self.job.record.touched_by_others()
            new = self._unread and self.job.refresh()
            self._unread = False
        return new

    def _away(self) -> str:
        path = self.job.record.path.absolute()
        return say("life.away", name=path.name, folder=path.parent)


def clock_behind(job: Job) -> str:
    """Return what to say where the laptop's clock is behind what the job holds; "" if it is not."""
    now = job.clock()
    newest = max((times.read(event.at) for event in job.record.events), default=now)
    behind = (newest - now).total_seconds()
    if behind < BEHIND_S:
        return ""
    at = job.shown(times.written(newest))
    return say("life.clock-behind", now=job.shown(times.written(now)), at=at, by=lasting(behind))
