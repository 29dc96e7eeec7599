"""Air movers and dehumidifiers to begin a drying with: rules of thumb, each with its mark.

Every factor here is from memory: the trade's standard names these sums (S500, section 10.4.3 and
appendix B, as a trade magazine tells), but no page that gives its numbers was read. So they are
where a crew begins and nothing that must be; readings decide from the first day on.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from siltline.science.faults import Contradiction, OutOfRange, within
from siltline.sentences import say

Mark = Literal["read", "summary", "memory"]
Machine = Literal["conventional", "low-grain", "desiccant"]
MACHINES: tuple[Machine, ...] = ("conventional", "low-grain", "desiccant")
CLASSES = (1, 2, 3, 4)  # how much of what is wet, left in place, holds water; 4 holds it deep

FOOT2, FOOT3 = 0.09290304, 0.028316846592
PINT_A_DAY = 0.473176473 / 86_400  # kg/s: a US pint of water at 1 kg/L
_NEARLY = 1e-9  # an area typed in feet comes back from metres a breath too large


class Factor(Struct, frozen=True):
    """A number of the trade, from its least to its most, and how far it is known.

    Attributes:
        low: the one that asks for fewer machines.
        high: the one that asks for more.
        mark: read, seen in a summary, or from memory.
    """

    low: float
    high: float
    mark: Mark = "memory"


ROOM = Factor(1, 1)  # air movers a room
WET_FLOOR = Factor(70 * FOOT2, 50 * FOOT2)  # m2 of wet floor for one more
WET_UPPER = Factor(150 * FOOT2, 100 * FOOT2)  # m2 of wet wall and ceiling above 2 ft for one more


def _divisor(ft3: float) -> Factor:
    """Return m3 of air for each kg/s of a machine that is rated at 80 degF and 60 % humidity."""
    return Factor(ft3 * FOOT3 / PINT_A_DAY, ft3 * FOOT3 / PINT_A_DAY)


# class -> how much air a rated capacity serves; conventional machines have no figure in class 4
DIVISORS: Mapping[str, Mapping[int, Factor]] = {
    "conventional": {1: _divisor(100), 2: _divisor(40), 3: _divisor(30)},
    "low-grain": {1: _divisor(100), 2: _divisor(50), 3: _divisor(40), 4: _divisor(40)},
}
# class -> air changes, 1/s, that a desiccant machine takes through itself
CHANGES: Mapping[int, Factor] = {
    wet: Factor(n / 3600, n / 3600) for wet, n in {1: 1, 2: 2, 3: 3, 4: 2}.items()
}


class Movers(Struct, frozen=True):
    """How many air movers to begin with, at least and at most."""

    low: int
    high: int


def _more(area: float, each: float) -> int:
    return math.ceil(area / each - _NEARLY) if area else 0


def air_movers(rooms: int, wet_floor: float, wet_upper: float = 0) -> Movers:
    """Return how many air movers to begin with; a rule of thumb.

    Args:
        rooms: that were wetted, 1 to 100.
        wet_floor: m2, up to 10,000.
        wet_upper: wet wall and ceiling more than 2 ft above the floor, m2, up to 10,000.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("rooms", rooms, 1, 100, "rooms")
    within("wet-floor", wet_floor, 0, 10_000, "m2")
    within("wet-upper", wet_upper, 0, 10_000, "m2")
    low, high = (
        rooms * round(room) + _more(wet_floor, floor) + _more(wet_upper, upper)
        for room, floor, upper in (
            (ROOM.low, WET_FLOOR.low, WET_UPPER.low),
            (ROOM.high, WET_FLOOR.high, WET_UPPER.high),
        )
    )
    return Movers(low, high)


def ensure_part(wet: float, area: float) -> float:
    """Return a wet floor area, m2, that is no larger than the floor.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: it is larger.
    """
    within("area", area, 1, 10_000, "m2")
    within("wet-floor", wet, 0, 10_000, "m2")
    if wet > area * (1 + _NEARLY):
        told = say("science.wet-over-area", wet=f"{wet:.6g}", area=f"{area:.6g}")
        raise Contradiction(told, "wet-floor", "area")
    return wet


def capacity(machine: Machine, wet: int, space: float) -> float:
    """Return what dehumidifiers of a kind must do together; a rule of thumb.

    Args:
        machine: one of MACHINES.
        wet: the class of water, 1 to 4.
        space: volume of the air, m3, 0.1 to 50,000.

    Returns:
        Water, kg/s, as machines are rated at 80 degF and 60 % humidity; of desiccant machines
        the air that goes through them, m3/s.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: there is no figure for that machine in that class.
    """
    within("space", space, 0.1, 50_000, "m3")
    if wet not in CLASSES:
        raise OutOfRange(say("science.no-class", wet=wet), "class")
    if machine == "desiccant":
        return space * CHANGES[wet].high
    if wet not in DIVISORS[machine]:
        told = say("science.no-divisor", machine=machine, wet=wet)
        raise Contradiction(told, "machine", "class")
    return space / DIVISORS[machine][wet].high


def machines(needed: float, each: float, unit: str) -> int:
    """Return how many machines do together what is needed.

    Args:
        needed: as `capacity` has it.
        each: what one is rated at, 1e-7 to 1,000.
        unit: of both.

    Raises:
        NotFinite, OutOfRange: a rating is none.
    """
    within("rating", each, 1e-7, 1000, unit)
    return max(1, math.ceil(needed / each - _NEARLY))
