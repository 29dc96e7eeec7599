"""The day on which wood will be dry, as an interval; or why no day can be given, and what helps.

A date that the readings cannot carry is worse than none: a crew plans by it. So the method of
`drying.py` answers only where it was found to be right about nine times in ten, on simulated
walls of six kinds that are not all its own (`tests/science/test_coverage.py` prints how often).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from siltline.science.drying import FIBRE_SATURATION, Fit, Reading, fit
from siltline.science.faults import Contradiction, OutOfRange, within
from siltline.science.wood import goal_of, moisture_of
from siltline.sentences import say

FEWEST = 3  # usable readings
MOST = 400  # readings; more than a year of daily ones
MAY_NEVER = 0.05  # a chance of never above this leaves no 95 % day
CLEAR_FALL = 2.5  # how many times the noise the wood must have fallen
REACH = 3.0  # how far ahead a day may lie, in spans of the readings behind it
LEVELS = (0.05, 0.5, 0.95)
# why there is no day: too few readings, at its goal already, may never dry here, no clear fall yet,
# too far ahead
REASONS = ("too-few", "at-goal", "may-never", "no-fall", "too-far")
LEAST_RISE = 1.0  # points; a smaller rise is as likely the meter, common practice
STALL_DAYS = 2.0  # a standstill shorter than this is the meter; common practice


class Forecast(Struct, frozen=True):
    """When wood comes to its goal.

    Attributes:
        answered: whether the days below can be relied on.
        days: the 5, 50 and 95 % day, on the readings' count; inf for never, empty without a fit.
        never: chance that it never does in this air, 0..1; nan without a fit.
        reason: one of `REASONS` where it is not answered, else "".
        now: the day of the newest reading.
        used: how many readings carry the fit.
        fit: the weighted curves, for a chart; None without a fit.
    """

    answered: bool
    days: tuple[float, ...]
    never: float
    reason: str
    now: float
    used: int
    fit: Fit | None


def usable(readings: Sequence[Reading]) -> list[Reading]:
    """Return the readings at or below fibre saturation, in the order of their days.

    Raises:
        NotFinite, OutOfRange: a reading that cannot be.
        Contradiction: all days are one, so nothing can have changed between them.
    """
    if len(readings) > MOST:
        raise OutOfRange(say("science.many-readings", most=MOST), "day")
    for one in readings:
        within("day", one.day, -10_000, 100_000, "d")
        moisture_of(one.percent)
    if len(readings) > 1 and len({one.day for one in readings}) == 1:
        raise Contradiction(say("science.one-day"), "day")
    ordered = sorted(readings, key=lambda one: one.day)
    return [one for one in ordered if one.percent <= FIBRE_SATURATION]


def _reason(
    found: Fit,
    use: Sequence[Reading],
    late: float,
    never: float,
    resolution: float,
    goal: float,
) -> str:
    """Return why no day can be given, or ""."""
    fall = use[0].percent - use[-1].percent
    unclear = never > MAY_NEVER or math.isinf(late) or fall < CLEAR_FALL * found.noise
    if unclear and use[-1].percent <= goal:
        return "at-goal"
    if never > MAY_NEVER or math.isinf(late):
        return "may-never"
    if fall < CLEAR_FALL * max(found.noise, resolution):
        return "no-fall"
    return "too-far" if late - use[-1].day > REACH * (use[-1].day - use[0].day) else ""


def forecast(
    readings: Sequence[Reading], emc: float, goal: float, resolution: float = 0.5
) -> Forecast:
    """Return when wood will be at its goal, or why that cannot be said.

    Args:
        readings: of one point with one meter, any order, at most 400, percent 1 to 200.
        emc: what the air of the room brings wood to in the end, percent, 3 to 30 (`wood.emc`).
        goal: percent, 3 to 30.
        resolution: the step of the meter's display, points, 0.05 to 2.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: all readings are of one day.
    """
    goal_of(goal)
    within("emc", emc, 2, FIBRE_SATURATION, "%")
    within("resolution", resolution, 0.05, 2, "%")
    use = usable(readings)
    now = max((one.day for one in readings), default=math.nan)
    if len(use) < FEWEST or use[0].day == use[-1].day:
        return Forecast(False, (), math.nan, "too-few", now, len(use), None)
    found = fit(use, emc, resolution)
    never = found.never(goal)
    days = tuple(found.days(LEVELS, goal))
    reason = _reason(found, use, days[2], never, resolution, goal)
    return Forecast(not reason, days, never, reason, now, len(use), found)


class Rise(Struct, frozen=True):
    """Wood that got wetter: between which two readings."""

    before: Reading
    now: Reading


def rise(readings: Sequence[Reading], resolution: float = 0.5) -> Rise | None:
    """Return how much wetter wood got over its newest two days or more; None where it did not.

    A rise counts from one point on, or from the step of a coarser meter, over at least three
    readings. Readings above fibre saturation count as well: water rises past it.

    Raises:
        NotFinite, OutOfRange: a number is none.
        Contradiction: all readings are of one day.
    """
    usable(readings)  # refuses what cannot be
    ordered = sorted(readings, key=lambda one: one.day)
    before = [one for one in ordered[:-2] if ordered[-1].day - one.day >= STALL_DAYS]
    if not before:
        return None
    found = Rise(before[-1], ordered[-1])
    risen = found.now.percent - found.before.percent >= max(LEAST_RISE, resolution)
    return found if risen else None


def stalled(readings: Sequence[Reading], goal: float, resolution: float = 0.5) -> bool:
    """Tell whether wood above its goal has stood still for two days or more.

    That is, whether over the newest stretch of at least two days and three readings it fell by
    less than the meter can show. Something wets it, or the air takes no more: look again. Wood
    that got wetter (`rise`) has not stood still.

    Raises:
        NotFinite, OutOfRange: a number is none.
        Contradiction: all readings are of one day.
    """
    use = usable(readings)
    if not use or use[-1].percent <= goal_of(goal) or rise(readings, resolution):
        return False
    before = [one for one in use[:-2] if use[-1].day - one.day >= STALL_DAYS]
    return bool(before) and before[-1].percent - use[-1].percent < resolution
