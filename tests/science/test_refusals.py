"""A state of air that cannot be is refused by an error named for what is wrong."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from siltline.errors import WrongUse
from siltline.science.air import (
    SEA_LEVEL,
    from_dew_point,
    from_humidity,
    from_wet_bulb,
    humidity_at,
    standard_pressure,
)
from siltline.science.doubt import Tolerance
from siltline.science.faults import BadInput, Contradiction, NotFinite, OutOfRange
from siltline.science.water import dew_point, saturation_pressure

# PsychroLib 2.5 answers several of these with a number (ran): a pressure in kPa or none gives
# W = 1e-7, a NaN gives nan, and an impossible wet bulb 1e-7; hence the list.
REFUSED: list[tuple[Callable[[], object], type[BadInput], str]] = [
    (lambda: from_humidity(math.nan, 0.5), NotFinite, "the temperature is nan"),
    (lambda: from_humidity(math.inf, 0.5), NotFinite, "the temperature is inf"),
    (lambda: from_humidity(20, math.nan), NotFinite, "the relative humidity is nan"),
    (lambda: from_humidity(20, 0.5, math.nan), NotFinite, "the air pressure is nan"),
    (lambda: from_humidity(20, 60), OutOfRange, "60 percent was likely meant"),
    (lambda: from_humidity(20, 1.2), OutOfRange, "relative humidity is a fraction"),
    (lambda: from_humidity(20, 0), OutOfRange, "the relative humidity cannot be 0"),
    (lambda: from_humidity(20, -0.1), OutOfRange, "the relative humidity cannot be -0.1"),
    (lambda: from_humidity(250, 0.5), OutOfRange, "the temperature cannot be 250 C"),
    (lambda: from_humidity(293.15, 0.5), OutOfRange, "the temperature cannot be 293.15 C"),
    (lambda: from_humidity(20, 0.5, 101.325), OutOfRange, "kilopascals were likely meant"),
    (lambda: from_humidity(20, 0.5, 101_325_000), OutOfRange, "pascals were likely meant"),
    (lambda: from_humidity(20, 0.5, 0), OutOfRange, "the air pressure cannot be 0 Pa"),
    (lambda: from_humidity(20, 0.5, -5), OutOfRange, "the air pressure cannot be -5 Pa"),
    (lambda: from_dew_point(10, 18), Contradiction, "above the temperature, .* swapped"),
    (lambda: from_dew_point(60, -50), Contradiction, "less than 1 % humidity"),
    (lambda: from_dew_point(20, math.nan), NotFinite, "the dew point is nan"),
    (lambda: from_wet_bulb(10, 18), Contradiction, "above the temperature, .* swapped"),
    (lambda: from_wet_bulb(40, 5), Contradiction, "no air of 40 C, however dry"),
    (lambda: from_wet_bulb(20, -math.inf), NotFinite, "the wet bulb is -inf"),
    (lambda: standard_pressure(50_000), OutOfRange, "the altitude cannot be 50000 m"),
    (lambda: standard_pressure(math.nan), NotFinite, "the altitude is nan"),
    (lambda: saturation_pressure(120), OutOfRange, "the temperature cannot be 120 C"),
    (lambda: dew_point(0), OutOfRange, "the vapour pressure cannot be 0 Pa"),
    (lambda: dew_point(math.nan), NotFinite, "the vapour pressure is nan"),
    (lambda: Tolerance(-1), OutOfRange, "tolerance of the thermometer cannot be -1 K"),
    (lambda: Tolerance(0.5, 2), OutOfRange, "tolerance of the humidity reading cannot be 2"),
    (lambda: humidity_at(0.01, 500, SEA_LEVEL), OutOfRange, "the temperature cannot be 500"),
]


@pytest.mark.parametrize("number", range(len(REFUSED)))
def test_it_is_refused_by_name_in_one_sentence(number: int) -> None:
    act, kind, told = REFUSED[number]
    with pytest.raises(kind, match=told) as caught:
        act()
    assert isinstance(caught.value, WrongUse)  # so that a command exits with 2
    assert "\n" not in str(caught.value)
