"""Will outside air dry a space? The water in both airs, side by side, with the meters' doubt.

Air that goes out through a fan carries its water with it, and as much dry air comes in from
outside with the water it holds: removal = Q / v * (W inside - W outside), v of the air that
leaves. Conservation of mass; definitions of ASHRAE Handbook, Fundamentals (2017), chapter 1.
"""

from __future__ import annotations

import math

from msgspec import Struct

from siltline.science.air import Air
from siltline.science.faults import Contradiction, within
from siltline.sentences import say

DRIES, WETS, TOO_CLOSE = "dries", "wets", "too-close"
VERDICTS = (DRIES, WETS, TOO_CLOSE)
LARGEST_FLOW = 100.0  # m3/s; no house has such a fan


class Comparison(Struct, frozen=True):
    """Inside air against outside air.

    Attributes:
        margin: kg of water that each kg of dry air carries off; below 0 it brings it in.
        doubt: how far the margin can be off, kg/kg.
        verdict: `dries`, `wets`, or `too-close` where the doubt is as large as the margin.
    """

    margin: float
    doubt: float
    verdict: str


def compare(inside: Air, outside: Air, inside_doubt: float, outside_doubt: float) -> Comparison:
    """Return whether outside air would dry what the inside air is in.

    Args:
        inside: the air of the space.
        outside: the air that would come in, at the same pressure.
        inside_doubt: of its humidity ratio, kg/kg.
        outside_doubt: likewise.

    Raises:
        Contradiction: the two have different pressures.
    """
    if not math.isclose(inside.pressure, outside.pressure, rel_tol=1e-6):
        raise Contradiction(say("science.two-pressures"))
    margin, doubt = inside.ratio - outside.ratio, math.hypot(inside_doubt, outside_doubt)
    clear = DRIES if margin > 0 else WETS
    return Comparison(margin, doubt, clear if abs(margin) > doubt else TOO_CLOSE)


def removal(flow: float, leaving: Air, margin: float) -> float:
    """Return the water that a fan carries off, kg/s; below 0 it brings water in.

    Args:
        flow: of the fan, m3/s of the air that leaves, 0 to 100.
        leaving: that air.
        margin: kg/kg, as `compare` has it.

    Raises:
        NotFinite, OutOfRange: the flow is none.
    """
    return within("flow", flow, 0, LARGEST_FLOW, "m3/s") / leaving.volume * margin


def wets_surface(outside: Air, surface: float) -> bool:
    """Tell whether outside air would leave water on a surface of that temperature, degC.

    Raises:
        NotFinite, OutOfRange: the temperature is none.
    """
    return outside.dew > within("surface", surface, -40, 70, "C")
