"""What the report tells of the house and the loss."""

from __future__ import annotations

from typing import Any

from siltline.rules.house import House
from siltline.sentences import say
from siltline.units import both, quantity

Data = dict[str, Any]


def _height(text: str | None) -> str:
    return both(quantity(text, "length")) if text else say("report.unknown")


def about(house: House) -> Data:
    """Return the house and the loss, with every height in both systems."""
    loss, unknown = house.loss, say("report.unknown")
    facts = {
        "address": house.address,
        "owner": house.owner,
        "year-built": house.year_built,
        "foundation": house.foundation,
        "time-zone": house.time_zone,
        "source": loss.source,
        "category": loss.category,
        "water-in": loss.water_in,
        "water-out": loss.water_out,
    }
    return {
        "name": house.house,
        "note": house.note or "",
        "facts": [[say(f"report.fact.{k}"), v or unknown] for k, v in facts.items()],
        "rooms": [
            [room.name, *map(_height, (room.waterline, room.silt_line, room.highest_wet_reading))]
            for room in house.rooms.values()
        ],
    }
