"""How a computed number is told: in both systems of units, with its doubt."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from siltline.sentences import say

CFM, GRAINS = 4.719474432e-4, 7000.0  # m3/s; to the pound, exact
FOOT2, FOOT3 = 0.09290304, 0.028316846592
PINT_KG = 0.473176473  # a US pint of water at 1 kg/L
CUP, GALLON = 2.365882365e-4, 3.785411784e-3  # m3
TABLESPOON, TEASPOON = CUP / 16, CUP / 48
# From which volume on, m3: told in what, with how many places.
_US = (
    (GALLON / 2, GALLON, ".2f", "gal"),
    (CUP * 0.249, CUP, ".2f", "cup"),  # a quarter of a cup, though floats fall a little short
    (TABLESPOON * 0.999, TABLESPOON, ".2g", "tbsp"),
    (-math.inf, TEASPOON, ".2g", "tsp"),
)
DAY = 86_400.0


class Line(Struct, frozen=True):
    """A number: what it is (`calc.out.NAME`), its text, its doubt or ""."""

    name: str
    text: str
    doubt: str = ""

    @property
    def label(self) -> str:
        """Return what the number is."""
        return say(f"calc.out.{self.name}").strip()

    @property
    def told(self) -> str:
        """Return the line in one sentence."""
        off = f" ± {self.doubt}" if self.doubt else ""
        return f"{self.label}: {self.text}{off}"


class Told(Struct, frozen=True):
    """What came out.

    Attributes:
        facts: flat, SI; None or a float that is not finite where there is no number.
        lines: the same in words.
        warnings: sentences that stand above the lines.
    """

    facts: Mapping[str, Any]
    lines: tuple[Line, ...]
    warnings: tuple[str, ...] = ()

    @property
    def flat(self) -> dict[str, Any]:
        """Return the facts as JSON holds them: None for what is infinite or no number."""
        return {name: finite(value) for name, value in self.facts.items()}


def finite(value: Any) -> Any:
    """Return a value as JSON holds it: None for a float that is infinite or no number."""
    return None if isinstance(value, float) and not math.isfinite(value) else value


def celsius(value: float, places: int = 1) -> str:
    """Return a temperature of degC in both scales."""
    return f"{value:.{places}f} C ({value * 1.8 + 32:.{places}f} F)"


def flow(value: float) -> str:
    """Return a flow of m3/s in both systems, or that there is none large enough."""
    if math.isinf(value):
        return say("calc.no-fan")
    return f"{value:.3f} m3/s ({value / CFM:.0f} cfm)"


def square(value: float) -> str:
    """Return an area of m2 in both systems."""
    return f"{value:.3f} m2 ({value / FOOT2:.1f} ft2)"


def cubic(value: float) -> str:
    """Return a volume of m3 in both systems."""
    return f"{value:.1f} m3 ({value / FOOT3:.0f} ft3)"


def liquid(m3: float) -> str:
    """Return a volume in litres, and in what it is measured with: a spoon, cups, gallons."""
    us = next(f"{m3 / size:{places}} {name}" for least, size, places, name in _US if m3 >= least)
    return f"{1000 * m3:.3g} L ({us})"


def water_a_day(kg: float) -> str:
    """Return kg of water a day, and US pints of it."""
    return f"{kg:+.1f} kg/day ({kg / PINT_KG:+.0f} {say('calc.pints')})"


_SEEN: Mapping[str, Callable[[Any], str]] = {
    "area": square,
    "flow": flow,
    "volume": liquid,
    "air": lambda air: f"{celsius(air[0])}, {100 * air[1]:g} %",
}


def seen(kind: str, value: Any) -> str:
    """Return what was read of a kind (`given.read`) in both systems of units; "" if it is plain."""
    tells = _SEEN.get(kind)
    return tells(value) if tells else ""
