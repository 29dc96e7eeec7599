"""What a computation is given: texts as people type them, as floats in SI, or refused.

A refusal says what was likely meant.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from siltline.errors import WrongUse
from siltline.sentences import say
from siltline.units import difference, known, quantity

_ZERO = Decimal("273.15")
_NUMBER = re.compile(r"\d*\.?\d+")
_MOST = 3  # digits of a count


def amount(text: str, dimension: str) -> float:
    """Return a quantity in SI, temperatures in degC.

    Raises:
        WrongUse: it is none of this dimension.
    """
    try:
        other = quantity(text).dimension
    except WrongUse:
        other = dimension  # no quantity at all; the sentence of the last line says what to type
    if other != dimension:
        wanted = f"{say(f'dimension.{dimension}')} ({known(dimension)})"
        found = say(f"dimension.{other}")
        raise WrongUse(say("calc.wrong-kind", text=text, found=found, wanted=wanted))
    si = quantity(text, dimension).si
    return float(si - _ZERO if dimension == "temperature" else si)


def humidity(text: str) -> float:
    """Return a relative humidity, 0..1; a fraction without its sign is asked about, not guessed.

    Raises:
        WrongUse: it is none, or a fraction was typed for a percentage.
    """
    bare = text.strip()
    if _NUMBER.fullmatch(bare):
        value = Decimal(bare)
        percent = value * 100 if value <= 1 else value
        raise WrongUse(say("calc.humidity-sign", text=bare, percent=f"{percent.normalize():f}"))
    found = amount(text, "ratio")
    if 0 < found < 0.01:  # noqa: PLR2004 - 0.6 % typed for 0.6
        raise WrongUse(say("calc.humidity-fraction", text=bare, percent=f"{found * 1e4:g}"))
    if not 0 < found <= 1:
        raise WrongUse(say("calc.humidity-range", text=bare))
    return found


def concentration(text: str) -> float:
    """Return a concentration as a ratio; a bare number is ppm, the only unit there is.

    Raises:
        WrongUse: it is none.
    """
    return amount(f"{text}ppm" if _NUMBER.fullmatch(text.strip()) else text, "concentration")


def apart(text: str) -> float:
    """Return a difference of temperatures in kelvin: a thermometer's tolerance.

    Raises:
        WrongUse: it is none.
    """
    if _NUMBER.fullmatch(text.strip()):
        raise WrongUse(say("calc.difference-unit", text=text.strip()))
    amount(text, "temperature")
    return float(difference(text))


def air(text: str) -> tuple[float, float]:
    """Return a state of air, `18C/85%`, as degC and 0..1.

    Raises:
        WrongUse: it is none, or the two are swapped.
    """
    temp, slash, wet = text.partition("/")
    if not slash:
        raise WrongUse(say("calc.air-form", text=text))
    if temp.strip().endswith("%") and not wet.strip().endswith("%"):
        raise WrongUse(say("calc.air-swapped", text=text))
    return amount(temp, "temperature"), humidity(wet)


def count(text: str) -> int:
    """Return a whole number, 0 to 999.

    Raises:
        WrongUse: it is none.
    """
    bare = text.strip()
    if not (bare.isascii() and bare.isdecimal() and len(bare) <= _MOST):
        raise WrongUse(say("reckon.no-count", text=text))
    return int(bare)


_READERS: Mapping[str, Callable[[str], Any]] = {
    "humidity": humidity,
    "concentration": concentration,
    "difference": apart,
    "air": air,
    "count": count,
    "text": str.strip,
}


def read(kind: str, text: str) -> Any:
    """Return what a text says.

    Args:
        kind: a dimension of `units`, or humidity, concentration, difference, air, count, text.
        text: as typed.

    Raises:
        WrongUse: it is none of that kind.
    """
    reader = _READERS.get(kind)
    return reader(text) if reader else amount(text, kind)
