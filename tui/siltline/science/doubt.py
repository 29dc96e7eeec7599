"""What a meter's tolerance makes of a state of air: the doubt of each of its numbers.

Each reading is moved by its tolerance both ways, and what that does is put together as the root
of the sum of squares (JCGM 100:2008, section 5.1: inputs that do not depend on each other).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from msgspec import Struct

from siltline.science.air import COLDEST, DRIEST, HOTTEST, Air
from siltline.science.faults import Contradiction, within

# What leaflets of hand-held meters promise: common practice; the meter's own leaflet decides.
USUAL_TEMP, USUAL_RH = 0.5, 0.02


class Tolerance(Struct, frozen=True):
    """How far a meter's readings can be off: temperature in K (0..5), humidity 0..0.2."""

    temp: float = USUAL_TEMP
    rh: float = USUAL_RH

    def __post_init__(self) -> None:
        within("temperature-doubt", self.temp, 0, 5, "K")
        within("humidity-doubt", 100 * self.rh, 0, 20, "%")


class Doubt(NamedTuple):
    """How far each number of a state of air can be off, in its own unit (see `Air`)."""

    rh: float
    vapour: float
    ratio: float
    dew: float
    wet_bulb: float
    enthalpy: float
    volume: float


_ABOUT = ("rh", "vapour", "ratio", "dew", "wet_bulb", "enthalpy", "volume")


def _reach(of: Callable[[float], Air], value: float, end: float) -> tuple[float, Air]:
    """Return the air at the end of the tolerance, or as it is where no air is like that."""
    try:
        return end, of(end)
    except Contradiction:
        return value, of(value)


def _moved(
    of: Callable[[float], Air], value: float, by: float, low: float, high: float
) -> list[float]:
    """Return what each number changes by when one reading moves by its tolerance."""
    down, least = _reach(of, value, max(low, value - by))
    up, most = _reach(of, value, min(high, value + by))
    scale = by / (up - down) if up > down else 0.0
    return [(getattr(most, name) - getattr(least, name)) * scale for name in _ABOUT]


def doubt(
    make: Callable[[float, float, float], Air],
    temp: float,
    second: float,
    pressure: float,
    tolerance: Tolerance,
) -> Doubt:
    """Return the doubt of the air that `make` makes of a temperature and a second reading.

    Args:
        make: `from_humidity`, `from_dew_point` or `from_wet_bulb`.
        temp: degC.
        second: what `make` takes: 0..1, or degC.
        pressure: Pa, taken as exact: two states under one sky share it.
        tolerance: of the meter; a dew point or wet bulb is as good as its temperature.
    """
    humid = make.__name__ == "from_humidity"
    bounds = (DRIEST, 1.0) if humid else (-60.0, temp)
    by = tolerance.rh if humid else tolerance.temp
    lowest = COLDEST if humid else second
    first = _moved(lambda t: make(t, second, pressure), temp, tolerance.temp, lowest, HOTTEST)
    other = _moved(lambda s: make(temp, s, pressure), second, by, *bounds)
    return Doubt(*(math.hypot(a, b) for a, b in zip(first, other, strict=True)))
