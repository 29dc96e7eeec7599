"""Saturation pressure of water and ice, and the dew or frost point it gives.

Source: ASHRAE Handbook, Fundamentals (2017), chapter 1, equations 5 and 6 (Hyland and Wexler
1983), in the form in which the open PsychroLib 2.5 states them. Against the international
formulation IAPWS they differ by at most 0.03 % from -40 to 60 degC.
"""

from __future__ import annotations

import math

from siltline.science.faults import within

TRIPLE = 0.01  # degC; at and below it saturation is over ice, so the dew point is a frost point
COLDEST, HOTTEST = -60.0, 90.0  # degC; wider than any house, within the source's -100 to 200
_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def _log(c: tuple[float, ...], kelvin: float) -> float:
    powers = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
    return c[0] / kelvin + powers + c[6] * math.log(kelvin)


def _slope(c: tuple[float, ...], kelvin: float) -> float:
    powers = c[2] + kelvin * (2 * c[3] + kelvin * (3 * c[4] + kelvin * 4 * c[5]))
    return -c[0] / (kelvin * kelvin) + powers + c[6] / kelvin


def saturated(temp: float) -> float:
    """Return the saturation pressure, Pa, at a temperature already known to be in range, degC."""
    return math.exp(_log(_ICE if temp <= TRIPLE else _WATER, temp + 273.15))


def saturation_pressure(temp: float) -> float:
    """Return the pressure of water vapour over water, or over ice at 0.01 degC and below.

    Args:
        temp: degC, from -60 to 90.

    Returns:
        Pa.

    Raises:
        NotFinite, OutOfRange: the temperature is none.
    """
    return saturated(within("temperature", temp, COLDEST, HOTTEST, "C"))


_AT_TRIPLE = saturated(TRIPLE)


def dew_point(vapour: float) -> float:
    """Return the temperature at which air of that vapour pressure is saturated.

    Newton's method on the logarithm of pressure from Magnus' formula; to 1e-9 K.

    Args:
        vapour: pressure of the water vapour, Pa, from 0.01 to 70,000.

    Returns:
        degC; the frost point where it is at most 0.01.

    Raises:
        NotFinite, OutOfRange: the pressure is none.
    """
    wanted = math.log(within("vapour", vapour, 0.01, 70_000, "Pa"))
    cold = vapour <= _AT_TRIPLE
    c, b, zero = (_ICE, 272.62, 22.46) if cold else (_WATER, 243.12, 17.62)
    magnus = math.log(vapour / 611.2)
    temp = b * magnus / (zero - magnus)
    for _ in range(20):
        kelvin = temp + 273.15
        step = (_log(c, kelvin) - wanted) / _slope(c, kelvin)
        temp -= step
        if abs(step) < 1e-9:  # noqa: PLR2004 - K, the precision above
            break
    return min(temp, TRIPLE) if cold else max(temp, TRIPLE)
