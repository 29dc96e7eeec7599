"""What the report tells of the house and the loss."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from siltline.rules.house import House
from siltline.rules.shapes import Shape
from siltline.rules.sheet.asking import FieldKind, ask_key, fields_of, kind_of
from siltline.rules.sheet.building import Opening, Room
from siltline.sentences import say
from siltline.units import both, quantity

Data = dict[str, Any]
# Told even where it is not known: an insurer asks for these first.
_ESSENTIAL = (
    "field.address", "field.owner", "field.year-built", "field.foundation", "field.time-zone",
    "field.source", "field.loss-category", "field.water-in", "field.water-out",
)  # fmt: skip
# Told beside the table of facts, or in tables of their own.
_ELSEWHERE = (
    "house", "note", "name", "room", "other-room", "crawl-space", "basement", "well", "septic",
    "heating-cooling",
)  # fmt: skip
_LINES = ("waterline", "silt-line", "highest-wet-reading")


def _height(text: str | None) -> str:
    return both(quantity(text, "length")) if text else say("report.unknown")


def _told(value: str | bool, kind: FieldKind | None) -> str:
    """Return a value as people read it; a length in both systems."""
    if isinstance(value, bool):
        return say("fact.yes" if value else "fact.no")
    return both(quantity(value, "length")) if kind == "length" else value


def _stated(shape: Shape, *path: str) -> Iterator[tuple[str, str]]:
    """Yield what a part of the sheet states: the label of the key, and the value."""
    for key, (field, hint) in fields_of(type(shape)).items():
        value = getattr(shape, field)
        of_room = isinstance(shape, Room) and key in _LINES
        if value is None or isinstance(value, dict) or key in _ELSEWHERE or of_room:
            continue
        if isinstance(value, Shape):
            yield from _stated(value, *path, key)
        else:
            yield say(f"field.{ask_key((*path, key))}"), _told(value, kind_of(hint))


def _described(house: House, shape: Shape, *path: str) -> str:
    """Return all that is known of one place, in a line."""
    facts = dict(_stated(shape, *path))
    for key in ("room", "other-room"):
        room = getattr(shape, key.replace("-", "_"), None)
        if room is not None:
            facts[say(f"field.{key}")] = house.rooms[room].name
    openings: dict[str, Opening] = getattr(shape, "openings", {})
    for key, opening in openings.items():
        told = ", ".join(f"{label}: {value}" for label, value in _stated(opening))
        facts[opening.name or key] = f"({told})"
    return "; ".join(f"{label}: {value}" for label, value in facts.items())


def _groups(house: House) -> list[list[Any]]:
    """Return what is known of every place, by group: title -> rows of name and facts."""
    found = []
    for key, (field, _) in fields_of(House).items():
        value = getattr(house, field)
        if isinstance(value, dict):
            rows = [[one.name, _described(house, one, key, n)] for n, one in value.items()]
        elif isinstance(value, Shape) and key in _ELSEWHERE:
            rows = [[say(f"place.{key}"), _described(house, value, key)]]
        else:
            continue
        found.append([say(f"field.{key}"), [row for row in rows if row[1]]])
    return [group for group in found if group[1]]


def about(house: House) -> Data:
    """Return the house and the loss, with every height in both systems."""
    facts = {label: say("report.unknown") for label in map(say, _ESSENTIAL)}
    facts |= dict(_stated(house))
    return {
        "name": house.house,
        "note": house.note or "",
        "facts": [[label, value] for label, value in facts.items()],
        "rooms": [
            [room.name, *map(_height, (room.waterline, room.silt_line, room.highest_wet_reading))]
            for room in house.rooms.values()
        ],
        "groups": _groups(house),
    }
