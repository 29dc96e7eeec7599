"""Wood and its air against the Wood Handbook's table."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.science.doubt import Tolerance
from siltline.science.faults import Contradiction, NotFinite, OutOfRange
from siltline.science.wood import corrected, emc, emc_doubt, humidity_for, reachable

# Wood Handbook (USDA Forest Products Laboratory), table 4-2, as copied at woodworkerssource.com
# (read): equilibrium moisture content, %, by relative humidity and degF. One cell of that copy is
# left out: 20 % at 110 degF is printed 3.0 there, between 4.2 and 3.9.
FAHRENHEIT = (30, 40, 50, 60, 70, 80, 90, 100, 110, 120, 130)
TABLE = """
 5   1.4  1.4  1.4  1.3  1.3  1.3  1.2  1.2  1.1  1.1  1.0
10   2.6  2.6  2.6  2.5  2.5  2.4  2.3  2.3  2.2  2.1  2.0
15   3.7  3.7  3.6  3.6  3.5  3.5  3.4  3.3  3.2  3.0  2.9
20   4.6  4.6  4.6  4.6  4.5  4.4  4.3  4.2   -   3.9  3.7
25   5.5  5.5  5.5  5.4  5.4  5.3  5.1  5.0  4.9  4.7  4.5
30   6.3  6.3  6.3  6.2  6.2  6.1  5.9  5.8  5.6  5.4  5.2
35   7.1  7.1  7.1  7.0  6.9  6.8  6.7  6.5  6.3  6.1  5.9
40   7.9  7.9  7.9  7.8  7.7  7.6  7.4  7.2  7.0  6.8  6.6
45   8.7  8.7  8.7  8.6  8.5  8.3  8.1  7.9  7.7  7.5  7.2
50   9.5  9.5  9.5  9.4  9.2  9.1  8.9  8.7  8.4  8.2  7.9
55  10.4 10.4 10.3 10.2 10.1  9.9  9.7  9.5  9.2  8.9  8.7
60  11.3 11.3 11.2 11.1 11.0 10.8 10.5 10.3 10.0  9.7  9.4
65  12.4 12.3 12.3 12.1 12.0 11.7 11.5 11.2 11.0 10.6 10.3
70  13.5 13.5 13.4 13.3 13.1 12.9 12.6 12.3 12.0 11.7 11.3
75  14.9 14.9 14.8 14.6 14.4 14.2 13.9 13.6 13.2 12.9 12.5
80  16.5 16.5 16.4 16.2 16.0 15.7 15.4 15.1 14.7 14.4 14.0
85  18.5 18.5 18.4 18.2 17.9 17.7 17.3 17.0 16.6 16.2 15.8
90  21.0 21.0 20.9 20.7 20.5 20.2
"""
CELLS = [
    (fahrenheit, int(line.split()[0]), float(cell))
    for line in TABLE.strip().splitlines()
    for fahrenheit, cell in zip(FAHRENHEIT, line.split()[1:], strict=False)
    if cell != "-"
]


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def test_every_cell_of_the_handbooks_table_within_a_tenth() -> None:
    off = [abs(emc(celsius(temp), percent / 100) - cell) for temp, percent, cell in CELLS]
    assert len(CELLS) == 192
    assert max(off) <= 0.1


# The same equation with the handbook's other constants, for degF (K2's from memory).
def test_the_handbooks_other_form_of_the_equation_agrees() -> None:
    for f in range(30, 131, 5):
        w = 330 + 0.452 * f + 0.00415 * f * f
        k = 0.791 + 0.000463 * f - 0.000000844 * f * f
        k1 = 6.34 + 0.000775 * f - 0.0000935 * f * f
        k2 = 1.09 + 0.0284 * f - 0.0000904 * f * f
        for percent in range(1, 100):
            kh = k * percent / 100
            top, low = k1 * kh + 2 * k1 * k2 * kh * kh, 1 + k1 * kh + k1 * k2 * kh * kh
            there = 1800 / w * (kh / (1 - kh) + top / low)
            assert emc(celsius(f), percent / 100) == pytest.approx(there, abs=0.015)


# A timber column (woodworkingnetwork.com, read): 30, 50, 65, 80 % make 6, 9, 12, 16 %.
@pytest.mark.parametrize(("percent", "rule"), [(30, 6), (50, 9), (65, 12), (80, 16)])
def test_the_rule_of_the_trade(percent: int, rule: int) -> None:
    assert round(emc(20, percent / 100)) == rule


# An anchor beyond the house: 140 degF, 55 % is 8.4 (liquisearch.com, summary).
def test_a_kiln() -> None:
    assert emc(60, 0.55) == pytest.approx(8.4, abs=0.05)


# Computed elsewhere from the same equation: where wood ends at 15, 16, 12, 19 %.
@pytest.mark.parametrize(
    ("temp", "goal", "percent"),
    [
        (5, 15, 75.4), (10, 15, 75.8), (15, 15, 76.2), (20, 15, 76.8), (25, 15, 77.6),
        (30, 15, 78.4), (20, 16, 79.9), (20, 12, 65.0), (20, 19, 87.1),
    ],
)  # fmt: skip
def test_the_humidity_above_which_a_goal_is_never_reached(
    temp: float, goal: float, percent: float
) -> None:
    assert 100 * humidity_for(temp, goal) == pytest.approx(percent, abs=0.1)


def test_a_room_at_82_percent_never_brings_wood_to_15() -> None:
    off = emc_doubt(21, 0.82, Tolerance())
    assert off == pytest.approx(0.8, abs=0.1)
    assert reachable(21, 0.82, 15, off) is False
    assert reachable(21, 0.50, 15, emc_doubt(21, 0.5, Tolerance())) is True
    assert reachable(21, 0.77, 15, emc_doubt(21, 0.77, Tolerance())) is None


@given(st.floats(0, 50), st.floats(4, 26))
def test_humidity_and_moisture_lead_back_to_each_other(temp: float, goal: float) -> None:
    if goal < emc(temp, 1):
        assert emc(temp, humidity_for(temp, goal)) == pytest.approx(goal, abs=1e-4)


@given(st.floats(-1, 55), st.floats(0, 0.98), st.floats(0.001, 0.02))
def test_damper_air_makes_damper_wood(temp: float, rh: float, more: float) -> None:
    assert emc(temp, rh + more) > emc(temp, rh)


@given(st.floats(5, 54), st.floats(0.05, 0.95))
def test_warmer_air_of_one_humidity_makes_drier_wood(temp: float, rh: float) -> None:
    assert emc(temp + 1, rh) < emc(temp, rh)


# Meters' leaflets (read): half a point for each 5 K, added below 20 degC, taken off above.
@pytest.mark.parametrize(
    ("reading", "temp", "right"), [(15, 20, 15), (15, 10, 16), (15, 0, 17), (15, 30, 14)]
)
def test_a_meter_without_temperature_correction(reading: float, temp: float, right: float) -> None:
    assert corrected(reading, temp) == pytest.approx(right)


def test_what_is_refused_and_by_what_name() -> None:
    with pytest.raises(OutOfRange, match="the goal cannot be 2 %"):
        humidity_for(20, 2)
    with pytest.raises(OutOfRange, match=r"a goal of 80 % is none for wood .* humidity given in"):
        humidity_for(20, 80)
    with pytest.raises(Contradiction, match="wood never gets as wet as 29 %"):
        humidity_for(20, 29)
    with pytest.raises(OutOfRange, match="reading of a resistance meter cannot be 40 %"):
        corrected(40, 20)
    with pytest.raises(OutOfRange, match="the temperature cannot be -5 C"):
        emc(-5, 0.5)
    with pytest.raises(OutOfRange, match="the relative humidity cannot be 50"):
        emc(20, 50)
    with pytest.raises(NotFinite, match="the temperature is nan"):
        emc(math.nan, 0.5)
