"""Times: UTC with the offset of the place in the record, the site's zone on screen.

A clock is passed in wherever one is needed, so that a recorded day can be replayed and a
test owns its time.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, tzinfo

Clock = Callable[[], datetime]


def now() -> datetime:
    """Return the machine's time with the offset that it is set to."""
    return datetime.now(UTC).astimezone()


def written(moment: datetime) -> str:
    """Return a moment as RFC 3339 with milliseconds and its own offset.

    Raises:
        ValueError: the moment has no offset.
    """
    if moment.tzinfo is None:
        msg = "a moment without an offset cannot be recorded"
        raise ValueError(msg)
    return moment.isoformat(timespec="milliseconds")


def read(text: str) -> datetime:
    """Return the moment that `written` wrote, or that ISO 8601 writes with an offset.

    Raises:
        ValueError: no moment, or no offset.
    """
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        msg = f"no offset in {text!r}"
        raise ValueError(msg)
    return moment


def zone(name: str) -> tzinfo | None:
    """Return the zone of that name of the tz database, or None where there is no such zone."""
    # 5 ms to import, and a screen can be painted before a time is shown
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError  # noqa: PLC0415

    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


def shown(moment: datetime, site: tzinfo | None, *, seconds: bool = False) -> str:
    """Return a moment for people: in the site's zone, or with its own offset if that is unknown.

    In the hour that the autumn gives twice the offset is shown too.
    """
    here = moment.astimezone(site) if site else moment
    day = f"{here.day} {here:%b %Y %H:%M}" + (f":{here:%S}" if seconds else "")
    twice = here.replace(fold=0).utcoffset() != here.replace(fold=1).utcoffset()
    return day if site and not twice else f"{day} {here:%z}"
