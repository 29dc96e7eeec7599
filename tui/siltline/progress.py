"""How far long work has come, how fast it goes, what is left; and the one way to stop it.

Work that can be long takes a `Follower` and tells it what is reached between two pieces. The
follower shows that, lets whoever is in a hurry go first, and raises `Stopped` where a person
asked for it: so work can only be stopped where nothing is half done.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

from siltline.sentences import say

WINDOW_S = 15.0  # the rate is that of the last seconds: a card reader slows down, a photo is large
ASLEEP_S = 90.0  # no piece takes that long: the laptop slept
SURE_S = 1.0  # a rate of less than a second says nothing
MINUTE_S, HOUR_S = 60, 3600
ONE_DECIMAL_BELOW = 10.0


class Stopped(Exception):  # noqa: N818 - asked for by a person, and no fault
    """Long work was asked to stop and did so between two pieces."""


class Follower:
    """Follows long work; this one lets it run and tells nobody."""

    def reached(self, what: str, done: int, total: int | None = None) -> None:
        """Take in how far the work is; called between two pieces, when nothing is locked.

        Args:
            what: the piece of work, the end of a catalogue key `working.WHAT`.
            done: how many are done.
            total: of how many; None where nobody knows.

        Raises:
            Stopped: the work is to stop here.
        """

    def hurry(self) -> bool:
        """Tell whether a piece that cannot be divided should be broken off and begun again."""
        return False


QUIET = Follower()


class Pace:
    """The rate of the work, and how long what is left takes at that rate.

    Attributes:
        what: the piece of work that was reached last, "" before the first.
        done: how many are done.
        total: of how many; None where nobody knows.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Take a clock in seconds that nobody sets."""
        self.what = ""
        self.done = 0
        self.total: int | None = None
        self._clock = clock
        self._marks: deque[tuple[float, int]] = deque()

    def see(self, what: str, done: int, total: int | None = None) -> None:
        """Take in how far the work is."""
        now = self._clock()
        if what != self.what or (self._marks and now - self._marks[-1][0] > ASLEEP_S):
            self._marks.clear()
        self.what, self.done, self.total = what, done, total
        self._marks.append((now, done))
        while len(self._marks) > 2 and now - self._marks[1][0] > WINDOW_S:  # noqa: PLR2004
            self._marks.popleft()

    @property
    def rate(self) -> float | None:
        """Return how many are done in a second; None where that cannot be told yet."""
        if not self._marks:
            return None
        (then, before), (now, done) = self._marks[0], self._marks[-1]
        return (done - before) / (now - then) if now - then >= SURE_S and done > before else None

    @property
    def left_s(self) -> float | None:
        """Return how many seconds are left; None where that cannot be told."""
        return (self.total - self.done) / self.rate if self.rate and self.total else None

    def line(self) -> str:
        """Return one line for people: what, how many of how many, how fast, how long yet."""
        what = say(f"working.{self.what}") if self.what else ""
        if self.total is None:
            return say("work.line-count", what=what, n=self.done) if self.done else what
        values = {"what": what, "done": self.done, "total": self.total}
        if self.rate is None or self.left_s is None:
            return say("work.line-total", **values)
        return say("work.line", **values, rate=_rate(self.rate), left=lasting(self.left_s))


def _rate(rate: float) -> str:
    return f"{rate:.0f}" if rate >= ONE_DECIMAL_BELOW else f"{max(rate, 0.1):.1f}"


def lasting(seconds: float) -> str:
    """Return a length of time for people: 40 s, 3 min, 2 h 10 min."""
    if seconds < MINUTE_S:
        return say("lasting.seconds", n=max(1, round(seconds)))
    minutes = round(seconds / MINUTE_S)
    if minutes < HOUR_S // MINUTE_S:
        return say("lasting.minutes", n=minutes)
    return say("lasting.hours", hours=minutes // 60, minutes=minutes % 60)
