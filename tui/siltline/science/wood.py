"""Wood and the air around it: the moisture content it ends at, and what a meter reads.

Source: Wood Handbook, USDA Forest Products Laboratory (FPL-GTR-282, 2021), chapter 4, equation
4-5 in its SI form; table 4-2 is computed from it, for 30 to 270 degF and humidities to 95 %.
The handbook speaks of a wood of no particular kind: a species can be off by a point or two.
"""

from __future__ import annotations

import math

from siltline.science.doubt import Tolerance
from siltline.science.faults import Contradiction, OutOfRange, within
from siltline.sentences import say

COLDEST, HOTTEST = -1.2, 132.3  # degC, the table's range
LEAST_READ, MOST_READ = 6.0, 30.0  # %: meters of resistance, James 1988, FPL-GTR-6 (abstract)
TREATED_READS_HIGH = (1.0, 2.0)  # points, as extension leaflets have it
_MOST_GOAL = 30.0


def emc(temp: float, rh: float) -> float:
    """Return the equilibrium moisture content of wood.

    Args:
        temp: of the air, degC, -1.2 to 132.3.
        rh: its relative humidity, 0 to 1; above 0.95 the table is silent.

    Returns:
        Percent of dry mass.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("temperature", temp, COLDEST, HOTTEST, "C")
    within("humidity", rh, 0, 1, "as a fraction")
    w = 349 + 1.29 * temp + 0.0135 * temp**2
    k = 0.805 + 0.000736 * temp - 0.00000273 * temp**2
    k1 = 6.27 - 0.00938 * temp - 0.000303 * temp**2
    k2 = 1.91 + 0.0407 * temp - 0.000293 * temp**2
    kh = k * rh
    one, two = k1 * kh, k1 * k2 * kh * kh
    return 1800 / w * (kh / (1 - kh) + (one + 2 * two) / (1 + one + two))


def emc_doubt(temp: float, rh: float, tolerance: Tolerance) -> float:
    """Return how far that can be off by the meter's tolerance, points; the species comes on top.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    warm, cold = min(HOTTEST, temp + tolerance.temp), max(COLDEST, temp - tolerance.temp)
    damp, dry = min(1.0, rh + tolerance.rh), max(0.0, rh - tolerance.rh)
    return math.hypot((emc(warm, rh) - emc(cold, rh)) / 2, (emc(temp, damp) - emc(temp, dry)) / 2)


def goal_of(goal: float) -> float:
    """Return a moisture content that can be a goal, percent.

    Raises:
        NotFinite, OutOfRange: outside 3 to 30 %; a humidity was likely given in its place.
    """
    if _MOST_GOAL < goal <= 100:  # noqa: PLR2004
        raise OutOfRange(say("science.goal-humidity", goal=f"{goal:g}"), "goal")
    return within("goal", goal, 3, _MOST_GOAL, "%")


def moisture_of(percent: float) -> float:
    """Return a moisture content that wood can have, percent.

    Raises:
        NotFinite, OutOfRange: outside 1 to 200 %; a fraction was likely given for percent.
    """
    if 0 < percent < 1:
        raise OutOfRange(say("science.percent-fraction", value=f"{percent:g}"), "moisture")
    return within("moisture", percent, 1, 200, "%")


def humidity_for(temp: float, goal: float) -> float:
    """Return the relative humidity, 0..1, at which wood ends at a moisture content.

    Wood comes below it only in drier air.

    Args:
        temp: degC, -1.2 to 132.3.
        goal: percent, 3 to 30.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: no air of that temperature leaves wood that wet.
    """
    goal_of(goal)
    if goal > emc(temp, 1.0):
        told = say("science.any-air", goal=f"{goal:g}", temp=f"{temp:g}")
        raise Contradiction(told, "goal", "temperature")
    low, high = 0.0, 1.0
    while high - low > 1e-7:  # noqa: PLR2004
        mid = (low + high) / 2
        low, high = (mid, high) if emc(temp, mid) < goal else (low, mid)
    return (low + high) / 2


def reachable(temp: float, rh: float, goal: float, doubt: float) -> bool | None:
    """Tell whether wood in that air ever comes below a goal; None where the doubt is too large.

    Args:
        temp: degC.
        rh: 0 to 1.
        goal: percent, 3 to 30.
        doubt: of the equilibrium, points.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    apart = goal_of(goal) - emc(temp, rh)
    return None if abs(apart) <= doubt else apart > 0


def corrected(reading: float, temp: float) -> float:
    """Return what a resistance meter that does not know the wood's temperature should have read.

    Half a point for each 5 K: added below 20 degC, taken off above. The rule of meters' leaflets;
    only for a meter that does not correct by itself.

    Args:
        reading: percent, 6 to 30, beyond which such meters do not measure.
        temp: of the wood, degC, -1.2 to 50.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("meter-reading", reading, LEAST_READ, MOST_READ, "%")
    return reading + 0.1 * (20 - within("temperature", temp, COLDEST, 50, "C"))
