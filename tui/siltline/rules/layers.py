"""Was a layer of a wall wetted? Each layer from its lowest edge, by what it is made of.

Common practice: what draws water (wallboard, fibre insulation, wood) is wetted up to the highest
wet reading, what does not (foam, metal, vinyl, glazed tile) only as high as the water stood.
"""

from __future__ import annotations

from typing import get_args

from siltline.rules.plan import Ask
from siltline.rules.sheet.building import (
    Cladding,
    Finish,
    Insulation,
    Sheathing,
    Structure,
    Wall,
)
from siltline.rules.sheet.fitting import length_of
from siltline.rules.water import NOTHING, Water
from siltline.rules.wetted import Thing, Verdict, any_of, at_height, room, seen
from siltline.sentences import say
from siltline.units import Quantity

# The layers of a wall from inside out, with what each can be made of.
LAYERS: dict[str, tuple[str, ...]] = {
    "finish": get_args(Finish),
    "insulation": get_args(Insulation),
    "structure": get_args(Structure),
    "sheathing": get_args(Sheathing),
    "cladding": get_args(Cladding),
}
DRAWS_NO_WATER = ("tile", "foam-board", "spray-foam", "foam", "vinyl", "steel")


def wall(key: str, here: Wall, waters: list[Water]) -> Verdict:
    """Tell whether a wall was wetted: by the water of the room on either side, or as seen.

    Args:
        key: id of the wall.
        here: the wall.
        waters: of its room, and of the room behind it where the sheet names one.
    """
    if here.wet is not None:
        return seen(here.wet)
    return any_of(_reached(key, here, NOTHING, water) for water in waters)


def _reached(key: str, here: Wall, bottom: Quantity, water: Water) -> Verdict:
    """Tell whether the water of one room reached a height of a wall."""
    reached = room(water)
    if bottom.si <= 0 and not water.from_above:
        return reached
    return at_height(Thing(("walls", key), here.name), bottom, water)


def layer(name: str, key: str, here: Wall, waters: list[Water]) -> Verdict:
    """Tell whether one layer of a wall was wetted.

    Args:
        name: one of `LAYERS`.
        key: id of the wall.
        here: the wall.
        waters: as `wall` has them.
    """
    material: str | None = getattr(here, name)
    if name == "cladding" and here.outer is False:
        return Verdict(False, say("wetted.inner-wall"))
    if material == "none":
        return Verdict(False, say("wetted.no-layer"))
    if material is not None:
        return _of(name, material not in DRAWS_NO_WATER, key, here, waters)
    drawing, not_drawing = (_of(name, draws, key, here, waters) for draws in (True, False))
    may_lack = "none" in LAYERS[name] or (name == "cladding" and here.outer is None)
    if drawing.value is False or (not_drawing.value and not may_lack):
        return not_drawing
    lines = drawing.asks if drawing.value is None else ()
    asks = [_ask(name, key, here), *lines]
    if name == "cladding" and here.outer is None:
        asks.insert(0, _ask("outer", key, here))
    return Verdict(None, say("wetted.no-material"), tuple(asks))


def _ask(field: str, key: str, here: Wall) -> Ask:
    return Thing(("walls", key), here.name).ask(field)


def _of(name: str, draws: bool, key: str, here: Wall, waters: list[Water]) -> Verdict:
    """Tell whether a layer that draws water, or does not, was wetted."""
    if here.wet is not None:
        return seen(here.wet)
    edge = length_of(here.finish_from) if name == "finish" else None
    bottom = edge if edge is not None else NOTHING
    return any_of(_reached(key, here, bottom, _decides(water, draws)) for water in waters)


def _decides(water: Water, draws: bool) -> Water:
    """Return the lines that decide: where water came from above, all of them do."""
    return water if draws or not water.rises else water.only("waterline", "silt_line")
