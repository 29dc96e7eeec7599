"""What outside air does, and what a fan does with it in a crawl space."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from siltline.reckon.words import DAY, Line, Told, celsius, cubic, flow, square, water_a_day
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.crawl import Fan
    from siltline.science.doubt import Tolerance
    from siltline.science.outside import Comparison

Given = Mapping[str, Any]  # name of what is given -> SI number; None where it is not


class Airs:
    """Inside and outside air, compared under one pressure, with the doubt of one meter."""

    def __init__(
        self, inside: tuple[float, float], outside: tuple[float, float], at: float, meter: Tolerance
    ) -> None:
        """Take temperature (degC) and humidity (0..1) of both, the pressure in Pa, the meter."""
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
        """Return the comparison as facts."""
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

    def lines(self, airflow: float | None) -> list[Line]:
        """Return the comparison in words."""
        found = self.found
        lines = [
            Line("verdict", say(f"calc.verdict.{found.verdict}")),
            Line("margin", f"{1000 * found.margin:+.2f} g/kg", f"{1000 * found.doubt:.2f} g/kg"),
            Line("outside-dew", celsius(self.outside.dew)),
        ]
        if airflow is not None:
            kg, off = self.removal(airflow)
            lines.append(Line("removal", water_a_day(kg), f"{off:.1f} kg/day"))
        return lines


def outside(airs: Airs, given: Given) -> Told:
    """Tell whether outside air dries a space; `airflow` and the coldest `surface` may be given.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    from siltline.science.outside import wets_surface  # noqa: PLC0415

    airflow, surface = given.get("airflow"), given.get("surface")
    wets = None if surface is None else wets_surface(airs.outside, surface)
    facts = airs.facts(airflow) | {"surface_c": surface, "wets_surface": wets}
    warnings = []
    if surface is not None and wets:
        dews = {"dew": celsius(airs.outside.dew), "at": celsius(surface)}
        warnings.append(say("calc.wets-surface", **dews))
    return Told(facts, tuple(airs.lines(airflow)), tuple(warnings))


def crawl(airs: Airs, given: Given) -> Told:
    """Tell what a fan does in a crawl space, and which fan is needed.

    Args:
        airs: of the space and outdoors.
        given: area (m2) and height (m); and, where known, airflow (m3/s), air-changes (1/s),
            source (kg/s) with target-rh (0..1), water (kg) to carry off with the airflow.

    Raises:
        Incomplete: something that says nothing without something else.
        NotFinite, OutOfRange: one of them is none.
    """
    from siltline.science import crawl as science  # noqa: PLC0415
    from siltline.science.faults import together  # noqa: PLC0415

    airflow, source, target = (given.get(name) for name in ("airflow", "source", "target-rh"))
    changes, water = given.get("air-changes"), given.get("water")
    together(given, source="source", target_rh="held-humidity")
    if water is not None:
        together(given, water="water", airflow="flow")
    space = science.volume(given["area"], given["height"])
    fan = None
    if source is not None and target is not None:
        temp = airs.inside.temp
        fan = science.fan_for_source(source, target, temp, airs.outside, airs.outside_doubt)
    changing = None if changes is None else science.fan_for_changes(changes, space)
    low = high = None
    if water is not None and airflow is not None:
        found = airs.found
        low, high = science.days(water, airflow, airs.inside, found.margin, found.doubt)
    facts = airs.facts(airflow) | _space_facts(given["area"], space, airflow)
    facts |= _fan_facts(fan, changing) | {"days_low": low, "days_high": high}
    return Told(facts, (*airs.lines(airflow), *_lines(facts, fan)))


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


def _space_facts(area: float, space: float, airflow: float | None) -> dict[str, Any]:
    from siltline.science.crawl import code  # noqa: PLC0415

    asks = code(area)
    return {
        "volume_m3": space,
        "air_changes_h": math.nan if airflow is None else 3600 * airflow / space,
        "vent_area_m2": asks.vents,
        "vent_area_covered_m2": asks.vents_covered,
        "code_exhaust_m3_s": asks.exhaust,
    }


def _lines(facts: dict[str, Any], fan: Fan | None) -> list[Line]:
    lines = [Line("space", cubic(facts["volume_m3"]))]
    if math.isfinite(facts["air_changes_h"]):
        lines.append(Line("changes", f"{facts['air_changes_h']:.1f} {say('calc.an-hour')}"))
    if facts["fan_for_air_changes_m3_s"] is not None:
        lines.append(Line("fan-changes", flow(facts["fan_for_air_changes_m3_s"])))
    if fan is not None:
        lines.append(Line("fan-source", flow(fan.flow)))
        between = say("calc.low-high", low=flow(fan.least), high=flow(fan.most))
        lines += [Line("fan-between", between)] if fan.possible else []
    if facts["days_low"] is not None:
        low, high = (
            f"{day:.1f}" if math.isfinite(day) else say("calc.never")
            for day in (facts["days_low"], facts["days_high"])
        )
        lines.append(Line("days", say("calc.from-to", low=low, high=high)))
    lines.append(Line("vents", square(facts["vent_area_m2"])))
    lines.append(Line("vents-covered", square(facts["vent_area_covered_m2"])))
    return [*lines, Line("exhaust", flow(facts["code_exhaust_m3_s"]))]
