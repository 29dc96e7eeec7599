"""How the facts of a sheet fit together: what cannot all be so, and what is odd but may be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from itertools import islice
from typing import TYPE_CHECKING, Any, get_args

from siltline.errors import WrongUse
from siltline.rules.facts import measured
from siltline.rules.faults import MOST_TOLD, Fault, meant
from siltline.rules.sheet.building import Floor, Room
from siltline.rules.sheet.site import OUTSIDE, RISING
from siltline.rules.yamltext import Path, Source
from siltline.sentences import say
from siltline.units import Quantity, both, quantity

if TYPE_CHECKING:
    from siltline.rules.house import House

LINES = ("waterline", "silt-line", "highest-wet-reading")
_IN_ROOMS = {
    "walls": ("room", "other-room"),
    **dict.fromkeys(
        ("electrical", "motors", "appliances", "burners", "fuels", "live-sources", "contents"),
        ("room",),
    ),
}
# A tape on a muddy wall and a level carried from room to room: common practice, 6 in together.
AGREE_WITHIN = Decimal("0.1524")  # metres


def _places(source: Source, group: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield the places of a group as they were typed, whatever else is wrong with the sheet."""
    data = source.data if isinstance(source.data, dict) else {}
    places = data.get(group)
    for key, place in places.items() if isinstance(places, dict) else ():
        if isinstance(place, dict):
            yield key, place


def _no_room(source: Source) -> Iterator[Fault]:
    """Yield a fault for each place that names a room which the sheet does not have."""
    data = source.data if isinstance(source.data, dict) else {}
    rooms = data.get("rooms")
    known = list(rooms) if isinstance(rooms, dict) else []
    for group, fields in _IN_ROOMS.items():
        for key, place in _places(source, group):
            for field in fields:
                room = place.get(field)
                if isinstance(room, str) and (not isinstance(rooms, dict) or room not in rooms):
                    text = say("house.no-room", room=room) + meant(room, known)
                    yield source.fault((group, key, field), text)


def _nowhere(source: Source) -> Iterator[Fault]:
    """Yield a fault for each place that stands in two places, or in none where it must."""
    for group in _IN_ROOMS:
        for key, place in _places(source, group):
            if place.get("room") is not None and place.get("space") is not None:
                yield source.fault((group, key, "space"), say("house.room-and-space"))
            elif group == "electrical" and place.get("room") is place.get("space") is None:
                yield source.fault((group, key), say("shape.missing", key="room"))


def stray(source: Source) -> list[Fault]:
    """Return a fault for each place that stands nowhere, or where the sheet has no such room."""
    # a suggestion costs time for each, and nobody reads more
    return [*islice(_no_room(source), MOST_TOLD + 1), *_nowhere(source)]


def length_of(text: str | None) -> Quantity | None:
    """Return a length of the sheet, or None where it is not known."""
    return quantity(text, "length") if text is not None else None


def _lines(key: str, room: Room, source: Source) -> Iterator[Fault]:
    """Yield faults of lines that contradict each other or stand below the floor."""
    typed = (room.waterline, room.silt_line, room.highest_wet_reading)
    water, silt, wet = (found.si if (found := length_of(text)) else None for text in typed)
    for name, height in zip(LINES, (water, silt, wet), strict=True):
        if height is not None and height < 0:
            yield source.fault(("rooms", key, name), say("house.below-floor", line=name))
    if water is not None and silt is not None and silt > water:
        yield source.fault(("rooms", key, "silt-line"), say("house.silt-above-water"))
    if water is not None and wet is not None and wet < water:
        yield source.fault(("rooms", key, "highest-wet-reading"), say("house.wet-below-water"))


def before(one: str | None, other: str | None) -> bool:
    """Tell whether a moment surely came before another; moments of two kinds are not compared."""
    if one is None or other is None:
        return False
    first, second = datetime.fromisoformat(one), datetime.fromisoformat(other)
    return (first.tzinfo is None) == (second.tzinfo is None) and first < second


def contradictions(house: House, source: Source) -> list[Fault]:
    """Return the faults of facts that cannot all be so."""
    found: list[Fault] = []
    for key, room in house.rooms.items():
        found += _lines(key, room, source)
    for name in ("crawl-space", "basement"):
        under = house.crawl_space if name == "crawl-space" else house.basement
        line = length_of(under.waterline) if under else None
        if line is not None and line.si < 0:
            told = say("house.below-floor", line="waterline")
            found.append(source.fault((name, "waterline"), told))
        elif under and line is not None and under.flooded not in (None, line.si > 0):
            found.append(source.fault((name, "flooded"), say("house.flooded-line")))
    if before(house.loss.water_out, house.loss.water_in):
        found.append(source.fault(("loss", "water-out"), say("house.out-before-in")))
    return found


