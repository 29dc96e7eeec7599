"""How a computed number is told: in both systems of units, with its doubt; inf is null in JSON."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

import click

from siltline.cli.output import emit, emit_json, wrapped
from siltline.sentences import say

CFM, GRAINS = 4.719474432e-4, 7000.0  # m3/s; to the pound, exact
FOOT2 = 0.09290304
PINT_KG = 0.473176473  # a US pint of water at 1 kg/L


def line(name: str, text: str, doubt: str = "") -> str:
    """Return a line: what it is, the number, and its doubt after `+-`."""
    return f"{say(f'calc.out.{name}'):<30}{text}" + (f"  +- {doubt}" if doubt else "")


def cautions(*names: str) -> list[str]:
    """Return cautions as lines, each with its signal word."""
    return [row for name in names for row in wrapped(say(f"calc.caution.{name}"), "")]


def tell(
    facts: Mapping[str, Any], words: Iterable[str], notes: Iterable[str], *, as_json: bool
) -> None:
    """Print facts as JSON, null for what is infinite or none; or words, and notes wrapped."""
    if as_json:
        shown = {k: None if _none(v) else v for k, v in facts.items()}
        emit_json(shown)
        return
    emit([*words, "", *(row for note in notes for row in wrapped(note, ""))])


def _none(value: Any) -> bool:
    return isinstance(value, float) and not math.isfinite(value)


def celsius(value: float, places: int = 1) -> str:
    """Return a temperature of degC in both scales."""
    return f"{value:.{places}f} C ({value * 1.8 + 32:.{places}f} F)"


def flow(value: float) -> str:
    """Return a flow of m3/s in both systems, or that there is none large enough."""
    if math.isinf(value):
        return say("calc.no-fan")
    return f"{value:.3f} m3/s ({value / CFM:.0f} cfm)"


def square(value: float) -> str:
    """Return an area of m2 in both systems."""
    return f"{value:.3f} m2 ({value / FOOT2:.1f} ft2)"


def water_a_day(kg: float) -> str:
    """Return kg of water a day, and US pints of it."""
    return f"{kg:+.1f} kg/day ({kg / PINT_KG:+.0f} {say('calc.pints')})"


def usage(sentence: str) -> click.UsageError:
    """Return the fault of options that do not go together."""
    return click.UsageError(sentence, click.get_current_context(silent=True))
