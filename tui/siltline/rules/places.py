"""The places of a house and what is known about each, three-valued, with where it is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from siltline.rules import wetted
from siltline.rules.computing import COMPUTED, GROUPS, SINGLES, STANDING, cable, standing
from siltline.rules.facts import YES_NO, Fact, FactKind, Place, PlaceKind
from siltline.rules.house import House, Loss
from siltline.rules.reading import UNDER, Reader
from siltline.rules.shapes import Shape
from siltline.rules.sheet import belongings, building, systems
from siltline.rules.sheet.asking import shape_facts
from siltline.rules.yamltext import Source
from siltline.sentences import say

# kind of place -> the shape of the sheet that describes it
SHAPES: Mapping[PlaceKind, type[Shape]] = {
    "room": building.Room,
    "wall": building.Wall,
    "electrical-part": systems.Part,
    "motor": systems.Motor,
    "appliance": systems.Appliance,
    "burner": systems.Burner,
    "fuel": systems.FuelStore,
    "live-source": systems.LiveSource,
    "well": systems.Well,
    "septic": systems.Septic,
    "heating-cooling": systems.HeatingCooling,
    "crawl-space": building.CrawlSpace,
    "basement": building.Basement,
    "contents": belongings.Thing,
}
_ORDER: tuple[PlaceKind, ...] = (
    "house", "room", "wall", "electrical-part", "circuit", "motor", "appliance", "burner", "fuel",
    "live-source", "well", "septic", "heating-cooling", "crawl-space", "basement", "contents",
)  # fmt: skip


def _facts_of(kind: PlaceKind) -> dict[str, FactKind]:
    """Return the facts of a kind of place: what its shape holds, and what is computed."""
    if kind == "circuit":
        return {"reaches-water": YES_NO}
    stated = (
        {**shape_facts(House), **shape_facts(Loss)}
        if kind == "house"
        else shape_facts(SHAPES[kind])
    )
    return {**stated, **{fact: one for fact, (one, _) in COMPUTED.get(kind, {}).items()}}


# What a `when` may ask, by the kind of place.
OWN_FACTS: dict[str, dict[str, FactKind]] = {kind: _facts_of(kind) for kind in _ORDER}
ABOVE: dict[str, tuple[str, ...]] = {
    "room": ("house",),
    "wall": ("room", "house"),
    **dict.fromkeys(STANDING, ("room", "house")),
    "electrical-part": ("room", "circuit", "house"),
    "circuit": ("house",),
    **dict.fromkeys(SINGLES, ("house",)),
}


def known_facts(kind: str) -> list[str]:
    """Return the names that a `when` of rules for this kind of place may use."""
    above = [f"{up}.{fact}" for up in ABOVE.get(kind, ()) for fact in OWN_FACTS[up]]
    return [*OWN_FACTS[kind], *above]


def kind_of_fact(kind: str, name: str) -> FactKind | None:
    """Return what values a fact of a kind of place can have; None where there is no such fact.

    A place may name its own facts with its kind before them, so that a condition with a name
    (`house.year-built`) reads the same for rules of every kind of place.
    """
    above, _, own = name.rpartition(".")
    if above not in ("", kind, *ABOVE.get(kind, ())):
        return None
    return OWN_FACTS[above or kind].get(own)


def _computed(reader: Reader, kind: PlaceKind, key: str) -> dict[str, Fact]:
    return {fact: read(reader, key) for fact, (_, read) in COMPUTED.get(kind, {}).items()}


def _house(reader: Reader) -> Iterator[Place]:
    house = reader.house
    facts = {
        **reader.of_shape(house, house.house),
        **reader.of_shape(house.loss, house.house, "loss"),
        **_computed(reader, "house", ""),
    }
    yield Place("house", "house", house.house, facts, where=reader.at("house"))


def _group(reader: Reader, kind: PlaceKind) -> Iterator[Place]:
    """Yield the places of a group of the sheet, in its order."""
    group = GROUPS[kind]
    for key, shape in getattr(reader.house, group.replace("-", "_")).items():
        path = (group, key)
        facts = {**reader.of_shape(shape, shape.name, *path), **_computed(reader, kind, key)}
        above = _belongs(reader, kind, key)
        yield Place(kind, key, shape.name, facts, above, reader.at(*path), path)


def _belongs(reader: Reader, kind: PlaceKind, key: str) -> dict[str, str]:
    if kind == "room":
        return {}
    if kind == "wall":
        return {"room": reader.house.walls[key].room}
    here, found = standing(reader, kind, key), {}
    if here.room is not None:
        found["room"] = here.room
    elif here.space is not None:
        found = {"space": here.space, here.space: here.space}
    if kind == "electrical-part":
        found["circuit"] = reader.circuits[key][0]
    return found


def _single(reader: Reader, kind: PlaceKind) -> Iterator[Place]:
    """Yield a thing that a house has once, if it has; below the floor, also if it may have."""
    there, name = reader.has(kind), say(f"place.{kind}")
    if there.value is False or (there.value is None and kind not in UNDER):
        return
    shape = getattr(reader.house, kind.replace("-", "_")) or SHAPES[kind]()
    facts = {**reader.of_shape(shape, name, kind), **_computed(reader, kind, kind)}
    if there.value is None:
        facts = dict.fromkeys(facts, there)
    yield Place(kind, kind, name, facts, where=there.where, path=(kind,))


def _circuits(reader: Reader) -> Iterator[Place]:
    """Yield one place a circuit, in the order in which the sheet first names it."""
    members: dict[str, tuple[str, list[str]]] = {}
    for key, (circuit, name) in reader.circuits.items():
        members.setdefault(circuit, (name, []))[1].append(key)
    for circuit, (name, keys) in members.items():
        yield Place("circuit", circuit, name, {"reaches-water": _reaches(reader, keys)})


def _reaches(reader: Reader, keys: list[str]) -> Fact:
    """Tell whether a circuit has a part that water, from below or above, may have reached."""
    for key in keys:
        part, water = reader.house.electrical[key], None
        if part.room is not None or part.space is not None:
            water = reader.water_at(part)
        in_water = water is not None and wetted.room(water).value is not False
        in_water = in_water or _by_a_wet_wall(reader, part)
        wire = cable(reader, key)
        traced = part.cable_runs is not None or part.cable_lowest is not None
        wire_wet = wire.value or (wire.value is None and traced)
        box = reader.box(("electrical", key), part)
        if in_water or wire_wet or box.value is not False:
            where = _standing_name(reader, part)
            return Fact(True, say("fact.reaches", part=part.name, room=where))
    return Fact(False, say("fact.reaches-not"))


def _by_a_wet_wall(reader: Reader, part: systems.Part) -> bool:
    """Tell whether somebody saw a wall wet of the room where a part stands."""
    walls = reader.house.walls.values()
    return any(wall.wet and part.room in (wall.room, wall.other_room) for wall in walls)


def _standing_name(reader: Reader, here: systems.Standing) -> str:
    """Return what people call the room or the space where something stands."""
    if here.room is not None:
        return reader.house.rooms[here.room].name
    return say(f"place.{here.space}")


def _of_kind(reader: Reader, kind: PlaceKind) -> Iterator[Place]:
    if kind in GROUPS:
        return _group(reader, kind)
    if kind in SINGLES:
        return _single(reader, kind)
    return _house(reader) if kind == "house" else _circuits(reader)


def places(house: House, source: Source) -> dict[str, list[Place]]:
    """Return the places of a house by kind, in the order of the sheet."""
    reader = Reader(house, source)
    return {kind: list(_of_kind(reader, kind)) for kind in _ORDER}
