"""What was measured in a job: its points in their order, their readings, meters, the newest air."""

from __future__ import annotations

from typing import TYPE_CHECKING

from siltline import times
from siltline.judge.points import AirReading, Meter, Point, PointReading
from siltline.judge.register import key_of

if TYPE_CHECKING:
    from siltline.judge.ledger import Ledger


def points_of(ledger: Ledger) -> list[Point]:
    """Return the points in the fixed order of a round: as they were set up, references last."""
    found = [one for there in ledger.points.values() for one in there[:1]]
    return sorted(found, key=lambda one: one.reference)


def readings_at(ledger: Ledger, point: str) -> list[PointReading]:
    """Return what was read at a point, by the time of reading."""
    # moments, not their texts: a laptop may be set to another zone than that of the site
    read = ledger.point_readings.get(key_of(point), [])
    return sorted(read, key=lambda one: times.read(one.at))


def serving(ledger: Ledger) -> dict[tuple[str, str], list[Point]]:
    """Return (place, what is read there, in small letters) -> the points that show it."""
    found: dict[tuple[str, str], list[Point]] = {}
    for one in points_of(ledger):
        if not one.reference:
            found.setdefault((one.place, one.reads.casefold()), []).append(one)
    return found


def meter_named(ledger: Ledger, name: str) -> Meter | None:
    """Return a meter of the job by its name."""
    return next(iter(ledger.meters.get(key_of(name), [])), None)


def meters_of(ledger: Ledger) -> list[Meter]:
    """Return the meters of the job, as they were registered."""
    return [one for there in ledger.meters.values() for one in there[:1]]


def newest_air(ledger: Ledger, air: str, place: str = "", when: str = "") -> AirReading | None:
    """Return the air that was read last of one kind.

    Args:
        ledger: of the job.
        air: one of AIRS.
        place: where, if it must be of one place.
        when: up to which time, RFC 3339; "" for the newest.
    """
    until = times.read(when) if when else None
    # of two read at once the one that was recorded last
    found = [
        one for one in ledger.airs[::-1]
        if one.air == air and place in ("", one.place)
        and (until is None or times.read(one.at) <= until)
    ]  # fmt: skip
    return max(found, key=lambda one: times.read(one.at), default=None)
