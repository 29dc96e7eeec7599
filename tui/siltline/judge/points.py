"""Measuring points, meters, and what was read: how the events about them fold into what stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct

from siltline.judge.register import key_of
from siltline.units import quantity

if TYPE_CHECKING:
    from siltline.judge.board import Board
    from siltline.judge.ledger import Ledger
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
    def state(self) -> tuple[float, float]:
        """Return temperature in degC and relative humidity, 0..1."""
        return air_state(self.temp, self.rh)


def air_state(temp: str, rh: str) -> tuple[float, float]:
    """Return a state of air, as typed, as temperature in degC and relative humidity, 0..1."""
    return float(quantity(temp).in_unit("C", 2)), float(quantity(rh).si)


def percent_of(value: str) -> float:
    """Return a share as typed, as a number of percent."""
    return float(quantity(value).si) * 100


def _not_known(ledger: Ledger, here: list[Entry], event: Event) -> list[Entry]:
    """Return the entries that the writer of an event did not know of."""
    return [one for one in here if not ledger.causes.knew(event.id, one.event)]


def fold_point(ledger: Ledger, event: Event) -> None:
    """Let a point stand as it is described now."""
    body = event.body
    here = ledger.points.setdefault(key_of(body["name"]), [])
    here[:] = _not_known(ledger, here, event)
    told = {name: body.get(name, "") for name in ("where", "material", "depth", "height", "air")}
    here.append(
        Point(
            body["name"], body["place"], body["reads"], **told,
            reference=body.get("reference", False), event=event.id,
        )
    )  # fmt: skip


def fold_meter(ledger: Ledger, event: Event) -> None:
    """Let a meter stand as it is described now."""
    body = event.body
    here = ledger.meters.setdefault(key_of(body["name"]), [])
    here[:] = _not_known(ledger, here, event)
    told = {n: body.get(n, "") for n in ("tolerance", "resolution", "checked", "corrects")}
    here.append(Meter(body["name"], **told, event=event.id))


def fold_read(ledger: Ledger, event: Event) -> None:
    """Take a round of readings in, each to its point."""
    body = event.body
    at, by = body.get("when", event.at), event.by or ""
    for one in body["round"]:
        told = body.get("meter", ""), one["value"], body.get("temp", "")
        read = PointReading(one.get("corrected", one["value"]), at, event.id, by, *told)
        ledger.point_readings.setdefault(key_of(one["point"]), []).append(read)


def fold_air(ledger: Ledger, event: Event) -> None:
    """Take readings of the air in."""
    body = event.body
    at, by = body.get("when", event.at), event.by or ""
    for one in body["round"]:
        told = body.get("meter", ""), one.get("surface", "")
        ledger.airs.append(
            AirReading(one["air"], one["place"], one["temp"], one["rh"], at, event.id, by, *told)
        )


def points_of(ledger: Ledger) -> list[Point]:
    """Return the points in the fixed order of a round: as they were set up, references last."""
    found = [one for there in ledger.points.values() for one in there[:1]]
    return sorted(found, key=lambda one: one.reference)


def readings_at(ledger: Ledger, point: str) -> list[PointReading]:
    """Return what was read at a point, by the time of reading."""
    return sorted(ledger.point_readings.get(key_of(point), []), key=lambda one: one.at)


def serving(ledger: Ledger) -> dict[tuple[str, str], list[Point]]:
    """Return (place, what is read there, in small letters) -> the points that show it."""
    found: dict[tuple[str, str], list[Point]] = {}
    for one in points_of(ledger):
        if not one.reference:
            found.setdefault((one.place, one.reads.casefold()), []).append(one)
    return found


def step_of(board: Board, point: Point) -> str:
    """Return the id of the step whose reading a point shows; "" where the plan has it no more."""
    for view in board.steps.values():
        reads = [held.proof.name.casefold() for held in view.held]
        if view.step.place == point.place and point.reads.casefold() in reads:
            return view.step.id
    return ""


def meter_named(ledger: Ledger, name: str) -> Meter | None:
    """Return a meter of the job by its name."""
    return next(iter(ledger.meters.get(key_of(name), [])), None)


def newest_air(ledger: Ledger, air: str, place: str = "") -> AirReading | None:
    """Return the air that was read last of one kind, at a place where one is named."""
    # of two read at once the one that was recorded last
    found = [one for one in ledger.airs[::-1] if one.air == air and place in ("", one.place)]
    return max(found, key=lambda one: one.at, default=None)
