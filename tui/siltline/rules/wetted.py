"""Was it wetted? Three-valued, with the reason, from what is known of the water at a place.

Wetted is not the same as below a line: water also comes from above, so where not all of it
rose from below, a thing above the lines stays unknown until somebody looks. What somebody saw
decides over any line.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from siltline.rules.plan import Ask
from siltline.rules.sheet.asking import ask
from siltline.rules.water import LINES, Water
from siltline.sentences import say
from siltline.units import Quantity, both, quantity


class Verdict(Struct, frozen=True):
    """True, False or None for unknown; why; and what to find out where it is unknown."""

    value: bool | None
    because: str
    asks: tuple[Ask, ...] = ()


class Thing(Struct, frozen=True):
    """What may have been wetted.

    Attributes:
        path: where it stands in the house sheet, for what is asked.
        name: what people call it.
        height: of its lowest edge above the finished floor, as typed, or None.
        wet: what somebody saw, which decides; None where nobody looked.
        wet_key: the key of the sheet that holds what somebody saw.
        height_key: the key of the sheet that holds its height.
    """

    path: tuple[str, ...]
    name: str
    height: str | None = None
    wet: bool | None = None
    wet_key: str = "wet"
    height_key: str = "height"

    def ask(self, key: str) -> Ask:
        """Return the question for a fact of this thing."""
        return ask((*self.path, key), self.name)


def any_of(verdicts: Iterable[Verdict]) -> Verdict:
    """Return yes with the first that is yes, else unknown with all that is asked, else no."""
    found = list(verdicts)
    wet = next((one for one in found if one.value), None)
    unknown = [one for one in found if one.value is None]
    if wet is not None:
        return wet
    if unknown:
        asks = dict.fromkeys(ask for one in unknown for ask in one.asks)
        return Verdict(None, unknown[0].because, tuple(asks))
    return found[0]


def seen(wet: bool) -> Verdict:
    """Return the verdict of somebody's eyes."""
    return Verdict(wet, say("wetted.seen-wet" if wet else "wetted.seen-dry"))


def room(water: Water) -> Verdict:
    """Tell whether water reached a place at all."""
    if water.from_above:
        return Verdict(True, say("wetted.room-from-above"))
    if water.lines:
        highest = max(water.lines.values(), key=lambda line: line.height.si)
        if highest.height.si > 0:
            told = {"line": highest.words, "height": both(highest.height)}
            return Verdict(True, say("wetted.room-yes", **told))
        if not water.missing:
            return Verdict(False, say("wetted.room-no"))
    return Verdict(None, say("wetted.no-lines"), tuple(water.missing.values()))


def part(thing: Thing, water: Water | None) -> Verdict:
    """Tell whether a thing was wetted.

    Args:
        thing: the thing.
        water: what is known of the water where it stands; None where no line says anything.
    """
    if thing.wet is not None:
        return seen(thing.wet)
    if water is None:
        return Verdict(None, say("wetted.nowhere"), (thing.ask(thing.wet_key),))
    if thing.height is None:
        return _no_height(thing, water) if water.rises else _from_above(thing)
    return at_height(thing, quantity(thing.height, "length"), water)


def at_height(thing: Thing, bottom: Quantity, water: Water) -> Verdict:
    """Tell whether water reached the bottom of a thing that nobody saw wet or dry."""
    for line in water.lines.values():
        if line.height.si > 0 and line.height.si >= bottom.si:
            told = {"height": both(bottom), "line": line.words, "at": both(line.height)}
            return Verdict(True, say("wetted.under", **told))
    if water.missing:
        return Verdict(None, say("wetted.line-missing"), tuple(water.missing.values()))
    if water.rises:
        return Verdict(False, say("wetted.above", height=both(bottom)))
    return _from_above(thing)


def _no_height(thing: Thing, water: Water) -> Verdict:
    if room(water).value is False:
        return Verdict(False, say("wetted.room-no"))
    asks = (thing.ask(thing.height_key), *water.missing.values())
    return Verdict(None, say("wetted.no-height"), asks)


def _from_above(thing: Thing) -> Verdict:
    return Verdict(None, say("wetted.from-above"), (thing.ask(thing.wet_key),))


__all__ = ["LINES", "Thing", "Verdict", "any_of", "at_height", "part", "room", "seen"]
