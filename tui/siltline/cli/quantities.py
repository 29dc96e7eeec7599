"""How the computing commands take their numbers: with a unit, as floats in SI, or refused.

A refusal says which of the options it is about, and what was likely meant.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import click

from siltline.errors import WrongUse
from siltline.reckon import given
from siltline.sentences import say

_DEGREES = r"\s*([+-]?\d{1,3}(?:\.\d{1,12})?)\s*"


class Amount(click.ParamType[Any]):
    """What `given.read` reads of one kind: a float in SI, or a state of air."""

    def __init__(self, kind: str) -> None:
        self.name = kind

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the number, or say which option is wrong and why."""
        if not isinstance(value, str):
            return value
        try:
            return given.read(self.name, value)
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


SPOT = Spot()


def amount(name: str, kind: str, metavar: str, *, required: bool = False) -> Callable[[Any], Any]:
    """Return an option that takes a quantity; its help is the sentence `opt.calc NAME`."""
    told = say(f"opt.calc.{name}")
    return click.option(
        f"--{name}", type=Amount(kind), metavar=metavar, required=required, help=told
    )
