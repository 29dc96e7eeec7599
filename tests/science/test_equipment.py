"""Machines to begin a drying with: the trade's sums, all from memory, and their laws.

No published value was found to hold these against: pints a day = ft3 / factor, air movers 1 a room,
1 for 50 to 70 ft2 of wet floor, 1 for 100 to 150 ft2 of wet wall above 2 ft (all from memory).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.science import equipment
from siltline.science.equipment import Machine, air_movers, capacity, machines
from siltline.science.faults import BadInput, Contradiction, NotFinite, OutOfRange

FT2, FT3, PINT, CFM = 0.09290304, 0.028316846592, 0.473176473 / 86_400, 4.719474432e-4
AREAS = st.floats(0, 10_000)


@pytest.mark.parametrize(
    ("machine", "pints"),
    [
        ("conventional", {1: 100, 2: 250, 3: 1000 / 3}),
        ("low-grain", {1: 100, 2: 200, 3: 250, 4: 250}),
    ],
)
def test_pints_a_day_for_ten_thousand_cubic_feet(machine: Machine, pints: dict[int, float]) -> None:
    for wet, wanted in pints.items():  # from memory
        assert capacity(machine, wet, 10_000 * FT3) / PINT == pytest.approx(wanted)


@pytest.mark.parametrize(("wet", "cfm"), [(1, 100), (2, 200), (3, 300), (4, 200)])
def test_desiccant_airflow_for_six_thousand_cubic_feet(wet: int, cfm: float) -> None:
    assert capacity("desiccant", wet, 6000 * FT3) / CFM == pytest.approx(cfm)  # from memory


@pytest.mark.parametrize(
    ("rooms", "floor", "upper", "low", "high"),
    [
        (1, 350, 0, 6, 8),  # 1 + 350/70; 1 + 350/50: whole numbers stay whole through metres
        (2, 100, 150, 5, 6),  # 2 + 2 + 1; 2 + 2 + 2
        (1, 0, 0, 1, 1),
        (3, 1, 1, 5, 5),  # a little wet floor wants one too
    ],
)
def test_air_movers(rooms: int, floor: float, upper: float, low: int, high: int) -> None:
    found = air_movers(rooms, floor * FT2, upper * FT2)
    assert (found.low, found.high) == (low, high)


@given(st.integers(1, 100), AREAS, AREAS, AREAS)
def test_more_that_is_wet_never_wants_fewer(
    rooms: int, floor: float, more: float, up: float
) -> None:
    less, larger = sorted((floor, more))
    one, other = air_movers(rooms, less, up), air_movers(rooms, larger, up)
    assert one.low <= other.low
    assert one.high <= other.high
    assert one.low <= one.high


@given(st.floats(0.01, 500), st.floats(0.01, 500))
def test_the_machines_together_do_what_is_needed(needed: float, each: float) -> None:
    count = machines(needed, each, "kg/s")
    assert count * each >= needed * (1 - 1e-6)
    assert count == 1 or (count - 1) * each < needed


def test_no_factor_claims_a_source() -> None:
    tables = (equipment.CHANGES, *equipment.DIVISORS.values())
    factors = [equipment.ROOM, equipment.WET_FLOOR, equipment.WET_UPPER]
    factors += [one for table in tables for one in table.values()]
    assert {one.mark for one in factors} == {"memory"}
    assert all(one.low > 0 for one in factors)


@pytest.mark.parametrize(
    ("act", "kind", "told"),
    [
        (lambda: air_movers(0, 10), OutOfRange, "the number of wet rooms cannot be 0"),
        (lambda: air_movers(1, math.nan), NotFinite, "the wet floor is nan"),
        (lambda: air_movers(1, 10, math.inf), NotFinite, "the wet wall and ceiling .* is inf"),
        (lambda: air_movers(1, -1), OutOfRange, "the wet floor cannot be -1 m2"),
        (lambda: capacity("low-grain", 2, math.nan), NotFinite, "the volume of the air is nan"),
        (lambda: capacity("low-grain", 0, 100), OutOfRange, "there is no class 0"),
        (lambda: capacity("desiccant", 5, 100), OutOfRange, "there is no class 5"),
        (lambda: capacity("conventional", 4, 100), Contradiction, "no figure for a conventional"),
        (lambda: machines(1, 0, "kg/s"), OutOfRange, "the rating of a machine cannot be 0 kg/s"),
        (lambda: machines(1, math.inf, "kg/s"), NotFinite, "the rating of a machine is inf"),
        (lambda: equipment.ensure_part(20, 10), Contradiction, "is larger than the floor"),
        (lambda: equipment.ensure_part(2, math.nan), NotFinite, "the floor area is nan"),
    ],
)
def test_it_is_refused_by_name(act: object, kind: type[BadInput], told: str) -> None:
    with pytest.raises(kind, match=told):
        act()  # type: ignore[operator]
