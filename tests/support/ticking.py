"""A clock for tests."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone


class TickingClock:
    """Starts on 12 March 2026, 08:00 at UTC-5, and goes on one second at every look."""

    def __init__(self) -> None:
        self.time = datetime(2026, 3, 12, 8, 0, tzinfo=timezone(timedelta(hours=-5)))

    def __call__(self) -> datetime:
        self.time += timedelta(seconds=1)
        return self.time
