"""Moist air against published values, each with its source."""

from __future__ import annotations

import pytest

from siltline.science.air import (
    SEA_LEVEL,
    from_dew_point,
    from_humidity,
    from_wet_bulb,
    humidity_at,
    standard_pressure,
)
from siltline.science.doubt import Tolerance, doubt
from siltline.science.water import saturation_pressure

PSI, FT, BTU_LB = 6894.757, 0.3048, 2326.0  # NIST SP 811, appendix B.8


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


# ASHRAE Handbook, Fundamentals (2017), chapter 1, table 3, as held in PsychroLib's own tests
# (tests/test_psychrolib_ip.py and _si.py), with the tolerance they give: 0.03 %.
@pytest.mark.parametrize(
    ("temp", "pascals"),
    [
        (celsius(23), 0.058268 * PSI),
        (celsius(41), 0.12656 * PSI),
        (celsius(77), 0.45973 * PSI),
        (celsius(122), 1.79140 * PSI),
        (-5, 401.74),
        (5, 872.6),
        (25, 3169.7),
    ],
)
def test_saturation_pressure(temp: float, pascals: float) -> None:
    assert saturation_pressure(temp) == pytest.approx(pascals, rel=3e-4)


# The same handbook, table 2, same place, with their tolerance: 0.5 %, 1 % at 122 degF.
@pytest.mark.parametrize(
    ("fahrenheit", "ratio", "within"),
    [(23, 0.0024863, 0.005), (41, 0.005425, 0.005), (77, 0.020173, 0.005), (122, 0.086863, 0.01)],
)
def test_humidity_ratio_at_saturation(fahrenheit: float, ratio: float, within: float) -> None:
    assert from_humidity(celsius(fahrenheit), 1).ratio == pytest.approx(ratio, rel=within)


# The same handbook, table 1 (standard atmosphere), same place.
@pytest.mark.parametrize(
    ("metres", "pascals", "within"),
    [
        (0, 101_325, 1e-9),
        (500, 95_461, 2e-5),
        (1000 * FT, 14.175 * PSI, 2e-4),
        (3000 * FT, 13.173 * PSI, 2e-4),
    ],
)
def test_pressure_at_an_altitude(metres: float, pascals: float, within: float) -> None:
    assert standard_pressure(metres) == pytest.approx(pascals, rel=within)


def test_example_1_of_the_handbook() -> None:
    # ASHRAE 2017 chapter 1, example 1, as held in PsychroLib's tests: 100 degF, 65 degF wet bulb,
    # 14.696 psia -> W 0.00523, h 29.80 Btu/lb, v 14.22 ft3/lb, RH 13 %, dew point 40 degF (+-1)
    air = from_wet_bulb(celsius(100), celsius(65), 14.696 * PSI)
    assert air.ratio == pytest.approx(0.00523, abs=5e-5)
    # enthalpy counts from 0 degF there and from 0 degC here: 7.687 Btu/lb apart for dry air, and
    # 2501 kJ/kg against 1061 Btu/lb at 0 degF for the water in it
    there = (0.240 * 100 + air.ratio * (1061 + 0.444 * 100)) * BTU_LB
    assert there == pytest.approx(29.80 * BTU_LB, rel=0.003)
    assert air.volume == pytest.approx(14.22 * FT**3 / 0.45359237, rel=1e-3)
    assert air.rh == pytest.approx(0.13, abs=0.005)
    assert air.dew == pytest.approx(celsius(40), abs=0.6)


# The same handbook as held in PsychroLib's SI tests: h of 30 degC and W = 0.02 is 81.316 kJ/kg.
def test_enthalpy() -> None:
    air = from_humidity(30, 0.02 * SEA_LEVEL / 0.641945 / saturation_pressure(30))
    assert air.ratio == pytest.approx(0.02, rel=2e-5)
    assert air.enthalpy == pytest.approx(81_316, rel=5e-5)


