"""calc equipment: air movers and dehumidifiers to begin with; each factor with its mark."""

from __future__ import annotations

from typing import Any

import click

from siltline.cli.calc_words import cautions, named, printed, tell
from siltline.cli.output import json_option
from siltline.cli.quantities import amount
from siltline.reckon.machines import CLASSES, KINDS
from siltline.sentences import say


@click.command("equipment", help=say("help.calc-equipment"))
@amount("area", "area", "1200ft2", required=True)
@amount("height", "length", "8ft", required=True)
@amount("wet-area", "area", "400ft2")
@amount("wet-upper", "area", "200ft2")
@click.option("--rooms", type=int, default=1, metavar="3", help=say("opt.rooms"))
@click.option("--class", type=click.Choice(CLASSES), help=say("opt.water-class"))
@click.option("--machine", type=click.Choice(KINDS), help=say("opt.machine"))
@amount("rated", "mass-a-day", "70pt/day")
@amount("airflow", "flow", "300cfm")
@json_option
def equipment_command(*, as_json: bool, **options: Any) -> None:
    """Tell what to begin a drying with."""
    from siltline.reckon.machines import machines  # noqa: PLC0415

    given = named(options)
    told = machines(given)
    words = [*cautions("not-must", "machine-power", "mould"), "", *printed(told.lines)]
    tell(told.facts, words, _notes(given), as_json=as_json)


def _notes(given: dict[str, Any]) -> list[str]:
    """Return what was taken for granted, and what to give instead."""
    classed = given["class"] is not None
    taken = {
        say("calc.note.whole-floor"): given["wet-area"] is None,
        say("calc.note.no-upper"): given["wet-upper"] is None,
        say("calc.note.no-class"): not classed,
        say("calc.note.no-rating"): classed and not (given["rated"] or given["airflow"]),
    }
    told = [note for note, so in taken.items() if so]
    return [*told, say("calc.note.count-again"), say("calc.source.equipment")]
