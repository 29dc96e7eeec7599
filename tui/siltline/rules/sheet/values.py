"""The values of a house sheet: kept as typed, each with what kind it is and its bounds.

`Typed` beside a value says how it is measured. Whoever asks for a fact, and whoever holds a
rule against it, reads that off the shape (`asking.py`), so a new field is known everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Annotated, Any

from msgspec import Struct
from pydantic import AfterValidator, BeforeValidator, StringConstraints

from siltline.errors import WrongUse
from siltline.rules.facts import measured
from siltline.rules.shapes import Name
from siltline.sentences import say
from siltline.times import zone


class Typed(Struct, frozen=True):
    """What a value is: a dimension (length, area, year, count), or moment, zone, degrees, money."""

    kind: str


def _amount(dimension: str, low: str, high: str, odd: str) -> Callable[[str], str]:
    """Return a check that a text measures a dimension, within bounds in its SI unit."""

    def check(text: str) -> str:
        try:
            amount = measured(text, dimension)
        except WrongUse as fault:
            raise ValueError(str(fault)) from fault
        if not Decimal(low) <= amount.si <= Decimal(high):
            raise ValueError(say(odd, text=text))
        return text

    return check


def _zone(name: str) -> str:
    if zone(name) is None:
        raise ValueError(say("house.no-zone", name=name))
    return name


def _moment(text: str) -> str:
    try:
        datetime.fromisoformat(text)
    except ValueError as fault:
        raise ValueError(say("house.no-moment", text=text)) from fault
    return text


def _degrees(limit: int) -> Callable[[str], str]:
    def check(text: str) -> str:
        digits = text.removeprefix("-").replace(".", "", 1)
        plain = digits.isascii() and digits.isdecimal() and len(text) <= 20  # noqa: PLR2004 - 17 digits are a nanometre
        if not plain or abs(Decimal(text)) > limit:
            raise ValueError(say("house.no-degrees", text=text, limit=limit))
        return text

    return check


# Bounds that no house passes; they find a wrong unit, not a wrong reading. Common practice.
Height = Annotated[
    str, AfterValidator(_amount("length", "-6", "12", "house.height-odd")), Typed("length")
]
Side = Annotated[
    str, AfterValidator(_amount("length", "0.05", "200", "house.length-odd")), Typed("length")
]
Level = Annotated[
    str, AfterValidator(_amount("length", "-15", "60", "house.level-odd")), Typed("length")
]
# The Dead Sea lies at -430 m, the highest town at 5,100 m.
Altitude = Annotated[
    str, AfterValidator(_amount("length", "-450", "5500", "house.altitude-odd")), Typed("length")
]
# An area was free text once, and such sheets lie in jobs: one that is no area is a warning.
Area = Annotated[Name, Typed("area")]
Count = Annotated[
    str, AfterValidator(_amount("count", "0", "1000000", "house.no-count")), Typed("count")
]
Year = Annotated[
    str, AfterValidator(_amount("year", "1600", "2200", "house.no-year")), Typed("year")
]
Zone = Annotated[str, AfterValidator(_zone), Typed("zone")]
Moment = Annotated[str, AfterValidator(_moment), Typed("moment")]
Latitude = Annotated[str, AfterValidator(_degrees(90)), Typed("degrees")]
Longitude = Annotated[str, AfterValidator(_degrees(180)), Typed("degrees")]
Money = Annotated[
    str,
    StringConstraints(pattern=r"^[^\d\s]{0,3} ?\d{1,9}([.,]\d{3})*([.,]\d{1,2})?( ?[A-Z]{3})?$"),
    Typed("money"),
]


class OrNone(Struct, frozen=True):
    """Beside a part of the sheet that a house may not have: `none` says so, `true` that it has."""


def _said(value: Any) -> Any:
    """Return the places of a group; `true`, `false` and `none` list none of them."""
    return {} if value is None or value in (True, False, "none") else value


def _whether(value: Any) -> Any:
    """Return the description of something; {} where it is only said to be there."""
    if value is True:
        return {}
    return None if value in (False, "none") else value


GROUP = (BeforeValidator(_said), OrNone())
SINGLE = (BeforeValidator(_whether), OrNone())


def said_there(raw: Any, *, group: bool) -> bool | None:
    """Tell whether a sheet says that there is such a thing: yes, no, or nothing said.

    An empty group lists nothing, which may be because nobody looked; an empty description of a
    single thing still says that it is there.
    """
    if raw is None or (group and raw == {}):
        return None
    return raw not in (False, "none")
