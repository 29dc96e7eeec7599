"""When something is due: so many days of the calendar at a place, or so many hours that pass.

A day of the calendar ends when the clocks of the place end it, however long that day was; hours
pass in UTC, whatever clocks do. So daylight saving shifts neither.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo


def begin_of(day: date, zone: tzinfo) -> datetime:
    """Return the instant, in UTC, at which a day begins at a place."""
    return datetime.combine(day, time(), zone).astimezone(UTC)


def end_of(day: date, zone: tzinfo) -> datetime:
    """Return the instant, in UTC, at which a day is over at a place."""
    return begin_of(day + timedelta(days=1), zone)


def instant(local: datetime, zone: tzinfo) -> datetime:
    """Return a time of the clocks of a place as an instant in UTC.

    Of the hour that the autumn gives twice it is the first, so that nothing is due too late; a
    time with an offset of its own is taken as it is.
    """
    return (local if local.tzinfo else local.replace(tzinfo=zone)).astimezone(UTC)


def after_days(day: date, days: int) -> date:
    """Return the last of so many days that are counted from the day after a day."""
    return day + timedelta(days=days)


def after_years(day: date, years: int) -> date:
    """Return the same day of a later year; of 29 February the 28th where there is no other."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def after_hours(moment: datetime, hours: int) -> datetime:
    """Return the instant at which so many hours have passed since a moment with an offset."""
    return moment.astimezone(UTC) + timedelta(hours=hours)


def days_left(day: date, now: datetime, zone: tzinfo) -> int:
    """Return how many days of the calendar lie between today at a place and a day; negative past.

    Args:
        day: the last day.
        now: with an offset.
        zone: of the place.
    """
    return (day - now.astimezone(zone).date()).days
