"""calc bleach, distance: what the label's figures make, and where a photo was taken."""

from __future__ import annotations

from typing import Any

import click

from siltline.cli.calc_words import cautions, line, named, printed, tell
from siltline.cli.output import json_option
from siltline.cli.quantities import SPOT, amount
from siltline.sentences import say


@click.command("bleach", help=say("help.calc-bleach"))
@amount("strength", "ratio", "6%", required=True)
@amount("bleach", "volume", "0.75cup")
@amount("water", "volume", "1gal")
@amount("target", "concentration", "500ppm")
@amount("label", "concentration", "2400ppm")
@amount("batch", "volume", "5gal")
@amount("area", "area", "400ft2")
@amount("coverage", "coverage", "400ft2/gal")
@amount("contact", "time", "10min")
@json_option
def bleach_command(*, as_json: bool, **options: Any) -> None:
    """Tell what the label's dose makes, or how much water its ppm takes."""
    from siltline.reckon.dose import dose  # noqa: PLC0415

    told = dose(named(options))
    words = [*cautions("never-mix", "label", "bleach-gear"), "", *printed(told.lines)]
    tell(told.facts, words, [say("calc.source.bleach")], as_json=as_json)


@click.command("distance", help=say("help.calc-distance"))
@click.option(
    "--from", "one", type=SPOT, required=True, metavar="LAT,LON", help=say("opt.calc.place-from")
)
@click.option(
    "--to", "other", type=SPOT, required=True, metavar="LAT,LON", help=say("opt.calc.place-to")
)
@amount("doubt", "length", "15m")
@amount("site", "length", "100m")
@json_option
def distance_command(
    one: tuple[float, float],
    other: tuple[float, float],
    doubt: float | None,
    site: float | None,
    as_json: bool,
) -> None:
    """Tell how far apart two places are, and whether the one is at the other's site."""
    from siltline.science import distance  # noqa: PLC0415

    off = distance.USUAL_DOUBT if doubt is None else doubt
    reach = distance.SITE if site is None else site
    apart = distance.metres(one, other)
    verdict = distance.at_site(apart, off, reach)
    facts = {"metres": apart, "verdict": verdict, "doubt_m": off, "site_m": reach}
    words = [
        line("metres", f"{apart:.1f} m ({apart / 0.3048:.0f} ft)", f"{off:g} m"),
        line("place-verdict", say(f"calc.place.{verdict}", site=f"{reach:g}")),
    ]
    usual = [say("calc.note.position")] if doubt is None else []
    tell(facts, words, [*usual, say("calc.source.distance")], as_json=as_json)
