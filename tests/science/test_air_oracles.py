"""Moist air on a grid against libraries that are not ours; the largest differences are printed.

CoolProp knows humid air as a real gas (ASHRAE RP-1485); thermofeel has other formulas for
saturation (Hardy 1998, on ITS-90) and the dew point (Alduchov and Eskridge 1996). PsychroLib has
the same equations as ours in other hands: it is asked where somebody has installed it (it comes
as source only, so it is not in the lock).
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
import thermofeel
from CoolProp.HumidAirProp import HAPropsSI

from siltline.science.air import Air, from_humidity
from siltline.science.water import saturation_pressure

TEMPS, HUMIDITIES = range(-20, 51), range(5, 101, 5)
PRESSURES = (101_325.0, 85_000.0, 70_000.0)


def grid() -> Iterator[Air]:
    for pressure in PRESSURES:
        for temp in TEMPS:
            for percent in HUMIDITIES:
                yield from_humidity(float(temp), percent / 100, pressure)


def _real(name: str, air: Air) -> float:
    return HAPropsSI(name, "T", air.temp + 273.15, "R", air.rh, "P", air.pressure)


def test_against_humid_air_as_a_real_gas(report: Callable[[str], None]) -> None:
    worst = dict.fromkeys(("dew K", "W %", "vapour %", "volume %", "enthalpy kJ/kg"), 0.0)
    wet = {"wet bulb K, none near the ice point": 0.0, "wet bulb K": 0.0}
    for air in grid():
        there = _real("W", air)
        off = {
            "dew K": abs(_real("D", air) - 273.15 - air.dew),
            "W %": 100 * abs(air.ratio / there - 1),
            "vapour %": 100 * abs(air.vapour / _real("P_w", air) - 1),
            "volume %": 100 * abs(air.volume / _real("V", air) - 1),
            "enthalpy kJ/kg": abs(air.enthalpy - _real("H", air)) / 1000,
        }
        worst = {name: max(worst[name], off[name]) for name in worst}
        bulb = _real("B", air) - 273.15
        apart = abs(bulb - air.wet_bulb)
        wet["wet bulb K"] = max(wet["wet bulb K"], apart)
        if abs(bulb) > 1:
            name = "wet bulb K, none near the ice point"
            wet[name] = max(wet[name], apart)
    told = ", ".join(f"{name} {value:.3f}" for name, value in (worst | wet).items())
    report(f"4,260 states against CoolProp, largest differences: {told}")
    assert worst["dew K"] < 0.03
    assert worst["W %"] < 0.7  # the enhancement factor, which perfect gases do not have
    assert worst["vapour %"] < 0.6
    assert worst["volume %"] < 0.1
    assert worst["enthalpy kJ/kg"] < 1.7
    assert wet["wet bulb K, none near the ice point"] < 0.05
    assert wet["wet bulb K"] < 0.75  # ice or water on the wick: both can be true within a degree


def test_against_other_formulas_for_saturation(report: Callable[[str], None]) -> None:
    warm = np.arange(0.5, 60, 0.5)
    hardy = 100 * thermofeel.calculate_saturation_vapour_pressure(warm + 273.15)
    ours = np.array([saturation_pressure(float(temp)) for temp in warm])
    saturation = float(np.abs(ours / hardy - 1).max())
    dew = 0.0
    for temp in range(1, 51):
        for percent in HUMIDITIES:
            air = from_humidity(float(temp), percent / 100)
            if air.dew <= 0.5:
                continue  # theirs is over water also where ice forms
            found = thermofeel.calculate_dew_point_from_relative_humidity(
                np.array([float(percent)]), np.array([temp + 273.15])
            )
            dew = max(dew, abs(float(found[0]) - 273.15 - air.dew))
    report(
        f"against thermofeel: saturation {100 * saturation:.4f} % (Hardy), dew point {dew:.3f} K "
        "(Alduchov and Eskridge, whose own fit is good to 0.4 % of pressure)",
    )
    assert saturation < 3e-4
    assert dew < 0.08


def test_against_the_same_equations_in_other_hands(report: Callable[[str], None]) -> None:
    try:
        library: Any = importlib.import_module("psychrolib")
    except ImportError:
        pytest.skip("psychrolib is not installed (source only, so not in the lock)")
    library.SetUnitSystem(library.SI)
    worst = dict.fromkeys(("vapour Pa", "dew K", "W g/kg", "wet bulb K", "enthalpy J/kg"), 0.0)
    for air in grid():
        ratio, bulb, dew, vapour, enthalpy, *_ = library.CalcPsychrometricsFromRelHum(
            air.temp, air.rh, air.pressure
        )
        off = {
            "vapour Pa": abs(vapour - air.vapour),
            "dew K": abs(dew - air.dew),
            "W g/kg": 1000 * abs(ratio - air.ratio),
            "wet bulb K": abs(bulb - air.wet_bulb) if abs(bulb) > 1 else 0.0,
            "enthalpy J/kg": abs(enthalpy - air.enthalpy),
        }
        worst = {name: max(worst[name], off[name]) for name in worst}
    report(f"against PsychroLib: {worst}")
    assert worst["vapour Pa"] < 1e-9
    assert worst["dew K"] < 0.002
    assert worst["W g/kg"] < 1e-9
    assert worst["wet bulb K"] < 0.002
    assert worst["enthalpy J/kg"] < 1e-6