# CoolProp 8.0 (ASHRAE RP-1485): saturated air of 25 degC has 76.5045 kJ/kg; perfect gas 0.4 % less.
def test_enthalpy_of_saturated_air() -> None:
    assert from_humidity(25, 1).enthalpy == pytest.approx(76_504.5, rel=5e-3)


# grains to the pound, computed elsewhere from the same saturation equation at sea level
@pytest.mark.parametrize(
    ("fahrenheit", "rh", "grains", "dew"),
    [
        (60, 0.50, 38.3, 41.3), (70, 0.40, 43.5, 44.6), (70, 0.50, 54.5, 50.5),
        (75, 0.50, 64.6, 55.1), (80, 0.60, 92.1, 64.9), (90, 0.70, 149.9, 78.9),
    ],
)  # fmt: skip
def test_grains_and_dew_points_in_the_trades_units(
    fahrenheit: float, rh: float, grains: float, dew: float
) -> None:
    air = from_humidity(celsius(fahrenheit), rh)
    assert 7000 * air.ratio == pytest.approx(grains, abs=0.1)
    assert air.dew * 1.8 + 32 == pytest.approx(dew, abs=0.1)


# What +-2 points and +-0.5 K do, root of the sum of squares: computed with PsychroLib 2.5.
@pytest.mark.parametrize(
    ("temp", "rh", "dew", "dew_doubt", "grams", "grams_doubt"),
    [
        (25, 0.6, 16.70, 0.70, 11.90, 0.54),
        (10, 0.8, 6.71, 0.61, 6.09, 0.26),
        (30, 0.7, 23.93, 0.67, 18.80, 0.78),
        (20, 0.4, 6.00, 0.85, 5.80, 0.34),
    ],
)
def test_the_doubt_of_a_meter(
    temp: float, rh: float, dew: float, dew_doubt: float, grams: float, grams_doubt: float
) -> None:
    air = from_humidity(temp, rh)
    off = doubt(from_humidity, temp, rh, SEA_LEVEL, Tolerance(0.5, 0.02))
    assert (air.dew, off.dew) == pytest.approx((dew, dew_doubt), abs=0.006)
    assert (1000 * air.ratio, 1000 * off.ratio) == pytest.approx((grams, grams_doubt), abs=0.006)


# Air of 20 degC, 60 % in g/kg by altitude: computed with PsychroLib 2.5.
@pytest.mark.parametrize(
    ("metres", "grams"), [(0, 8.734), (500, 9.279), (1000, 9.865), (1500, 10.496)]
)
def test_the_same_air_higher_up_holds_more_water_to_the_kilogram(
    metres: float, grams: float
) -> None:
    air = from_humidity(20, 0.6, standard_pressure(metres))
    assert 1000 * air.ratio == pytest.approx(grams, abs=0.001)


def test_summer_air_that_cools_to_the_crawl_space_would_be_past_saturation() -> None:
    summer = from_humidity(31, 0.65)
    assert humidity_at(summer.ratio, 22, SEA_LEVEL) == pytest.approx(1.10, abs=0.005)


def test_below_freezing_the_dew_point_is_a_frost_point() -> None:
    frost = from_humidity(0, 0.05).dew
    assert saturation_pressure(frost) == pytest.approx(0.05 * saturation_pressure(0), rel=1e-9)
    # over water it would be 3.2 K lower (MetPy 1.7 takes water): -35.2 degC
    assert frost == pytest.approx(-32.0, abs=0.3)


def test_a_tolerance_at_the_end_of_the_scale_still_gives_a_doubt() -> None:
    wet = doubt(from_humidity, 20, 1.0, SEA_LEVEL, Tolerance())
    assert wet.dew == pytest.approx(0.6, abs=0.1)
    sure = doubt(from_humidity, 20, 0.5, SEA_LEVEL, Tolerance(0, 0))
    assert (sure.dew, sure.ratio, sure.wet_bulb) == (0, 0, 0)
    of_dew = doubt(from_dew_point, 20, 20, SEA_LEVEL, Tolerance())
    assert of_dew.rh == pytest.approx(0.044, abs=0.01)  # a dew point of 20+-0.5 and 20+-0.5 degC
