"""Laws that every state of moist air obeys."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.errors import WrongUse
from siltline.science.air import (
    SEA_LEVEL,
    from_dew_point,
    from_humidity,
    from_wet_bulb,
    humidity_at,
    standard_pressure,
)
from siltline.science.doubt import Tolerance, doubt
from siltline.science.outside import compare, removal
from siltline.science.water import dew_point, saturation_pressure

TEMPS = st.floats(-40, 60)
HUMIDITIES = st.floats(0.01, 1)
PRESSURES = st.floats(60_000, 108_000)


@given(TEMPS, HUMIDITIES, PRESSURES)
def test_dew_point_is_never_above_wet_bulb_nor_that_above_the_temperature(
    temp: float, rh: float, pressure: float
) -> None:
    air = from_humidity(temp, rh, pressure)
    assert air.dew <= temp
    assert air.wet_bulb <= temp + 1e-9
    # between ice and water the wick has a choice of some tenths of a degree
    assert air.dew <= air.wet_bulb + 0.005


@given(TEMPS, HUMIDITIES, PRESSURES)
def test_a_dew_point_leads_back_to_its_humidity(temp: float, rh: float, pressure: float) -> None:
    air = from_humidity(temp, rh, pressure)
    if rh >= 0.011 and air.dew > -60:
        assert from_dew_point(temp, air.dew, pressure).rh == pytest.approx(rh, rel=1e-6)


@given(st.floats(-20, 60), st.floats(0.05, 1), PRESSURES)
def test_a_wet_bulb_leads_back_to_its_humidity(temp: float, rh: float, pressure: float) -> None:
    air = from_humidity(temp, rh, pressure)
    found = from_wet_bulb(temp, air.wet_bulb, pressure)
    assert found.ratio == pytest.approx(air.ratio, abs=2e-6)


@given(st.floats(-59, 89))
def test_a_dew_point_is_where_the_vapour_is_saturated(temp: float) -> None:
    assert dew_point(saturation_pressure(temp)) == pytest.approx(temp, abs=2e-3)


@given(st.floats(-59, 88), st.floats(0.001, 1))
def test_warmer_water_has_more_vapour(temp: float, more: float) -> None:
    assert saturation_pressure(temp + more) > saturation_pressure(temp)


@given(TEMPS, st.floats(0.01, 0.98), st.floats(0.001, 0.02), PRESSURES)
def test_damper_air_has_more_of_everything(
    temp: float, rh: float, more: float, pressure: float
) -> None:
    dry, damp = from_humidity(temp, rh, pressure), from_humidity(temp, rh + more, pressure)
    for name in ("vapour", "ratio", "enthalpy", "volume"):
        assert getattr(damp, name) > getattr(dry, name)
    assert damp.dew >= dry.dew
    assert damp.wet_bulb >= dry.wet_bulb - 0.002


@given(st.floats(-430, 4900), st.floats(1, 100))
def test_pressure_falls_with_altitude(metres: float, more: float) -> None:
    assert standard_pressure(metres + more) < standard_pressure(metres)


@given(TEMPS, HUMIDITIES)
def test_air_at_its_own_temperature_has_its_own_humidity(temp: float, rh: float) -> None:
    assert humidity_at(from_humidity(temp, rh).ratio, temp, SEA_LEVEL) == pytest.approx(rh)


@given(st.floats(0, 40), st.floats(0.2, 1), st.floats(0, 2), st.floats(0, 0.05))
def test_a_worse_meter_never_gives_less_doubt(
    temp: float, rh: float, worse: float, damper: float
) -> None:
    good = doubt(from_humidity, temp, rh, SEA_LEVEL, Tolerance(0.5, 0.02))
    bad = doubt(from_humidity, temp, rh, SEA_LEVEL, Tolerance(0.5 + worse, 0.02 + damper))
    assert bad.ratio >= good.ratio * 0.999


@given(TEMPS, HUMIDITIES, TEMPS, HUMIDITIES, st.floats(0, 0.001), st.floats(1e-3, 1))
def test_inside_and_outside_change_places_as_the_sign_does(
    t1: float, h1: float, t2: float, h2: float, off: float, flow: float
) -> None:
    one, other = from_humidity(t1, h1), from_humidity(t2, h2)
    there, back = compare(one, other, off, off), compare(other, one, off, off)
    assert there.margin == -back.margin
    turned = {"dries": "wets", "wets": "dries", "too-close": "too-close"}
    assert back.verdict == turned[there.verdict]
    assert (removal(flow, one, there.margin) > 0) == (there.margin > 0)
    assert removal(0, one, there.margin) == 0


@given(st.floats(), st.floats(), st.floats())
def test_any_three_floats_are_air_or_refused_by_name(a: float, b: float, c: float) -> None:
    for make in (from_humidity, from_dew_point, from_wet_bulb):
        try:
            air = make(a, b, c)
        except WrongUse:
            continue
        assert air.dew <= air.temp
        assert 0 < air.ratio < 1


@given(st.floats(-39, 69), st.floats(0.011, 1), st.sampled_from(["humidity", "dew", "wet"]))
def test_air_that_can_be_has_a_doubt_also_at_the_edge_of_what_can_be(
    temp: float, rh: float, by: str
) -> None:
    air = from_humidity(temp, rh)
    makers = {
        "humidity": (from_humidity, rh),
        "dew": (from_dew_point, air.dew),
        "wet": (from_wet_bulb, air.wet_bulb),
    }
    make, second = makers[by]
    try:
        make(temp, second, SEA_LEVEL)
    except WrongUse:
        return  # below what a wick or a frost point can be read to
    off = doubt(make, temp, second, SEA_LEVEL, Tolerance())
    assert off.ratio > 0
