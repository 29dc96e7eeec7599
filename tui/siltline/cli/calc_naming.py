"""Says of a number that a computation refuses which option it came from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any

import click

from siltline.errors import WrongUse
from siltline.sentences import say

# What a computation is about (`faults.BadInput.concerns`) -> the options that tell it.
OPTIONS: Mapping[str, tuple[str, ...]] = {
    "altitude": ("--altitude",),
    "area": ("--area",),
    "batch": ("--batch",),
    "bleach": ("--bleach",),
    "changes": ("--air-changes",),
    "class": ("--class",),
    "contact": ("--contact",),
    "coverage": ("--coverage",),
    "day": ("--readings",),
    "dew-point": ("--dew",),
    "emc": ("--emc",),
    "flow": ("--airflow",),
    "goal": ("--goal",),
    "height": ("--height",),
    "held-humidity": ("--target-rh",),
    "humidity": ("--rh", "--target-rh", "--inside", "--outside"),
    "humidity-doubt": ("--rh-doubt",),
    "latitude": ("--from", "--to"),
    "longitude": ("--from", "--to"),
    "machine": ("--machine",),
    "meter-reading": ("--reading",),
    "moisture": ("--readings", "--reading"),
    "position-doubt": ("--doubt",),
    "pressure": ("--pressure",),
    "rating": ("--rated", "--airflow"),
    "resolution": ("--resolution",),
    "rooms": ("--rooms",),
    "site": ("--site",),
    "source": ("--source",),
    "strength": ("--strength",),
    "surface": ("--surface",),
    "target": ("--target", "--label"),
    "temperature": ("--temp", "--inside", "--outside"),
    "temperature-doubt": ("--temp-doubt",),
    "water": ("--water",),
    "water-volume": ("--water",),
    "wet-bulb": ("--wet-bulb",),
    "wet-floor": ("--wet-area",),
    "wet-upper": ("--wet-upper",),
    "wetted-area": ("--area",),
}


def naming(command: click.Command) -> click.Command:
    """Return a computing command whose refusals name the options that they are about."""
    work: Callable[..., Any] = command.callback or click.Command.invoke
    known = {param.name: param.opts[0] for param in command.params}

    @wraps(work)
    def named(**values: Any) -> Any:
        from siltline.science.faults import BadInput  # noqa: PLC0415 - `--help` needs none of it

        try:
            return work(**values)
        except BadInput as fault:
            given = {known[name] for name, value in values.items() if value is not None}
            wanted = [one for what in fault.concerns for one in OPTIONS.get(what, ())]
            ours = [one for one in dict.fromkeys(wanted) if one in known.values()]
            options = ", ".join([one for one in ours if one in given] or ours)
            told = say("calc.of-option", options=options, told=fault) if options else str(fault)
            raise WrongUse(told) from fault

    command.callback = named
    return command
