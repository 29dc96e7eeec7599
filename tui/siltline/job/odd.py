"""What cannot have been read is refused; what surprises is asked about.

The limits are common practice: a meter of resistance measures from 6 % to fibre saturation, near
30 % (James 1988, FPL-GTR-6, abstract); wood does not dry by many points in a day, nor does it
get much wetter without water.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from siltline import times
from siltline.errors import NotNow, WrongUse
from siltline.judge.points import Point, PointReading, air_state
from siltline.sentences import say
from siltline.units import CommaTyped, quantity

MOST_PERCENT = Decimal(200)  # water-logged light wood holds twice its dry mass; more is a slip
LEAST_SHOWN, MOST_SHOWN = Decimal(6), Decimal(30)
FALL_A_DAY, RISE = Decimal(6), Decimal(3)  # points
# degC, of air that people work in, and of what is in it
COLDEST, HOTTEST = Decimal(-40), Decimal(70)
DAY_S = 86400


class Odd(NotNow):
    """Numbers surprise, and nobody said that they are meant; nothing of them was recorded.

    How that is said, whoever asks adds: a screen its key, a command its option.
    """

    def __init__(self, told: Sequence[str]) -> None:
        """Take what surprises, a sentence each."""
        self.told = list(told)
        super().__init__(say("read.odd", told=" ".join(told)))


def percent(value: str) -> Decimal:
    """Return a moisture content in percent.

    Raises:
        WrongUse: it is none, or none that wood can have.
    """
    try:
        read = quantity(value, "ratio")
    except CommaTyped:
        raise  # it says what to write
    except WrongUse as fault:
        raise WrongUse(say("read.no-percent", value=value)) from fault
    found = read.si * 100
    if not 0 < found <= MOST_PERCENT:
        raise WrongUse(say("read.cannot-be", value=value, most=MOST_PERCENT))
    if found < 1:
        raise WrongUse(say("read.fraction", value=value))
    return found


def wood_temp(typed: str) -> str:
    """Return the temperature of wood or of a surface as typed; "" is none.

    Raises:
        WrongUse: nothing in a house is as cold or as hot.
    """
    if typed and not COLDEST <= quantity(typed).in_unit("C", 1) <= HOTTEST:
        raise WrongUse(say("read.no-wood", value=typed))
    return typed


def odd_value(point: Point, value: str, before: Sequence[PointReading], at: str) -> list[str]:
    """Return what surprises about a reading, in sentences.

    Args:
        point: where it was read.
        value: with its unit.
        before: what was read there, by time.
        at: when, RFC 3339.

    Raises:
        WrongUse: it cannot be.
    """
    now = percent(value)
    told = []
    if not LEAST_SHOWN <= now <= MOST_SHOWN:
        told.append(say("read.past-meter", name=point.name, value=value))
    if any(one.value == value and times.read(one.at) == times.read(at) for one in before):
        told.append(say("read.again", name=point.name, value=value))
    last = [one for one in before if times.read(one.at) <= times.read(at)][-1:]
    for one in last:
        was = percent(one.value)
        if now - was > RISE:
            told.append(say("read.rose", name=point.name, value=value, was=one.value))
        elif was - now > FALL_A_DAY * _days(one.at, at):
            told.append(say("read.fell", name=point.name, value=value, was=one.value))
    return told


def _days(since: str, until: str) -> Decimal:
    """Return the days between two moments, one at least."""
    seconds = (times.read(until) - times.read(since)).total_seconds()
    return max(Decimal(1), Decimal(int(seconds)) / DAY_S)


def odd_air(airs: Sequence[Mapping[str, str]]) -> list[str]:
    """Return what surprises about readings of the air taken together, in sentences.

    Raises:
        WrongUse: a temperature or a humidity that cannot be.
    """
    told = []
    for one in airs:
        rh, warm = quantity(one["rh"]), quantity(one["temp"]).in_unit("C", 1)
        if not 0 < rh.si <= 1:
            raise WrongUse(say("read.no-humidity", value=one["rh"]))
        if rh.si < Decimal("0.02"):
            raise WrongUse(say("read.humidity-fraction", value=one["rh"]))
        if not COLDEST <= warm <= HOTTEST:
            raise WrongUse(say("read.no-temperature", value=one["temp"]))
        wood_temp(one.get("surface", ""))
    outlet = next((one for one in airs if one["air"] == "outlet"), None)
    inside = next((one for one in airs if one["air"] == "affected"), None)
    if outlet and inside and _grams(outlet) >= _grams(inside):
        told.append(say("air.outlet-wet", outlet=_told(outlet), inside=_told(inside)))
    return told


def _told(one: Mapping[str, str]) -> str:
    return f"{one['temp']}/{one['rh']}"


def _grams(one: Mapping[str, str]) -> float:
    """Return the water in air, kg a kg of dry air, at sea level: only to compare two airs."""
    from siltline.science.air import from_humidity  # noqa: PLC0415

    return from_humidity(*air_state(one["temp"], one["rh"])).ratio
