"""How the computing commands take their numbers: with a unit, as floats in SI, or refused.

A refusal says which of the options it is about, and what was likely meant.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import click

from siltline.errors import WrongUse
from siltline.sentences import say
from siltline.units import difference, known, quantity

_ZERO = Decimal("273.15")
_NUMBER = re.compile(r"\d*\.?\d+")
_DEGREES = r"\s*([+-]?\d{1,3}(?:\.\d{1,12})?)\s*"


class Amount(click.ParamType[Any]):
    """A quantity of one dimension, as a float in SI (temperatures in degC)."""

    def __init__(self, dimension: str) -> None:
        self.name = self.dimension = dimension

    def read(self, text: str) -> float:
        """Return the quantity that a text says.

        Raises:
            WrongUse: it is none of this dimension.
        """
        try:
            other = quantity(text).dimension
        except WrongUse:
            other = self.dimension  # no quantity at all; the sentence below says what to type
        if other != self.dimension:
            raise WrongUse(
                say(
                    "calc.wrong-kind",
                    text=text,
                    found=say(f"dimension.{other}"),
                    wanted=self._wanted(),
                )
            )
        si = quantity(text, self.dimension).si
        return float(si - _ZERO if self.dimension == "temperature" else si)

    def _wanted(self) -> str:
        return say(f"dimension.{self.dimension}") + f" ({known(self.dimension)})"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the number, or say which option is wrong and why."""
        if not isinstance(value, str):
            return value
        try:
            return self.read(value)
        except WrongUse as fault:
            self.fail(str(fault), param, ctx)


class Humidity(Amount):
    """A relative humidity, 0..1; a fraction without its sign is asked about, not guessed."""

    def __init__(self) -> None:
        super().__init__("ratio")
        self.name = "humidity"

    def read(self, text: str) -> float:
        """Return the humidity that a text says.

        Raises:
            WrongUse: it is none, or a fraction was typed for a percentage.
        """
        bare = text.strip()
        if _NUMBER.fullmatch(bare):
            value = Decimal(bare)
            percent = value * 100 if value <= 1 else value
            raise WrongUse(say("calc.humidity-sign", text=bare, percent=f"{percent.normalize():f}"))
        found = super().read(text)
        if 0 < found < 0.01:  # noqa: PLR2004 - 0.6 % typed for 0.6
            raise WrongUse(say("calc.humidity-fraction", text=bare, percent=f"{found * 1e4:g}"))
        if not 0 < found <= 1:
            raise WrongUse(say("calc.humidity-range", text=bare))
        return found


class Ppm(Amount):
    """A concentration; a bare number is ppm, the only unit there is."""

    def __init__(self) -> None:
        super().__init__("concentration")

    def read(self, text: str) -> float:
        """Return the concentration that a text says, as a ratio.

        Raises:
            WrongUse: it is none.
        """
        return super().read(f"{text}ppm" if _NUMBER.fullmatch(text.strip()) else text)


class Difference(Amount):
    """A difference of temperatures in kelvin: a thermometer's tolerance."""

    def __init__(self) -> None:
        super().__init__("temperature")
        self.name = "difference"

    def read(self, text: str) -> float:
        """Return the difference that a text says.

        Raises:
            WrongUse: it is none.
        """
        if _NUMBER.fullmatch(text.strip()):
            raise WrongUse(say("calc.difference-unit", text=text.strip()))
        super().read(text)
        return float(difference(text))


class State(click.ParamType[Any]):
    """A state of air, `18C/85%`: degC and 0..1."""

    name = "air"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return temperature and humidity, or say which of the two is wrong and why."""
        if not isinstance(value, str):
            return value
        temp, slash, humidity = value.partition("/")
        if not slash:
            self.fail(say("calc.air-form", text=value), param, ctx)
        if temp.strip().endswith("%") and not humidity.strip().endswith("%"):
            self.fail(say("calc.air-swapped", text=value), param, ctx)
        try:
            return TEMPERATURE.read(temp), HUMIDITY.read(humidity)
        except WrongUse as fault:
            self.fail(str(fault), param, ctx)


class Spot(click.ParamType[Any]):
    """A place, `29.951,-90.072`: latitude and longitude in degrees."""

    name = "place"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return latitude and longitude, or say what is wrong with them."""
        if not isinstance(value, str):
            return value
        match = re.fullmatch(f"{_DEGREES},{_DEGREES}", value)
        if match is None:
            self.fail(say("calc.place-form", text=value), param, ctx)
        lat, lon = float(match[1]), float(match[2])
        if abs(lat) > 90 >= abs(lon):  # noqa: PLR2004
            self.fail(say("calc.place-swapped", text=value), param, ctx)
        return lat, lon


TEMPERATURE, HUMIDITY, SPOT = Amount("temperature"), Humidity(), Spot()


def amount(
    name: str, dimension: str, metavar: str, *, required: bool = False
) -> Callable[[Any], Any]:
    """Return an option that takes a quantity; its help is the sentence `opt.calc NAME`."""
    kinds: dict[str, click.ParamType[Any]] = {
        "air": State(),
        "humidity": HUMIDITY,
        "difference": Difference(),
        "concentration": Ppm(),
    }
    kind = kinds.get(dimension) or Amount(dimension)
    told = say(f"opt.calc.{name}")
    return click.option(f"--{name}", type=kind, metavar=metavar, required=required, help=told)
