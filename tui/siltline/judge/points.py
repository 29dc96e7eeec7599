"""Measuring points, meters, and what was read: how the events about them fold into what stands."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct

from siltline.judge.register import Key, key_of
from siltline.units import quantity

if TYPE_CHECKING:
    from siltline.record import Event

# Where air is read: beside the wet material, in a dry room, outdoors, at a dehumidifier's outlet.
AIRS = ("affected", "unaffected", "outside", "outlet")
# What a point can be in -> how the names of such points begin where nobody chose one: a joist's J1.
INITIALS = {
    "stud": "S",
    "plate": "PL",
    "joist": "J",
    "sheathing": "SH",
    "subfloor": "SF",
    "log": "L",
    "trim": "T",
    "wallboard": "W",
    "other": "P",
}
MATERIALS = tuple(INITIALS)
REFERENCE_INITIAL = "R"


class Point(Struct, frozen=True):
    """A spot that is read again and again, one number each time.

    Attributes:
        name: as it is written on the spot: J1.
        place: id of the place in the plan.
        reads: what is read there, as the proof of a step calls it: joist moisture.
        where: the spot in words.
        material: one of MATERIALS, or "".
        depth, height: as typed with their unit, or "": how deep the pins go, how high above the
            floor the spot lies.
        air: id of the room or space whose air the material is in.
        reference: whether it is unaffected wood of the same house.
        event: which event says so.
    """

    name: str
    place: str
    reads: str
    where: str
    material: str
    depth: str
    height: str
    air: str
    reference: bool
    event: str


class Meter(Struct, frozen=True):
    """A meter: what it promises (as typed, or ""), when it was checked last.

    `corrects` tells whether it corrects for the temperature of the wood: yes, no, or "".
    """

    name: str
    tolerance: str
    resolution: str
    checked: str
    corrects: str
    event: str


Entry = TypeVar("Entry", Point, Meter)
Knew = Callable[[str, str], bool]  # whether the later event was written in knowledge of the earlier


class PointReading(Struct, frozen=True):
    """A number read at a point.

    Attributes:
        value: with its unit; corrected for the temperature of the wood where the meter does not.
        at: when it was read, RFC 3339.
        event, by: which event says so, and who.
        meter: its name, or "".
        typed: the number as it was typed.
        temp: of the wood, as typed, or "".
    """

    value: str
    at: str
    event: str
    by: str
    meter: str = ""
    typed: str = ""
    temp: str = ""


class AirReading(Struct, frozen=True):
    """Air that was read: which of AIRS, where, temperature and humidity as typed.

    `surface` is the temperature of the coldest surface there, or "".
    """

    air: str
    place: str
    temp: str
    rh: str
    at: str
    event: str
    by: str
    meter: str = ""
    surface: str = ""

    @property
    def typed(self) -> str:
        """Return temperature and humidity as they were typed: 18C/85%."""
        return f"{self.temp}/{self.rh}"

    @property
    def state(self) -> tuple[float, float]:
        """Return temperature in degC and relative humidity, 0..1."""
        return air_state(self.temp, self.rh)


def air_state(temp: str, rh: str) -> tuple[float, float]:
    """Return a state of air, as typed, as temperature in degC and relative humidity, 0..1."""
    return float(quantity(temp).in_unit("C", 2)), float(quantity(rh).si)


def percent_of(value: str) -> float:
    """Return a share as typed, as a number of percent."""
    return float(quantity(value).si) * 100


def _replace(there: dict[Key, list[Entry]], name: str, new: Entry, knew: Knew) -> None:
    """Let an entry stand in place of those that its writer knew of."""
    here = there.setdefault(key_of(name), [])
    here[:] = [one for one in here if not knew(new.event, one.event)]
    here.append(new)


def fold_point(points: dict[Key, list[Point]], event: Event, knew: Knew) -> None:
    """Let a point stand as it is described now."""
    body = event.body
    told = {name: body.get(name, "") for name in ("where", "material", "depth", "height", "air")}
    new = Point(
        body["name"], body["place"], body["reads"], **told,
        reference=body.get("reference", False), event=event.id,
    )  # fmt: skip
    _replace(points, new.name, new, knew)


def fold_meter(meters: dict[Key, list[Meter]], event: Event, knew: Knew) -> None:
    """Let a meter stand as it is described now."""
    body = event.body
    told = {n: body.get(n, "") for n in ("tolerance", "resolution", "checked", "corrects")}
    _replace(meters, body["name"], Meter(body["name"], **told, event=event.id), knew)


def fold_read(readings: dict[Key, list[PointReading]], event: Event) -> None:
    """Take a round of readings in, each to its point."""
    body = event.body
    at, by = body.get("when", event.at), event.by or ""
    for one in body["round"]:
        told = body.get("meter", ""), one["value"], body.get("temp", "")
        read = PointReading(one.get("corrected", one["value"]), at, event.id, by, *told)
        readings.setdefault(key_of(one["point"]), []).append(read)


def fold_air(airs: list[AirReading], event: Event) -> None:
    """Take readings of the air in."""
    body = event.body
    at, by = body.get("when", event.at), event.by or ""
    for one in body["round"]:
        told = body.get("meter", ""), one.get("surface", "")
        airs.append(
            AirReading(one["air"], one["place"], one["temp"], one["rh"], at, event.id, by, *told)
        )
