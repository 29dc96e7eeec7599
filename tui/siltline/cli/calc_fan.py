"""calc outside, crawl: what a fan does with the air outside."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.calc_options import TOLERANCE, TWO_AIRS, WHERE, pressure_at, tolerance
from siltline.cli.calc_words import (
    cautions,
    celsius,
    flow,
    line,
    square,
    tell,
    usage,
    water_a_day,
)
from siltline.cli.output import json_option, wrapped
from siltline.cli.quantities import amount
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.crawl import Fan
    from siltline.science.doubt import Tolerance
    from siltline.science.outside import Comparison

DAY = 86_400.0


class _Pair:
    """Inside and outside air, compared; what `outside` and `crawl` share."""

    def __init__(
        self, inside: tuple[float, float], outside: tuple[float, float], at: float, meter: Tolerance
    ) -> None:
        from siltline.science.air import from_humidity  # noqa: PLC0415
        from siltline.science.doubt import doubt  # noqa: PLC0415
        from siltline.science.outside import compare  # noqa: PLC0415

        self.inside, self.outside = (from_humidity(*air, at) for air in (inside, outside))
        offs = [doubt(from_humidity, *air, at, meter).ratio for air in (inside, outside)]
        self.outside_doubt = offs[1]
        self.found: Comparison = compare(self.inside, self.outside, *offs)

    def removal(self, airflow: float | None) -> tuple[float, float]:
        """Return kg of water a day and their doubt; nan without an airflow."""
        from siltline.science.outside import removal  # noqa: PLC0415

        if airflow is None:
            return math.nan, math.nan
        margins = (self.found.margin, self.found.doubt)
        kg, off = (DAY * removal(airflow, self.inside, margin) for margin in margins)
        return kg, off

    def facts(self, airflow: float | None) -> dict[str, Any]:
        """Return what both commands tell in JSON."""
        kg, off = self.removal(airflow)
        return {
            "removal_kg_day": kg,
            "removal_doubt_kg_day": off,
            "verdict": self.found.verdict,
            "margin_g_kg": 1000 * self.found.margin,
            "doubt_g_kg": 1000 * self.found.doubt,
            "inside_dew_point_c": self.inside.dew,
            "outside_dew_point_c": self.outside.dew,
            "pressure_pa": self.inside.pressure,
        }

    def words(self, airflow: float | None) -> list[str]:
        """Return what both commands tell in words."""
        found = self.found
        lines = [
            line("verdict", say(f"calc.verdict.{found.verdict}")),
            line("margin", f"{1000 * found.margin:+.2f} g/kg", f"{1000 * found.doubt:.2f} g/kg"),
            line("outside-dew", celsius(self.outside.dew)),
        ]
        kg, off = self.removal(airflow)
        rate = [line("removal", water_a_day(kg), f"{off:.1f} kg/day")]
        return lines + (rate if airflow is not None else [])


@click.command("outside", help=say("help.calc-outside"))
@TWO_AIRS
@amount("airflow", "flow", "300cfm")
@amount("surface", "temperature", "12C")
@WHERE
@TOLERANCE
@json_option
def outside_command(
    inside: tuple[float, float],
    outside: tuple[float, float],
    airflow: float | None,
    surface: float | None,
    altitude: float | None,
    pressure: float | None,
    temp_doubt: float | None,
    rh_doubt: float | None,
    as_json: bool,
) -> None:
    """Tell whether outside air dries a space."""
    from siltline.science.outside import wets_surface  # noqa: PLC0415

    at, where = pressure_at(altitude, pressure)
    meter, told = tolerance(temp_doubt, rh_doubt)
    pair = _Pair(inside, outside, at, meter)
    wets = None if surface is None else wets_surface(pair.outside, surface)
    facts = pair.facts(airflow) | {"surface_c": surface, "wets_surface": wets}
    words = [*cautions("mould"), "", *pair.words(airflow)]
    if surface is not None and wets:
        dews = {"dew": celsius(pair.outside.dew), "at": celsius(surface)}
        words = [*wrapped(say("calc.wets-surface", **dews), ""), *words]
    ask = [] if surface is not None else [say("calc.note.surface")]
    notes = [*ask, told, *([where] if where else []), say("calc.source.outside")]
    tell(facts, words, notes, as_json=as_json)


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
def crawl_command(
    area: float,
    height: float,
    inside: tuple[float, float],
    outside: tuple[float, float],
    airflow: float | None,
    air_changes: float | None,
    source: float | None,
    target_rh: float | None,
    water: float | None,
    altitude: float | None,
    pressure: float | None,
    temp_doubt: float | None,
    rh_doubt: float | None,
    as_json: bool,
) -> None:
    """Tell what a fan does in a crawl space, and which fan is needed."""
    from siltline.science import crawl  # noqa: PLC0415

    if (source is None) != (target_rh is None):
        raise usage(say("calc.both-of", options="--source, --target-rh"))
    if water is not None and airflow is None:
        raise usage(say("calc.both-of", options="--water, --airflow"))
    at, where = pressure_at(altitude, pressure)
    meter, told = tolerance(temp_doubt, rh_doubt)
    pair = _Pair(inside, outside, at, meter)
    space = crawl.volume(area, height)
    fan = None
    if source is not None and target_rh is not None:
        fan = crawl.fan_for_source(source, target_rh, inside[0], pair.outside, pair.outside_doubt)
    changing = None if air_changes is None else crawl.fan_for_changes(air_changes, space)
    low = high = None
    if water is not None and airflow is not None:
        found = pair.found
        low, high = crawl.days(water, airflow, pair.inside, found.margin, found.doubt)
    facts = _crawl_facts(pair, area, space, airflow) | _fan_facts(fan, changing)
    facts |= {"days_low": low, "days_high": high}
    words = [*cautions("burners"), "", *pair.words(airflow), *_crawl_words(facts, fan)]
    notes = [told, *([where] if where else []), say("calc.source.crawl")]
    tell(
        facts,
        words,
        [say("calc.caution.outward"), say("calc.caution.local-code"), *notes],
        as_json=as_json,
    )


def _fan_facts(fan: Fan | None, changing: float | None) -> dict[str, Any]:
    asked = [flow for flow in (fan.flow if fan else None, changing) if flow is not None]
    return {
        "fan_m3_s": max(asked, default=None),
        "fan_for_air_changes_m3_s": changing,
        "fan_for_source_m3_s": fan.flow if fan else None,
        "fan_for_source_low_m3_s": fan.least if fan else None,
        "fan_for_source_high_m3_s": fan.most if fan else None,
        "possible": fan.possible if fan else None,
    }


def _crawl_facts(pair: _Pair, area: float, space: float, airflow: float | None) -> dict[str, Any]:
    from siltline.science.crawl import code  # noqa: PLC0415

    asks = code(area)
    return pair.facts(airflow) | {
        "volume_m3": space,
        "air_changes_h": math.nan if airflow is None else 3600 * airflow / space,
        "vent_area_m2": asks.vents,
        "vent_area_covered_m2": asks.vents_covered,
        "code_exhaust_m3_s": asks.exhaust,
    }


def _crawl_words(facts: dict[str, Any], fan: Fan | None) -> list[str]:
    lines = [line("space", f"{facts['volume_m3']:.1f} m3")]
    if math.isfinite(facts["air_changes_h"]):
        lines.append(line("changes", f"{facts['air_changes_h']:.1f} {say('calc.an-hour')}"))
    if facts["fan_for_air_changes_m3_s"] is not None:
        lines.append(line("fan-changes", flow(facts["fan_for_air_changes_m3_s"])))
    if fan is not None:
        lines.append(line("fan-source", flow(fan.flow)))
        between = say("calc.between", low=flow(fan.least), high=flow(fan.most))
        lines += [between] if fan.possible else []
    if facts["days_low"] is not None:
        low, high = (
            f"{day:.1f}" if math.isfinite(day) else say("calc.never")
            for day in (facts["days_low"], facts["days_high"])
        )
        lines.append(line("days", say("calc.from-to", low=low, high=high)))
    lines.append(line("vents", square(facts["vent_area_m2"])))
    lines.append(line("vents-covered", square(facts["vent_area_covered_m2"])))
    lines.append(line("exhaust", flow(facts["code_exhaust_m3_s"])))
    return lines
