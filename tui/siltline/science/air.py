"""A state of moist air: what a thermometer and one more reading tell about the water in it.

Source: ASHRAE Handbook, Fundamentals (2017), chapter 1, perfect-gas relations. Against the real
gas of ASHRAE RP-1485 (CoolProp) the dew point differs by at most 0.02 K and the humidity ratio by
0.6 % in houses; a meter's tolerance is some thirty times that (`doubt.py`). Ours rather than a
library's: the usual one answers some impossible inputs with plausible numbers, and switches to
a compiler of its own when that is installed; both are held against ours in `tests/science`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from siltline.science.faults import Contradiction, OutOfRange, within
from siltline.science.water import dew_point, saturated
from siltline.sentences import say

SEA_LEVEL = 101_325.0  # Pa
LOWEST_PRESSURE, HIGHEST_PRESSURE = 50_000.0, 110_000.0  # 5,500 m up, and below the Dead Sea
COLDEST, HOTTEST = -40.0, 70.0  # degC
DRIEST = 0.01  # relative humidity; drier air is not met, and 0.6 is a fraction meant as 60 %
LOWEST, HIGHEST = -430.0, 5000.0  # m, where people live
_EPSILON = 0.621945  # mass of a mole of water over that of dry air
_GAS = 287.042  # J/(kg K), dry air
_FOLLOWS = 0.0005  # degC: how near a wet bulb is found


class Air(NamedTuple):
    """Moist air.

    Attributes:
        temp: degC.
        rh: relative humidity, 0.01..1.
        pressure: of the whole air, Pa.
        vapour: pressure of the water vapour in it, Pa.
        saturation: what that could be at most at this temperature, Pa.
        ratio: humidity ratio, kg of water in 1 kg of dry air.
        dew: dew point, degC; frost point at 0.01 and below.
        wet_bulb: degC; of an iced wick below 0.
        enthalpy: J/kg of dry air, from dry air and water at 0 degC.
        volume: m3 of moist air that hold 1 kg of dry air.
    """

    temp: float
    rh: float
    pressure: float
    vapour: float
    saturation: float
    ratio: float
    dew: float
    wet_bulb: float
    enthalpy: float
    volume: float


def standard_pressure(altitude: float) -> float:
    """Return the usual pressure at an altitude (equation 3 of the source; weather does +-3 %).

    Args:
        altitude: m above sea level, -430 to 5,000.

    Returns:
        Pa.

    Raises:
        NotFinite, OutOfRange: the altitude is none where people live.
    """
    within("altitude", altitude, LOWEST, HIGHEST, "m")
    return SEA_LEVEL * float((1 - 2.25577e-5 * altitude) ** 5.2559)


def pressure_of(pressure: float) -> float:
    """Return a pressure of the air in Pa, refusing one that was likely meant in another unit.

    Raises:
        NotFinite, OutOfRange: outside 50,000 to 110,000 Pa.
    """
    if LOWEST_PRESSURE <= pressure * 1000 <= HIGHEST_PRESSURE:
        raise OutOfRange(say("science.meant-kpa", value=f"{pressure:g}"), "pressure")
    if LOWEST_PRESSURE <= pressure / 1000 <= HIGHEST_PRESSURE:
        raise OutOfRange(say("science.meant-pa", value=f"{pressure / 1000:g}"), "pressure")
    return within("pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa")


def humidity_of(rh: float) -> float:
    """Return a relative humidity 0..1, refusing one that was likely meant in percent.

    Raises:
        NotFinite, OutOfRange: outside 0.01 to 1.
    """
    if 1 < rh <= 100:  # noqa: PLR2004
        raise OutOfRange(say("science.meant-fraction", value=f"{rh:g}"), "humidity")
    return within("humidity", rh, DRIEST, 1.0, "as a fraction")


def _saturated_ratio(temp: float, pressure: float) -> float:
    over = saturated(temp)
    return _EPSILON * over / (pressure - over)


def _ratio_at(temp: float, wet_bulb: float, pressure: float) -> float:
    """Return the humidity ratio that a wet bulb tells (equations 33 and 35)."""
    most = _saturated_ratio(wet_bulb, pressure)
    apart = 1.006 * (temp - wet_bulb)
    if wet_bulb >= 0:
        heat = (2501 - 2.326 * wet_bulb) * most - apart
        return heat / (2501 + 1.86 * temp - 4.186 * wet_bulb)
    return ((2830 - 0.24 * wet_bulb) * most - apart) / (2830 + 1.86 * temp - 2.1 * wet_bulb)


def _root(of: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function is 0 between two places, by the Illinois method."""
    f_low, f_high = of(low), of(high)
    if f_low >= 0:
        return low
    if f_high <= 0:
        return high
    while high - low > _FOLLOWS:
        mid = high - f_high * (high - low) / (f_high - f_low)
        f_mid = of(mid)
        if abs(f_mid) < 1e-7:  # noqa: PLR2004 - kg/kg, 0.0003 K of a wet bulb
            return mid
        if f_mid < 0:
            low, f_low, f_high = mid, f_mid, f_high / 2
        else:
            high, f_high, f_low = mid, f_mid, f_low / 2
    return (low + high) / 2


