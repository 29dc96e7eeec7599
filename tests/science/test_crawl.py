"""Outside air and a crawl space against worked figures.

The worked figures were computed with PsychroLib 2.5 from mass conservation, apart from this code:
1,200 ft2 by 3 ft, a fan of 300 cfm, sea level.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.science import crawl
from siltline.science.air import SEA_LEVEL, from_humidity
from siltline.science.doubt import Tolerance, doubt
from siltline.science.faults import Contradiction, OutOfRange
from siltline.science.outside import Comparison, compare, removal, wets_surface

FT, CFM, DAY = 0.3048, 4.719474432e-4, 86_400
FLOOR, HEIGHT = 1200 * FT**2, 3 * FT


def compared(inside: tuple[float, float], outside: tuple[float, float]) -> Comparison:
    offs = [doubt(from_humidity, *air, SEA_LEVEL, Tolerance()).ratio for air in (inside, outside)]
    return compare(from_humidity(*inside), from_humidity(*outside), *offs)


@pytest.mark.parametrize(
    ("inside", "outside", "kg", "verdict"),
    [
        ((18, 0.85), (14, 0.60), 73.1, "dries"),
        ((18, 0.85), (15, 0.95), 12.4, "dries"),  # cool rain still dries
        ((10, 0.85), (2, 0.75), 48.4, "dries"),
        ((20, 0.75), (22, 0.66), 0.8, "too-close"),
        ((22, 0.80), (31, 0.65), -74.6, "wets"),  # summer air wets
    ],
)
def test_water_carried_off_in_a_day(
    inside: tuple[float, float], outside: tuple[float, float], kg: float, verdict: str
) -> None:
    found = compared(inside, outside)
    assert found.verdict == verdict
    per_day = DAY * removal(300 * CFM, from_humidity(*inside), found.margin)
    assert per_day == pytest.approx(kg, abs=0.1)


# The trade's short cut, kg/day = 0.0070 x cfm x difference of grains/lb: within 2 % of the whole
def test_the_short_cut_of_the_trade_agrees() -> None:
    found = compared((18, 0.85), (14, 0.60))
    per_day = DAY * removal(300 * CFM, from_humidity(18, 0.85), found.margin)
    assert per_day == pytest.approx(0.0070 * 300 * 7000 * found.margin, rel=0.02)


def test_air_changes_and_volume() -> None:
    space = crawl.volume(FLOOR, HEIGHT)
    assert space == pytest.approx(3600 * FT**3)
    assert crawl.fan_for_changes(5 / 3600, space) == pytest.approx(300 * CFM)


# International Residential Code R408 (seen in summaries): 1/150, 1/1500, 1 cfm for 50 ft2.
@pytest.mark.parametrize(
    ("square_feet", "vents", "covered", "cfm"), [(1200, 8, 0.8, 24), (1500, 10, 1.0, 30)]
)
def test_what_the_model_code_asks(
    square_feet: float, vents: float, covered: float, cfm: float
) -> None:
    asks = crawl.code(square_feet * FT**2)
    assert asks.vents == pytest.approx(vents * FT**2)
    assert asks.vents_covered == pytest.approx(covered * FT**2)
    assert asks.exhaust == pytest.approx(cfm * CFM)


@pytest.mark.parametrize(("source", "cfm"), [(5, 34), (20, 134), (54, 363)])
def test_the_fan_for_a_source(source: float, cfm: float) -> None:
    fan = crawl.fan_for_source(source / DAY, 0.70, 18, from_humidity(14, 0.60), 0.0004)
    assert fan.flow / CFM == pytest.approx(cfm, abs=0.6)
    assert fan.least < fan.flow < fan.most < math.inf
    assert fan.possible


def test_no_fan_will_do_it_where_outside_is_wetter_than_the_goal() -> None:
    fan = crawl.fan_for_source(5 / DAY, 0.70, 18, from_humidity(15, 0.95), 0.0004)
    assert not fan.possible
    assert fan.flow == fan.most == math.inf


def test_days_to_dry_are_a_range_and_may_be_never() -> None:
    inside, found = from_humidity(18, 0.85), compared((18, 0.85), (14, 0.60))
    low, high = crawl.days(200, 300 * CFM, inside, found.margin, found.doubt)
    assert low < 200 / 73.1 < high
    near = compared((20, 0.75), (22, 0.66))
    assert crawl.days(200, 300 * CFM, inside, near.margin, near.doubt)[1] == math.inf


def test_outdoor_air_leaves_water_on_what_is_colder_than_its_dew_point() -> None:
    summer = from_humidity(31, 0.65)  # dew point 23.6 degC
    assert wets_surface(summer, 22)
    assert not wets_surface(summer, 24)


@given(st.floats(1, 100), st.floats(0.3, 0.9), st.floats(0, 0.0005))
def test_more_water_takes_a_larger_fan(kg: float, target: float, off: float) -> None:
    outside = from_humidity(5, 0.5)
    small, large = (
        crawl.fan_for_source(water / DAY, target, 18, outside, off) for water in (kg, kg + 1)
    )
    assert large.flow > small.flow
    assert small.least <= small.flow <= small.most


def test_two_pressures_are_no_comparison() -> None:
    with pytest.raises(Contradiction, match="two airs have different pressures"):
        compare(from_humidity(20, 0.5), from_humidity(20, 0.5, 95_000), 0, 0)


def test_what_is_refused_and_by_what_name() -> None:
    with pytest.raises(OutOfRange, match=r"the floor area cannot be 0\.5 m2"):
        crawl.code(0.5)
    with pytest.raises(OutOfRange, match="the clear height cannot be 30 m"):
        crawl.volume(100, 30)
    with pytest.raises(OutOfRange, match="the airflow cannot be 300 m3/s"):
        removal(300, from_humidity(20, 0.5), 0.001)
    with pytest.raises(OutOfRange, match="the air change cannot be 300 ach"):
        crawl.fan_for_changes(300 / 3600, 100)
    with pytest.raises(OutOfRange, match="70 percent was likely meant"):
        crawl.fan_for_source(1 / DAY, 70, 18, from_humidity(14, 0.6), 0)
    with pytest.raises(OutOfRange, match="the water to carry off cannot be -1 kg"):
        crawl.days(-1, 1, from_humidity(20, 0.5), 0.001, 0)
