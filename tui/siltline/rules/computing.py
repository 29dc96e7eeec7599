"""The facts of places that no one key of the sheet states: computed, each with its reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import get_args

from siltline.rules import cables, layers, wetted
from siltline.rules.facts import YES_NO, Fact, FactKind, PlaceKind, amount, one_of
from siltline.rules.reading import Reader, any_fact, computed
from siltline.rules.sheet.building import Floor, Room, Under, Wall
from siltline.rules.sheet.fitting import length_of
from siltline.rules.sheet.site import FOUL, RISING, Category, Consent
from siltline.rules.sheet.systems import Part, Space, Standing
from siltline.rules.water import NOTHING, Water
from siltline.rules.wetted import Verdict
from siltline.sentences import say
from siltline.units import UNITS, Quantity

Compute = Callable[[Reader, str], Fact]
# Groups and single things of the sheet: a fact of the house of the same name tells whether it
# has any.
GROUPS: dict[PlaceKind, str] = {
    "room": "rooms",
    "wall": "walls",
    "electrical-part": "electrical",
    "motor": "motors",
    "appliance": "appliances",
    "burner": "burners",
    "fuel": "fuels",
    "live-source": "live-sources",
    "contents": "contents",
}
SINGLES: tuple[PlaceKind, ...] = ("well", "septic", "heating-cooling", "crawl-space", "basement")
STANDING: tuple[PlaceKind, ...] = (
    "electrical-part", "motor", "appliance", "burner", "fuel", "live-source", "contents",
)  # fmt: skip


def standing(reader: Reader, kind: PlaceKind, key: str) -> Standing:
    """Return something that stands in a room or a space."""
    group: Mapping[str, Standing] = getattr(reader.house, GROUPS[kind].replace("-", "_"))
    return group[key]


def _room(reader: Reader, key: str) -> Room:
    return reader.house.rooms[key]


def _salt(reader: Reader, _: str) -> Fact:
    loss = reader.house.loss
    if loss.salt is None and loss.source == "sea":
        return Fact(True, say("fact.sea-is-salt"))
    return reader.stated(loss.salt, reader.house.house, "loss", "salt")


def _consent(key: str) -> Compute:
    def read(reader: Reader, _: str) -> Fact:
        path, house = ("loss", key), reader.house
        given: Consent | None = getattr(house.loss, key.replace("-", "_"))
        if given is None:
            refused = (reader.source.data.get("loss") or {}).get(key) is not None
            if refused:
                return Fact(False, reader.at(*path))
            given = Consent()
        typed = {"by": given.by, "at": given.at}
        asks = [reader.ask(house.house, *path, one) for one, value in typed.items() if not value]
        if asks:
            return Fact(None, say("fact.not-stated"), tuple(asks))
        return Fact(True, reader.at(*path))

    return read


def _belly(key: str) -> Compute:
    def read(reader: Reader, _: str) -> Fact:
        there, home = reader.has("manufactured-home"), reader.house.manufactured_home
        if home is None:
            return there
        typed = getattr(home, key.replace("-", "_"))
        return reader.stated(typed, reader.house.house, "manufactured-home", key)

    return read


def _has(key: str) -> Compute:
    return lambda reader, _: reader.has(key)


def _room_wetted(reader: Reader, key: str) -> Fact:
    return computed(wetted.room(reader.water[key]))


def _category_of_loss(reader: Reader, _: str) -> Fact:
    """Return the category of the water: as stated; what comes from a river or a sewer is 3.

    ANSI/IICRC S500 as summarised at aboutrestoration.com.
    """
    loss = reader.house.loss
    if loss.category is None and loss.source in FOUL:
        return Fact("3", say("fact.foul-source"))
    return reader.stated(loss.category, reader.house.house, "loss", "category")


def _category(reader: Reader, key: str) -> Fact:
    """Return the category of the water in a room: its own, else that of the loss."""
    room, loss = _room(reader, key), _category_of_loss(reader, key)
    if room.category is None and loss.value is not None:
        return loss
    return reader.stated(room.category, room.name, "rooms", key, "category")


def _waterline(reader: Reader, key: str) -> Fact:
    """Return the waterline of a room: its own, else that of the same water elsewhere."""
    room, line = _room(reader, key), reader.water[key].lines.get("waterline")
    if room.waterline is None and line is not None:
        return Fact(line.height, line.words)
    return reader.stated(length_of(room.waterline), room.name, "rooms", key, "waterline")


def _from_above(reader: Reader, key: str) -> Fact:
    """Tell whether water came from above: as stated; a flood rises unless somebody says more."""
    room = _room(reader, key)
    if room.from_above is None and reader.house.loss.source in RISING:
        return Fact(False, say("fact.rises"))
    return reader.stated(room.from_above, room.name, "rooms", key, "from-above")


def _floor(reader: Reader, key: str) -> Fact:
    """Return the covering of a floor, where the sheet has one of the words that rules know."""
    room, path = _room(reader, key), ("rooms", key, "floor")
    if room.floor is None or room.floor in get_args(Floor):
        return reader.stated(room.floor, room.name, *path)
    told = say("fact.not-understood", text=room.floor)
    return Fact(None, told, (reader.ask(room.name, *path),))


def _area(reader: Reader, key: str) -> Fact:
    """Return the area of a floor, from length and width."""
    room, path = _room(reader, key), ("rooms", key)
    length, width = length_of(room.length), length_of(room.width)
    if length is None or width is None:
        typed = {"length": length, "width": width}
        asks = [reader.ask(room.name, *path, one) for one, value in typed.items() if value is None]
        return Fact(None, say("fact.not-stated"), tuple(asks))
    unit = "ft2" if length.unit in ("in", "ft") else "m2"
    square = Quantity("", length.si * width.si, UNITS[unit].dimension, unit)
    return Fact(square.typed_in(unit), say("fact.length-by-width", at=reader.at(*path)))


def _wall(reader: Reader, key: str) -> tuple[Wall, list[Water]]:
    here = reader.house.walls[key]
    rooms = [room for room in (here.room, here.other_room) if room is not None]
    return here, [reader.water[room] for room in rooms]


def _wall_wetted(reader: Reader, key: str) -> Fact:
    return computed(layers.wall(key, *_wall(reader, key)))


def _layer(name: str) -> Compute:
    return lambda reader, key: computed(layers.layer(name, key, *_wall(reader, key)))


def _wetted(kind: PlaceKind) -> Compute:
    def read(reader: Reader, key: str) -> Fact:
        return computed(reader.box((GROUPS[kind], key), standing(reader, kind, key)))

    return read


def _stands_in(kind: PlaceKind) -> Compute:
    def read(reader: Reader, key: str) -> Fact:
        here, path = standing(reader, kind, key), (GROUPS[kind], key)
        if here.room is not None:
            return Fact("room", reader.at(*path, "room"))
        return reader.stated(here.space, here.name, *path, "space")

    return read


def cable(reader: Reader, key: str) -> Verdict:
    """Tell whether the cable of an electrical part was wetted."""
    part: Part = reader.house.electrical[key]
    path = ("electrical", key)
    box = reader.box(path, part)
    return cables.cable(path, part, box, reader.water_at(part), reader.below)


def _air_of_burners(reader: Reader, kind: PlaceKind) -> list[tuple[str, Fact]]:
    """Return of each burner whether it draws its air from a space."""
    found = []
    for key, burner in reader.house.burners.items():
        path = ("burners", key)
        air = reader.stated(burner.draws_air_from, burner.name, *path, "draws-air-from")
        if burner.sealed and burner.draws_air_from is None:
            air = Fact("outside", reader.at(*path, "sealed"))
        value = None if air.value is None else air.value == kind
        found.append((burner.name, Fact(value, air.where, air.asks)))
    return found


def _burners_draw(kind: PlaceKind) -> Compute:
    """Tell whether a burner draws air from a space: suction there would pull its fumes back.

    A burner of the sheet that does decides, then what somebody saw, then the list of burners.
    """

    def read(reader: Reader, _: str) -> Fact:
        space = _under(reader, kind)
        seen = space.burners_draw_air if space else None
        drawing = any_fact(_air_of_burners(reader, kind), say("fact.no-burner-draws"))
        if drawing.value or (seen is None and reader.house.burners):
            return drawing
        if seen is None and reader.has("burners").value is False:
            return Fact(False, reader.at("burners"))
        return reader.stated(seen, say(f"place.{kind}"), kind, "burners-draw-air")

    return read


def _under(reader: Reader, kind: PlaceKind) -> Under | None:
    space: Under | None = getattr(reader.house, kind.replace("-", "_"))
    return space


def _flooded(kind: PlaceKind) -> Compute:
    """Tell whether a space was flooded: the sheet says so, or its waterline does."""

    def read(reader: Reader, _: str) -> Fact:
        space = _under(reader, kind)
        line = length_of(space.waterline) if space else None
        if space is not None and space.flooded is None and line is not None:
            return Fact(line.si > 0, reader.at(kind, "waterline"))
        typed = space.flooded if space else None
        return reader.stated(typed, say(f"place.{kind}"), kind, "flooded")

    return read


def _waterline_under(kind: PlaceKind) -> Compute:
    """Return the waterline in a space; one that stayed dry has it at its floor."""

    def read(reader: Reader, _: str) -> Fact:
        space = _under(reader, kind)
        if space is not None and space.flooded is False:
            return Fact(NOTHING, reader.at(kind, "flooded"))
        line = length_of(space.waterline) if space else None
        return reader.stated(line, say(f"place.{kind}"), kind, "waterline")

    return read


def _of_conditioning(key: str) -> Compute:
    def read(reader: Reader, _: str) -> Fact:
        here = reader.house.heating_cooling
        typed = getattr(here, key.replace("-", "_")) if here else None
        ducts = here.ducts if here else None
        if key == "ducts-wet" and typed is None and ducts == "none":
            return Fact(False, reader.at("heating-cooling", "ducts"))
        return reader.stated(typed, say("place.heating-cooling"), "heating-cooling", key)

    return read


_SPACES = FactKind(("room", *get_args(Space)))
_STANDING_FACTS: dict[PlaceKind, dict[str, tuple[FactKind, Compute]]] = {
    kind: {"wetted": (YES_NO, _wetted(kind)), "space": (_SPACES, _stands_in(kind))}
    for kind in STANDING
}
_BELOW: tuple[PlaceKind, ...] = ("crawl-space", "basement")
_UNDER_FACTS: dict[PlaceKind, dict[str, tuple[FactKind, Compute]]] = {
    kind: {
        "flooded": (YES_NO, _flooded(kind)),
        "waterline": (amount("length"), _waterline_under(kind)),
        "burners-draw-air": (YES_NO, _burners_draw(kind)),
    }
    for kind in _BELOW
}
# kind of place -> fact -> (its kind, how it is computed)
COMPUTED: dict[PlaceKind, dict[str, tuple[FactKind, Compute]]] = {
    "house": {
        "salt": (YES_NO, _salt),
        "category": (one_of(Category), _category_of_loss),
        "consent-to-work": (YES_NO, _consent("consent-to-work")),
        "consent-to-discard": (YES_NO, _consent("consent-to-discard")),
        "belly-insulation": (YES_NO, _belly("belly-insulation")),
        "belly-wetted": (YES_NO, _belly("belly-wet")),
        "skirting": (YES_NO, _belly("skirting")),
        **{
            key: (YES_NO, _has(key))
            for key in ("manufactured-home", *GROUPS.values(), *SINGLES)
            if key != "rooms"
        },
    },
    "room": {
        "wetted": (YES_NO, _room_wetted),
        "floor": (one_of(Floor), _floor),
        "from-above": (YES_NO, _from_above),
        "category": (one_of(Category), _category),
        "waterline": (amount("length"), _waterline),
        "area": (amount("area"), _area),
    },
    "wall": {
        "wetted": (YES_NO, _wall_wetted),
        **{f"{name}-wetted": (YES_NO, _layer(name)) for name in layers.LAYERS},
    },
    **_STANDING_FACTS,
    "electrical-part": {
        **_STANDING_FACTS["electrical-part"],
        "cable-wetted": (YES_NO, lambda reader, key: computed(cable(reader, key))),
    },
    "heating-cooling": {
        "equipment-wetted": (YES_NO, _of_conditioning("equipment-wet")),
        "ducts-wetted": (YES_NO, _of_conditioning("ducts-wet")),
    },
    **_UNDER_FACTS,
}
