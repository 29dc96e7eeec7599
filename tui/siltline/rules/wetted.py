"""Was it wetted? Three-valued, with the reason, from the three lines of a room.

Wetted is not the same as below a line: water also comes from above, so where the water did
not rise from below, a part above the lines stays unknown until somebody looks.
"""

from __future__ import annotations

from dataclasses import dataclass

from siltline.rules.house import House, Room
from siltline.rules.plan import Ask
from siltline.sentences import say
from siltline.units import Quantity, both, quantity

RISING = ("river", "sea", "sewer")
_LINES = {
    "waterline": "wetted.waterline",
    "silt_line": "wetted.silt-line",
    "highest_wet_reading": "wetted.wet-reading",
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """True, False or None for unknown; why; and what to find out where it is unknown."""

    value: bool | None
    because: str
    asks: tuple[Ask, ...] = ()


def _known_lines(room: Room) -> dict[str, Quantity]:
    typed = {name: getattr(room, name) for name in _LINES}
    return {name: quantity(text, "length") for name, text in typed.items() if text is not None}


def _missing_lines(room_id: str, room: Room) -> tuple[Ask, ...]:
    """Ask for the lines that decide: the silt line may be absent where no silt was left."""
    return tuple(
        Ask(
            ("rooms", room_id, name.replace("_", "-")),
            say("ask.line", line=say(_LINES[name]), room=room.name),
        )
        for name in ("waterline", "highest_wet_reading")
        if getattr(room, name) is None
    )


def room(room_id: str, room: Room) -> Verdict:
    """Tell whether water reached a room."""
    known = _known_lines(room)
    if known:
        name, highest = max(known.items(), key=lambda item: item[1].si)
        if highest.si > 0:
            line = say(_LINES[name])
            return Verdict(True, say("wetted.room-yes", line=line, height=both(highest)))
        if not _missing_lines(room_id, room):
            return Verdict(False, say("wetted.room-no"))
    return Verdict(None, say("wetted.no-lines"), _missing_lines(room_id, room))


def part(
    path: tuple[str, str],
    name: str,
    height: str | None,
    wet: bool | None,
    room_id: str,
    house: House,
) -> Verdict:
    """Tell whether a thing in a room was wetted.

    Args:
        path: where the thing stands in the house sheet, for what is asked.
        name: what people call it.
        height: of its lowest edge above the finished floor, as typed, or None.
        wet: what somebody saw, which decides; None where nobody looked.
        room_id: its room.
        house: the sheet.
    """
    if wet is not None:
        return Verdict(wet, say("wetted.seen-wet" if wet else "wetted.seen-dry"))
    here = house.rooms[room_id]
    rises = house.loss.source in RISING
    if height is None:
        return _no_height(path, name, room_id, here) if rises else _from_above(path, name)
    bottom = quantity(height, "length")
    told = _at_height(bottom, room_id, here)
    if told is None and rises:
        return Verdict(False, say("wetted.above", height=both(bottom)))
    return told or _from_above(path, name)


def _no_height(path: tuple[str, str], name: str, room_id: str, here: Room) -> Verdict:
    if room(room_id, here).value is False:
        return Verdict(False, say("wetted.room-no"))
    ask = Ask((*path, "height"), say("ask.height", name=name))
    return Verdict(None, say("wetted.no-height"), (ask, *_missing_lines(room_id, here)))


def _from_above(path: tuple[str, str], name: str) -> Verdict:
    return Verdict(
        None, say("wetted.from-above"), (Ask((*path, "wet"), say("ask.wet", name=name)),)
    )


def _at_height(bottom: Quantity, room_id: str, here: Room) -> Verdict | None:
    """Tell what the lines of a room say of a height; None where it is above all of them."""
    for line, level in _known_lines(here).items():
        if level.si > 0 and level.si >= bottom.si:
            told = say("wetted.under", height=both(bottom), line=say(_LINES[line]), at=both(level))
            return Verdict(True, told)
    missing = _missing_lines(room_id, here)
    return Verdict(None, say("wetted.line-missing"), missing) if missing else None
