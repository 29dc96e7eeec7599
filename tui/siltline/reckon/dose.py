"""Bleach in water by the label's figures, in words; never a dose of our own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from siltline.reckon.words import Line, Told, liquid
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.science.bleach import Mix

Given = Mapping[str, Any]  # name of what is given -> SI number; None where it is not


def dose(given: Given) -> Told:
    """Tell what the label's dose makes, or how much water the label's ppm takes.

    Args:
        given: strength (0..1), and either bleach and water (m3) or target (the label's ppm as a
            ratio); where known, label (the ppm that a mix is held to), batch (m3), area (m2) with
            coverage (m2 for each m3), contact (s).

    Raises:
        Incomplete: what says nothing without the others, or both ways at once.
        NotFinite, OutOfRange, Contradiction: a number is none, or the mix is off the label.
    """
    from siltline.science import bleach as science  # noqa: PLC0415
    from siltline.science.faults import Incomplete, together  # noqa: PLC0415

    strength, target = given["strength"], given.get("target")
    bleach, water, label = (given.get(name) for name in ("bleach", "water", "label"))
    together(given, area="wetted-area", coverage="coverage")
    if target is not None and bleach is None and water is None:
        parts, other = science.parts_for(strength, target)
        made = science.mix(strength, 1 / parts, 1.0)
    elif target is None and bleach is not None and water is not None:
        made, other = science.mix(strength, bleach, water), None
    else:
        raise Incomplete(say("calc.bleach-which"), "bleach", "water-volume", "target")
    if label is not None:
        science.hold_to_label(made, label)
    if given.get("contact") is not None:
        science.contact_of(given["contact"])
    facts = _facts(made, other) | _amounts(made.parts, given)
    facts["contact_s"] = given.get("contact")
    return Told(facts, tuple(_lines(facts)))


def _facts(made: Mix, other: float | None) -> dict[str, Any]:
    return {
        "ppm_label": 1e6 * made.label,
        "mg_l_available": 1e6 * made.available / 1000,
        "mg_l_hypochlorite": 1e6 * made.hypochlorite / 1000,
        "parts_water": made.parts,
        "parts_water_if_available": other,
    }


def _amounts(parts: float, given: Given) -> dict[str, Any]:
    """Return how much to mix, and how much of it an area takes, in litres."""
    from siltline.science import bleach as science  # noqa: PLC0415

    facts: dict[str, Any] = {"batch_bleach_l": None, "batch_water_l": None, "amount_l": None}
    batch, area = given.get("batch"), given.get("area")
    if area is not None:
        facts["amount_l"] = 1000 * science.amount(area, given["coverage"])
        batch = batch if batch is not None else facts["amount_l"] / 1000
    if batch is not None:
        one, rest = science.batch(batch, parts)
        facts |= {"batch_bleach_l": 1000 * one, "batch_water_l": 1000 * rest}
    return facts


def _lines(facts: Mapping[str, Any]) -> list[Line]:
    lines = [Line("parts", say("calc.parts", parts=f"{facts['parts_water']:.3g}"))]
    if facts["parts_water_if_available"] is not None:
        parts = f"{facts['parts_water_if_available']:.3g}"
        lines.append(Line("parts-available", say("calc.parts", parts=parts)))
    lines += [
        Line("ppm", f"{facts['ppm_label']:.0f} ppm"),
        Line("available", f"{facts['mg_l_available']:.0f} mg/L", "1 %"),
        Line("hypochlorite", f"{facts['mg_l_hypochlorite']:.0f} mg/L", "1 %"),
    ]
    if facts["amount_l"] is not None:
        lines.append(Line("amount", liquid(facts["amount_l"] / 1000)))
    if facts["batch_bleach_l"] is not None:
        bleach, water = (liquid(facts[f"batch_{k}_l"] / 1000) for k in ("bleach", "water"))
        lines.append(Line("batch", say("calc.batch", bleach=bleach, water=water)))
    contact = facts["contact_s"]
    time = say("calc.contact", minutes=f"{contact / 60:g}") if contact else say("calc.no-contact")
    return [*lines, Line("contact", time)]
