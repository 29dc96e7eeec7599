"""calc outside, crawl: what a fan does with the air outside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_options import TOLERANCE, TWO_AIRS, WHERE, pressure_at, tolerance
from siltline.cli.calc_words import cautions, named, printed, tell
from siltline.cli.output import json_option, wrapped
from siltline.cli.quantities import amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.reckon.fan import Airs


def _airs(options: dict[str, Any]) -> tuple[Airs, list[str]]:
    """Return the two airs of a command's options, and the notes on how they were taken."""
    from siltline.reckon.fan import Airs  # noqa: PLC0415

    at, where = pressure_at(options.pop("altitude"), options.pop("pressure"))
    meter, told = tolerance(options.pop("temp_doubt"), options.pop("rh_doubt"))
    airs = Airs(options.pop("inside"), options.pop("outside"), at, meter)
    return airs, [told, *([where] if where else [])]


@click.command("outside", help=say("help.calc-outside"))
@TWO_AIRS
@amount("airflow", "flow", "300cfm")
@amount("surface", "temperature", "12C")
@WHERE
@TOLERANCE
@json_option
def outside_command(*, as_json: bool, **options: Any) -> None:
    """Tell whether outside air dries a space."""
    from siltline.reckon.fan import outside  # noqa: PLC0415

    airs, notes = _airs(options)
    told = outside(airs, named(options))
    warned = [row for warning in told.warnings for row in wrapped(warning, "")]
    words = [*warned, *cautions("mould"), "", *printed(told.lines)]
    ask = [] if options["surface"] is not None else [say("calc.note.surface")]
    notes = [*ask, *notes, say("calc.source.outside")]
    tell(told.facts, words, notes, as_json=as_json)


@click.command("crawl", help=say("help.calc-crawl"))
@amount("area", "area", "1200ft2", required=True)
@amount("height", "length", "3ft", required=True)
@TWO_AIRS
@amount("airflow", "flow", "300cfm")
@amount("air-changes", "air-changes", "5ach")
@amount("source", "mass-a-day", "5kg/day")
@amount("target-rh", "humidity", "70%")
@amount("water", "mass", "200kg")
@WHERE
@TOLERANCE
@json_option
def crawl_command(*, as_json: bool, **options: Any) -> None:
    """Tell what a fan does in a crawl space, and which fan is needed."""
    from siltline.reckon.fan import crawl  # noqa: PLC0415

    airs, notes = _airs(options)
    told = crawl(airs, named(options))
    first = [say("calc.caution.outward"), say("calc.caution.local-code")]
    words = [*cautions("burners"), "", *printed(told.lines)]
    tell(told.facts, words, [*first, *notes, say("calc.source.crawl")], as_json=as_json)
