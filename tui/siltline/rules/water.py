"""How high the water stood at a place: its own lines, or the line of the same water elsewhere.

A flood from outside stands at one height, so a room whose floor lies at a known level gets the
waterline of another room of known level, unless its own lines say otherwise: those always win.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from siltline.rules.house import House, Room
from siltline.rules.plan import Ask
from siltline.rules.sheet.asking import ask
from siltline.rules.sheet.building import Under
from siltline.rules.sheet.fitting import length_of, surfaces
from siltline.rules.sheet.site import OUTSIDE, RISING
from siltline.sentences import say
from siltline.units import Quantity

LINES = {
    "waterline": "wetted.waterline",
    "silt_line": "wetted.silt-line",
    "highest_wet_reading": "wetted.wet-reading",
}
DECIDING = ("waterline", "highest_wet_reading")  # the silt line may be absent where none was left
NOTHING = Quantity("0 in", Decimal(0), "length", "in")


class Line(Struct, frozen=True):
    """One height that water left: its words, and how high above the floor."""

    words: str
    height: Quantity


class Water(Struct, frozen=True):
    """What is known of the water at one place.

    Attributes:
        lines: field of the sheet -> line.
        missing: what to ask for the lines that decide and are not known.
        rises: whether all the water came from below, so that a height above it clears.
        from_above: whether somebody said that water came from above here.
    """

    lines: Mapping[str, Line]
    missing: Mapping[str, Ask]
    rises: bool
    from_above: bool = False

    def only(self, *fields: str) -> Water:
        """Return the same water seen by some of its lines."""
        lines = {name: line for name, line in self.lines.items() if name in fields}
        missing = {name: ask for name, ask in self.missing.items() if name in fields}
        return Water(lines, missing, self.rises, self.from_above)


def _highest(house: House) -> tuple[Decimal, Room] | None:
    """Return how high the same water stood, in metres above the level of the site, and where."""
    found = surfaces(house)
    if house.loss.source not in OUTSIDE or not found:
        return None
    key = max(found, key=lambda key: (found[key], key))
    return found[key], house.rooms[key]


def _carried_over(
    room: Room, own: Mapping[str, Line], highest: tuple[Decimal, Room] | None
) -> Line | None:
    """Return the waterline of the same water in a room without one, unless its lines deny it."""
    level = length_of(room.level)
    if "waterline" in own or level is None or highest is None:
        return None
    surface, there = highest
    height = max(surface - level.si, Decimal(0))
    wet, silt = own.get("highest_wet_reading"), own.get("silt_line")
    if (wet and wet.height.si < height) or (silt and silt.height.si > height):
        return None
    unit = "in" if level.unit in ("in", "ft") else "cm"
    found = Quantity("", height, "length", "m").typed_in(unit)
    return Line(say("wetted.carried-over", room=there.name), found)


def _in_room(key: str, room: Room, house: House, highest: tuple[Decimal, Room] | None) -> Water:
    typed = {name: length_of(getattr(room, name)) for name in LINES}
    own = {name: Line(say(LINES[name]), at) for name, at in typed.items() if at is not None}
    carried = _carried_over(room, own, highest)
    lines = {**own, "waterline": carried} if carried else own
    missing = {
        name: ask(("rooms", key, name.replace("_", "-")), room.name)
        for name in DECIDING
        if name not in lines
    }
    rises = room.from_above is False or (room.from_above is None and house.loss.source in RISING)
    return Water(lines, missing, rises, bool(room.from_above))


def in_rooms(house: House) -> dict[str, Water]:
    """Return what is known of the water in each room, by room id."""
    highest = _highest(house)
    return {key: _in_room(key, room, house, highest) for key, room in house.rooms.items()}


def under_floor(path: str, name: str, space: Under, house: House) -> Water:
    """Return what is known of the water in a crawl space or a basement."""
    rises = house.loss.source in RISING
    line = length_of(space.waterline)
    if space.flooded is False:
        return Water({"waterline": Line(say(LINES["waterline"]), NOTHING)}, {}, rises)
    if line is not None:
        return Water({"waterline": Line(say(LINES["waterline"]), line)}, {}, rises)
    key = "flooded" if space.flooded is None else "waterline"
    return Water({}, {"waterline": ask((path, key), name)}, rises)