def surfaces(house: House) -> dict[str, Decimal]:
    """Return how high the water stood in each room, in metres above the level of the site."""
    found = {}
    for key, room in house.rooms.items():
        water, level = length_of(room.waterline), length_of(room.level)
        if water is not None and level is not None and water.si > 0 and not room.from_above:
            found[key] = water.si + level.si
    return found


def _uneven(house: House, source: Source) -> Iterator[Fault]:
    """Yield a warning for each room whose water stood elsewhere than the highest: it is one."""
    found = surfaces(house)
    if not found or house.loss.source not in OUTSIDE:
        return
    highest = max(found, key=lambda key: (found[key], key))
    for key, surface in found.items():
        apart = found[highest] - surface
        if apart > AGREE_WITHIN:
            much = both(Quantity("", apart, "length", "m").typed_in("in"))
            told = say("house.uneven", much=much, room=house.rooms[highest].name)
            yield source.fault(("rooms", key, "waterline"), told)


def _not_understood(house: House, source: Source) -> Iterator[Fault]:
    """Yield a warning for each free text in which a rule finds no value that it knows."""
    for key, room in house.rooms.items():
        if room.floor is not None and room.floor not in get_args(Floor):
            told = say("house.floor-free", floor=room.floor) + meant(room.floor, get_args(Floor))
            yield source.fault(("rooms", key, "floor"), told)
    for name in ("crawl-space", "basement"):
        under = house.crawl_space if name == "crawl-space" else house.basement
        if under is not None and under.area is not None:
            try:
                measured(under.area, "area")
            except WrongUse as fault:
                yield source.fault((name, "area"), str(fault))


def _odd_rooms(house: House, source: Source) -> Iterator[Fault]:
    for key, room in house.rooms.items():
        ceiling = length_of(room.ceiling_height)
        for line in LINES:
            height = length_of(getattr(room, line.replace("-", "_")))
            if ceiling is not None and height is not None and height.si > ceiling.si:
                yield source.fault(("rooms", key, line), say("house.above-ceiling", line=line))
    categories: list[tuple[Path, str | None]] = [(("loss", "category"), house.loss.category)]
    categories += [(("rooms", key, "category"), room.category) for key, room in house.rooms.items()]
    for path, category in categories:
        if category in ("1", "2") and house.loss.source in RISING:
            yield source.fault(path, say("house.category-low", source=house.loss.source))


def _odd_building(house: House, source: Source) -> Iterator[Fault]:
    for key, wall in house.walls.items():
        if wall.outer is False and wall.cladding is not None:
            yield source.fault(("walls", key, "cladding"), say("house.inner-cladding"))
        if wall.other_room is not None and wall.other_room == wall.room:
            yield source.fault(("walls", key, "other-room"), say("house.same-room"))
    for key, burner in house.burners.items():
        if burner.sealed and burner.draws_air_from not in (None, "outside"):
            yield source.fault(("burners", key, "draws-air-from"), say("house.sealed-draws"))
    there = {"crawl-space": house.crawl_space, "basement": house.basement}
    if house.foundation == "slab":
        for name in (name for name, space in there.items() if space is not None):
            yield source.fault((name,), say("house.slab-over", space=name), key=True)


def _odd_times(house: House, source: Source) -> Iterator[Fault]:
    loss = house.loss
    given = {"work": loss.consent_to_work, "discard": loss.consent_to_discard}
    moments: list[tuple[Path, str | None]] = [
        (("loss", "category-since"), loss.category_since),
        *((("loss", f"consent-to-{what}", "at"), one.at) for what, one in given.items() if one),
        *((("rooms", key, "category-since"), r.category_since) for key, r in house.rooms.items()),
    ]
    for path, moment in moments:
        if before(moment, loss.water_in):
            yield source.fault(path, say("house.before-water"))


def oddities(house: House, source: Source) -> Iterator[Fault]:
    """Yield what is odd in a sheet but may be so."""
    yield from _uneven(house, source)
    yield from _not_understood(house, source)
    yield from _odd_rooms(house, source)
    yield from _odd_building(house, source)
    yield from _odd_times(house, source)
