"""The house sheet: what a lead knows about one house, as YAML. What is unknown is left out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from siltline.rules.faults import Fault, Faulty, meant
from siltline.rules.shapes import Id, Length, Name, Shape, Words, validated
from siltline.rules.yamltext import Source
from siltline.sentences import say
from siltline.times import zone
from siltline.units import quantity

Foundation = Literal["slab", "crawl-space", "basement", "piers"]
Cladding = Literal[
    "brick-veneer", "stone-veneer", "solid-masonry", "block", "stucco", "synthetic-stucco",
    "lap", "vinyl", "steel", "wood-panel", "fibre-cement", "log",
]  # fmt: skip
LossSource = Literal["river", "rain", "sea", "sewer", "supply-pipe"]
Category = Literal["1", "2", "3"]
GroundCover = Literal["poly", "none"]
PartKind = Literal["breaker", "outlet", "switch", "light", "panel"]
ThingKind = Literal[
    "photographs", "books", "documents", "textiles", "furniture", "electronics", "discs", "other"
]  # fmt: skip


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


def _year(text: str) -> str:
    if not (len(text) == 4 and text.isdecimal() and 1600 <= int(text) <= 2200):  # noqa: PLR2004 - houses stand between
        raise ValueError(say("house.no-year", text=text))
    return text


Zone = Annotated[str, AfterValidator(_zone)]
Moment = Annotated[str, AfterValidator(_moment)]
Year = Annotated[str, AfterValidator(_year)]


class Loss(Shape):
    """The water: where it came from, when it came and left, how foul it is."""

    source: LossSource | None = None
    category: Category | None = None
    water_in: Moment | None = None
    water_out: Moment | None = None


class Room(Shape):
    """A room and its three heights above its finished floor."""

    name: Name
    waterline: Length | None = None
    silt_line: Length | None = None
    highest_wet_reading: Length | None = None
    floor: Name | None = None


class Wall(Shape):
    """A wall of a room; outer walls have a cladding."""

    name: Name
    room: Id
    outer: bool | None = None
    cladding: Cladding | None = None


class Part(Shape):
    """An electrical part; its height is that of the bottom of its box above the floor.

    `wet` is what somebody saw, and decides over any height.
    """

    name: Name
    kind: PartKind
    room: Id
    height: Length | None = None
    wet: bool | None = None
    circuit: Name | None = None


class CrawlSpace(Shape):
    """The space under the floor."""

    flooded: bool | None = None
    ground_cover: GroundCover | None = None
    area: Name | None = None
    height: Length | None = None


class Thing(Shape):
    """A belonging, or a box of them."""

    name: Name
    kind: ThingKind
    room: Id | None = None
    wet: bool | None = None
    height: Length | None = None


class House(Shape):
    """A house sheet."""

    house: Name
    note: Words | None = None
    address: Words | None = None
    owner: Name | None = None
    time_zone: Zone | None = None
    year_built: Year | None = None
    foundation: Foundation | None = None
    loss: Loss = Field(default_factory=Loss)
    rooms: dict[Id, Room] = Field(min_length=1)
    walls: dict[Id, Wall] = Field(default_factory=dict)
    electrical: dict[Id, Part] = Field(default_factory=dict)
    crawl_space: CrawlSpace | None = None
    contents: dict[Id, Thing] = Field(default_factory=dict)


def _stray_rooms(source: Source) -> Iterator[Fault]:
    """Yield a fault for each place that names a room which the sheet does not have."""
    data = source.data if isinstance(source.data, dict) else {}
    rooms = data.get("rooms")
    known = list(rooms) if isinstance(rooms, dict) else []
    for group in ("walls", "electrical", "contents"):
        places = data.get(group)
        for key, place in places.items() if isinstance(places, dict) else ():
            room = place.get("room") if isinstance(place, dict) else None
            if isinstance(room, str) and room not in known:
                text = say("house.no-room", room=room) + meant(room, known)
                yield source.fault((group, key, "room"), text)


# No house has a part, or a flood, beyond these heights above a finished floor.
_LOWEST, _HIGHEST = Decimal(-6), Decimal(12)  # metres
_LINES = ("waterline", "silt-line", "highest-wet-reading")


def _lines(key: str, room: Room, source: Source) -> Iterator[Fault]:
    """Yield faults of lines that contradict each other or stand below the floor."""
    typed = (room.waterline, room.silt_line, room.highest_wet_reading)
    water, silt, wet = (quantity(text, "length").si if text else None for text in typed)
    for name, height in zip(_LINES, (water, silt, wet), strict=True):
        if height is not None and height < 0:
            yield source.fault(("rooms", key, name), say("house.below-floor", line=name))
    if water is not None and silt is not None and silt > water:
        yield source.fault(("rooms", key, "silt-line"), say("house.silt-above-water"))
    if water is not None and wet is not None and wet < water:
        yield source.fault(("rooms", key, "highest-wet-reading"), say("house.wet-below-water"))


def _heights(house: House) -> Iterator[tuple[tuple[str, ...], str | None]]:
    for key, room in house.rooms.items():
        for name in _LINES:
            yield ("rooms", key, name), getattr(room, name.replace("-", "_"))
    for key, part in house.electrical.items():
        yield ("electrical", key, "height"), part.height
    for key, thing in house.contents.items():
        yield ("contents", key, "height"), thing.height


def _implausible(house: House, source: Source) -> Iterator[Fault]:
    """Yield faults of facts that cannot all be so."""
    for path, text in _heights(house):
        if text and not _LOWEST <= quantity(text, "length").si <= _HIGHEST:
            yield source.fault(path, say("house.height-odd", height=text))
    for key, room in house.rooms.items():
        yield from _lines(key, room, source)
    times = [datetime.fromisoformat(t) for t in (house.loss.water_in, house.loss.water_out) if t]
    same_kind = len({moment.tzinfo is None for moment in times}) == 1
    if len(times) == 2 and same_kind and times[1] < times[0]:  # noqa: PLR2004 - both are known
        yield source.fault(("loss", "water-out"), say("house.out-before-in"))


def read_house(source: Source) -> House:
    """Return the house of a sheet.

    Raises:
        Faulty: with all faults of the sheet at once.
    """
    faults = list(_stray_rooms(source))
    try:
        house = validated(House, source)
    except Faulty as fault:
        raise Faulty([*fault.faults, *faults]) from fault
    faults += _implausible(house, source)
    if faults:
        raise Faulty(faults)
    return house
