"""Gathers a section from a house sheet: heights as typed, verdicts as the rules give them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from siltline.rules import layers, wetted
from siltline.rules.computing import COMPUTED, GROUPS, STANDING
from siltline.rules.facts import Fact, PlaceKind
from siltline.rules.reading import UNDER, Reader
from siltline.rules.section.shape import Cable, Layer, Line, Opening, Part, Section, Wetted
from siltline.rules.sheet.building import Room, Under, Wall
from siltline.rules.sheet.fitting import length_of
from siltline.rules.sheet.systems import Standing
from siltline.rules.water import LINES, Water
from siltline.sentences import say

# What a section of a room or a space shows beside its electrical parts; belongings it does not.
_STANDING: tuple[PlaceKind, ...] = tuple(kind for kind in STANDING if kind != "contents")
_OUTSIDE_IN = tuple(reversed(layers.LAYERS))


class Drawable(Struct, frozen=True):
    """A place that a section can be drawn of: its path in the sheet, its name, its kind."""

    path: str
    name: str
    kind: str


def drawables(reader: Reader) -> list[Drawable]:
    """Return what sections can be drawn of: walls, rooms, the spaces under the floor."""
    house = reader.house
    found = [Drawable(f"walls.{key}", wall.name, "wall") for key, wall in house.walls.items()]
    found += [Drawable(f"rooms.{key}", room.name, "room") for key, room in house.rooms.items()]
    there = [kind for kind in UNDER if reader.has(kind).value]
    return found + [Drawable(kind, say(f"place.{kind}"), kind) for kind in there]


def gather(reader: Reader, path: str) -> Section:
    """Return the section of a place.

    Args:
        reader: of the house sheet.
        path: the path of one of its `drawables`.
    """
    group, _, key = path.partition(".")
    if group == "walls":
        return _wall(reader, path, key)
    return _room(reader, path, key) if group == "rooms" else _under(reader, group)


def _fact(reader: Reader, kind: PlaceKind, key: str, fact: str) -> Fact:
    return COMPUTED[kind][fact][1](reader, key)


def _verdict(reader: Reader, kind: PlaceKind, key: str, fact: str = "wetted") -> Wetted:
    """Return a verdict that the rules give; none is made up here."""
    value = _fact(reader, kind, key, fact).value
    return value if isinstance(value, bool) else None


def _lines(water: Water, *, typed: Iterable[str], room: str = "") -> Iterator[Line]:
    """Yield the three lines of a room; `typed` are the ones that its own sheet holds."""
    for field in LINES:
        line = water.lines.get(field)
        height = line.height if line else None
        kind = field.replace("_", "-")
        yield Line(kind, height, room, line is not None and field not in typed)


def _lines_of(reader: Reader, key: str, *, behind: bool = False) -> tuple[Line, ...]:
    room = reader.house.rooms[key]
    typed = [field for field in LINES if getattr(room, field) is not None]
    name = room.name if behind else ""
    return tuple(_lines(reader.water[key], typed=typed, room=name))


def _standing(reader: Reader, kinds: Iterable[PlaceKind]) -> Iterator[tuple[PlaceKind, str]]:
    for kind in kinds:
        for key in getattr(reader.house, GROUPS[kind].replace("-", "_")):
            yield kind, key


def _of(reader: Reader, kind: PlaceKind, key: str) -> Standing:
    group: Mapping[str, Standing] = getattr(reader.house, GROUPS[kind].replace("-", "_"))
    return group[key]


def _part(reader: Reader, kind: PlaceKind, key: str) -> Part:
    here = _of(reader, kind, key)
    cable = _cable(reader, key) if kind == "electrical-part" else None
    return Part(here.name, length_of(here.height), _verdict(reader, kind, key), cable)


def _cable(reader: Reader, key: str) -> Cable:
    part = reader.house.electrical[key]
    wet = _verdict(reader, "electrical-part", key, "cable-wetted")
    return Cable(part.cable_runs, length_of(part.cable_lowest), wet)


def _in_room(reader: Reader, room: str, kinds: Iterable[PlaceKind]) -> tuple[Part, ...]:
    return tuple(
        _part(reader, kind, key)
        for kind, key in _standing(reader, kinds)
        if _of(reader, kind, key).room == room
    )


def _layers(reader: Reader, key: str, wall: Wall) -> Iterator[Layer]:
    for name in _OUTSIDE_IN:
        material: str | None = getattr(wall, name)
        inner = wall.outer is False and name in ("cladding", "sheathing")
        if material == "none" or (inner and material is None):
            continue
        bottom = length_of(wall.finish_from) if name == "finish" else None
        yield Layer(name, material, _verdict(reader, "wall", key, f"{name}-wetted"), bottom)


def _ceiling(room: Room) -> dict[str, str | None]:
    return {} if room.ceiling_height else {"ceiling": None}


def _wall(reader: Reader, path: str, key: str) -> Section:
    wall = reader.house.walls[key]
    room = reader.house.rooms[wall.room]
    other = wall.other_room if wall.other_room != wall.room else None
    behind = _lines_of(reader, other, behind=True) if other else ()
    return Section(
        place=path,
        kind="wall",
        name=wall.name,
        wetted=_verdict(reader, "wall", key),
        before=room.name,
        behind=reader.house.rooms[other].name if other else "",
        outer=wall.outer,
        top=length_of(room.ceiling_height),
        floor=room.floor,
        layers=tuple(_layers(reader, key, wall)),
        lines=(*_lines_of(reader, wall.room), *(one for one in behind if one.height)),
        parts=_in_room(reader, wall.room, ("electrical-part",)),
        stated=_ceiling(room),
    )


def _room(reader: Reader, path: str, key: str) -> Section:
    room = reader.house.rooms[key]
    return Section(
        place=path,
        kind="room",
        name=room.name,
        wetted=_verdict(reader, "room", key),
        before=room.name,
        top=length_of(room.ceiling_height),
        floor=room.floor,
        lines=_lines_of(reader, key),
        parts=_in_room(reader, key, _STANDING),
        stated={"wall-finish": room.wall_finish, **_ceiling(room)},
    )


def _parts_under(reader: Reader, space: str) -> Iterator[Part]:
    """Yield what stands in a space under the floor, what runs through it, and its ducts."""
    for kind, key in _standing(reader, _STANDING):
        if _of(reader, kind, key).space == space:
            yield _part(reader, kind, key)
    for key, part in reader.house.electrical.items():
        if part.space != space and part.cable_runs == space:
            cable = _cable(reader, key)
            yield Part(say("section.cable-of", part=part.name), None, cable.wetted)
    here = reader.house.heating_cooling
    if here is not None and here.ducts == space:
        wet = _verdict(reader, "heating-cooling", "heating-cooling", "ducts-wetted")
        yield Part(say("section.ducts"), None, wet)


def _openings(space: Under) -> Iterator[Opening]:
    for key, one in space.openings.items():
        yield Opening(one.name or key, one.side, one.kind, one.open)


def _line_under(water: Water) -> Line:
    line = water.lines.get("waterline")
    return Line("waterline", line.height if line else None)


def _under(reader: Reader, kind: str) -> Section:
    below = reader.below[kind]
    space = below.space
    place: PlaceKind = "crawl-space" if kind == "crawl-space" else "basement"
    reached = wetted.room(below.water).value if space.flooded is None else space.flooded
    return Section(
        place=kind,
        kind=kind,
        name=say(f"place.{kind}"),
        wetted=reached,
        top=length_of(space.height),
        floor=space.ground_cover,
        lines=(_line_under(below.water),),
        parts=tuple(_parts_under(reader, kind)),
        openings=tuple(_openings(space)),
        stated={
            **({} if space.height else {"clear-height": None}),
            "structure": space.structure,
            "standing-water": space.standing_water,
            "sewage": space.sewage,
            "burners-draw-air": _verdict(reader, place, kind, "burners-draw-air"),
        },
    )
