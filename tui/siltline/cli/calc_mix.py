"""calc bleach, distance: what the label's figures make, and where a photo was taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_words import cautions, line, tell, usage
from siltline.cli.output import json_option
from siltline.cli.quantities import SPOT, amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.bleach import Mix

CUP, GALLON = 2.365882365e-4, 3.785411784e-3  # m3


def _volume(m3: float) -> str:
    """Return a volume in litres, and in cups or gallons."""
    us = f"{m3 / GALLON:.2f} gal" if m3 >= GALLON / 2 else f"{m3 / CUP:.2f} cup"
    return f"{1000 * m3:.3g} L ({us})"


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
def bleach_command(
    strength: float,
    bleach: float | None,
    water: float | None,
    target: float | None,
    label: float | None,
    batch: float | None,
    area: float | None,
    coverage: float | None,
    contact: float | None,
    as_json: bool,
) -> None:
    """Tell what the label's dose makes, or how much water its ppm takes."""
    from siltline.science import bleach as science  # noqa: PLC0415

    if (area is None) != (coverage is None):
        raise usage(say("calc.both-of", options="--area, --coverage"))
    if target is not None and bleach is None and water is None:
        parts, other = science.parts_for(strength, target)
        made = science.mix(strength, 1 / parts, 1.0)
    elif target is None and bleach is not None and water is not None:
        made, other = science.mix(strength, bleach, water), None
    else:
        raise usage(say("calc.bleach-which"))
    if label is not None:
        science.hold_to_label(made, label)
    facts = _mix_facts(made, other)
    _amounts(facts, made.parts, batch, area, coverage)
    if contact is not None:
        science.contact_of(contact)
    facts["contact_s"] = contact
    time = say("calc.contact", minutes=f"{contact / 60:g}") if contact else say("calc.no-contact")
    words = [*cautions("never-mix", "label", "bleach-gear"), "", *_mix_words(facts)]
    words.append(line("contact", time))
    told = [say("calc.source.bleach")]
    tell(facts, words, told, as_json=as_json)


def _mix_facts(made: Mix, other: float | None) -> dict[str, Any]:
    return {
        "ppm_label": 1e6 * made.label,
        "mg_l_available": 1e6 * made.available / 1000,
        "mg_l_hypochlorite": 1e6 * made.hypochlorite / 1000,
        "parts_water": made.parts,
        "parts_water_if_available": other,
    }


def _amounts(
    facts: dict[str, Any],
    parts: float,
    batch: float | None,
    area: float | None,
    coverage: float | None,
) -> None:
    """Add how much to mix, and how much of it an area takes, in litres."""
    from siltline.science import bleach as science  # noqa: PLC0415

    facts |= {"batch_bleach_l": None, "batch_water_l": None, "amount_l": None}
    if area is not None and coverage is not None:
        facts["amount_l"] = 1000 * science.amount(area, coverage)
        batch = batch if batch is not None else facts["amount_l"] / 1000
    if batch is not None:
        one, rest = science.batch(batch, parts)
        facts |= {"batch_bleach_l": 1000 * one, "batch_water_l": 1000 * rest}


def _mix_words(facts: dict[str, Any]) -> list[str]:
    lines = [line("parts", say("calc.parts", parts=f"{facts['parts_water']:.3g}"))]
    if facts["parts_water_if_available"] is not None:
        parts = f"{facts['parts_water_if_available']:.3g}"
        lines.append(line("parts-available", say("calc.parts", parts=parts)))
    lines += [
        line("ppm", f"{facts['ppm_label']:.0f} ppm"),
        line("available", f"{facts['mg_l_available']:.0f} mg/L", "1 %"),
        line("hypochlorite", f"{facts['mg_l_hypochlorite']:.0f} mg/L", "1 %"),
    ]
    if facts["amount_l"] is not None:
        lines.append(line("amount", _volume(facts["amount_l"] / 1000)))
    if facts["batch_bleach_l"] is not None:
        bleach, water = (_volume(facts[f"batch_{k}_l"] / 1000) for k in ("bleach", "water"))
        lines.append(line("batch", say("calc.batch", bleach=bleach, water=water)))
    return lines


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