def _wet_bulb(temp: float, ratio: float, dew: float, pressure: float) -> float:
    """Return the wet bulb; where both a wet and an iced wick could show it, the wet one's."""

    def over(wet_bulb: float) -> float:
        return _ratio_at(temp, wet_bulb, pressure) - ratio

    if temp >= 0 and over(0.0) <= 0:
        return _root(over, max(dew, 0.0), temp)
    return _root(over, min(dew, -1e-9), min(temp, -1e-9))


def _air(temp: float, rh: float, pressure: float) -> Air:
    over = saturated(temp)
    vapour = rh * over
    ratio = _EPSILON * vapour / (pressure - vapour)
    dew = min(dew_point(vapour), temp)
    return Air(
        temp=temp,
        rh=rh,
        pressure=pressure,
        vapour=vapour,
        saturation=over,
        ratio=ratio,
        dew=dew,
        wet_bulb=_wet_bulb(temp, ratio, dew, pressure),
        enthalpy=1000 * (1.006 * temp + ratio * (2501 + 1.86 * temp)),
        volume=_GAS * (temp + 273.15) * (1 + 1.607858 * ratio) / pressure,
    )


def from_humidity(temp: float, rh: float, pressure: float = SEA_LEVEL) -> Air:
    """Return the air of a temperature and a relative humidity.

    Args:
        temp: degC, -40 to 70.
        rh: 0.01 to 1.
        pressure: Pa, 50,000 to 110,000.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("temperature", temp, COLDEST, HOTTEST, "C")
    return _air(temp, humidity_of(rh), pressure_of(pressure))


def from_dew_point(temp: float, dew: float, pressure: float = SEA_LEVEL) -> Air:
    """Return the air of a temperature and a dew (or frost) point, degC.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: the dew point is above the temperature, or so low that no air has it.
    """
    within("temperature", temp, COLDEST, HOTTEST, "C")
    within("dew-point", dew, -60, HOTTEST, "C")
    if dew > temp:
        told = say("science.dew-above", dew=f"{dew:g}", temp=f"{temp:g}")
        raise Contradiction(told, "dew-point", "temperature")
    rh = saturated(dew) / saturated(temp)
    if rh < DRIEST:
        raise Contradiction(say("science.too-dry", temp=f"{temp:g}"), "dew-point", "temperature")
    return _air(temp, min(rh, 1.0), pressure_of(pressure))


def from_wet_bulb(temp: float, wet_bulb: float, pressure: float = SEA_LEVEL) -> Air:
    """Return the air of a temperature and a wet-bulb temperature, degC.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: the wet bulb is above the temperature, or lower than dry air makes it.
    """
    within("temperature", temp, COLDEST, HOTTEST, "C")
    within("wet-bulb", wet_bulb, COLDEST, HOTTEST, "C")
    pressure_of(pressure)
    if wet_bulb > temp:
        told = say("science.wet-bulb-above", wet=f"{wet_bulb:g}", temp=f"{temp:g}")
        raise Contradiction(told, "wet-bulb", "temperature")
    ratio = _ratio_at(temp, wet_bulb, pressure)
    rh = ratio * pressure / (_EPSILON + ratio) / saturated(temp) if ratio > 0 else 0.0
    if rh < DRIEST:
        told = say("science.wet-bulb-low", wet=f"{wet_bulb:g}", temp=f"{temp:g}")
        raise Contradiction(told, "wet-bulb", "temperature")
    return _air(temp, min(rh, 1.0), pressure)


def humidity_at(ratio: float, temp: float, pressure: float) -> float:
    """Return the relative humidity that air of a humidity ratio (kg/kg) would have at degC, Pa.

    Above 1 it would not stay air: water would form on what is that cold.
    """
    within("temperature", temp, COLDEST, HOTTEST, "C")
    return ratio * pressure_of(pressure) / (_EPSILON + ratio) / saturated(temp)


def ratio_at(temp: float, rh: float, pressure: float) -> float:
    """Return the humidity ratio, kg/kg, of air of degC, 0..1 and Pa."""
    return from_humidity(temp, rh, pressure).ratio
