"""Was a cable wetted? It can hang lower than its outlet, and run where other water stood.

A cable is wetted if its end is, in the box, or if any of its run is. Common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from siltline.rules.sheet.building import Under
from siltline.rules.sheet.fitting import length_of
from siltline.rules.sheet.systems import Part
from siltline.rules.water import NOTHING, Water
from siltline.rules.wetted import Thing, Verdict, any_of, at_height, part, room, seen
from siltline.sentences import say

ABOVE = ("ceiling", "attic")  # runs that leave the box upwards


class Below(Struct, frozen=True):
    """A space under the floor that a cable may run in, and its water."""

    space: Under
    water: Water


def cable(
    path: tuple[str, ...], here: Part, box: Verdict, water: Water | None, below: Mapping[str, Below]
) -> Verdict:
    """Tell whether the cable of an electrical part was wetted.

    Args:
        path: where the part stands in the house sheet.
        here: the part.
        box: whether its box was wetted.
        water: of the place where it stands; None where no line says anything.
        below: the spaces under the house by their name, as far as it may have them.
    """
    if here.cable_wet is not None:
        return seen(here.cable_wet)
    if box.value:
        return Verdict(True, say("wetted.cable-end", because=box.because))
    thing = Thing(path, here.name, here.cable_lowest, None, "cable-wet", "cable-lowest")
    return any_of([box, *_run(thing, here, water, below)])


def _run(
    thing: Thing, here: Part, water: Water | None, below: Mapping[str, Below]
) -> Iterator[Verdict]:
    """Yield the verdicts on where a cable runs, beside its box."""
    lowest = length_of(thing.height)
    if water is None:
        yield part(Thing(thing.path, thing.name, wet_key="cable-wet"), None)
    elif lowest is not None:
        yield at_height(thing, lowest, water)
    elif here.cable_runs == "wall":
        yield part(thing, water)
    if here.cable_runs is None:
        yield Verdict(None, say("wetted.no-run"), (thing.ask("cable-runs"),))
    elif here.cable_runs in ABOVE:
        if water is not None and not water.rises:
            yield Verdict(None, say("wetted.from-above"), (thing.ask("cable-wet"),))
    elif here.cable_runs != "wall":
        if water is not None:
            yield at_height(thing, NOTHING, water)
        there = [one for name, one in below.items() if here.cable_runs in (name, "floor")]
        yield from (_under(thing, one) for one in there)
        if not there and here.cable_runs != "floor":  # in a space that the house has not
            yield Verdict(None, say("wetted.cable-under"), (thing.ask("cable-wet"),))


def _under(thing: Thing, below: Below) -> Verdict:
    """Tell whether a cable under the floor was wetted: surely where the space filled up."""
    reached = room(below.water)
    full, line = length_of(below.space.height), below.water.lines.get("waterline")
    if reached.value and full and line and line.height.si >= full.si:
        return Verdict(True, say("wetted.filled"))
    if reached.value is False:
        return reached
    asks = reached.asks or (thing.ask("cable-wet"),)
    return Verdict(None, say("wetted.cable-under"), asks)
