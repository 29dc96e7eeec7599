"""How the computing commands print: cautions, lines with their doubt, notes; or JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import click

from siltline.cli.output import emit, emit_json, wrapped
from siltline.reckon.words import Line, finite
from siltline.sentences import say


def line(name: str, text: str, doubt: str = "") -> str:
    """Return a line: what it is, the number, and its doubt after `+-`."""
    return f"{say(f'calc.out.{name}'):<30}{text}" + (f"  +- {doubt}" if doubt else "")


def printed(lines: Iterable[Line]) -> list[str]:
    """Return computed lines as they are printed."""
    return [line(one.name, one.text, one.doubt) for one in lines]


def named(options: Mapping[str, Any]) -> dict[str, Any]:
    """Return the options of a command by the names that people type."""
    return {name.replace("_", "-"): value for name, value in options.items()}


def cautions(*names: str) -> list[str]:
    """Return cautions as lines, each with its signal word."""
    return [row for name in names for row in wrapped(say(f"calc.caution.{name}"), "")]


def tell(
    facts: Mapping[str, Any], words: Iterable[str], notes: Iterable[str], *, as_json: bool
) -> None:
    """Print facts as JSON, null for what is infinite or none; or words, and notes wrapped."""
    if as_json:
        emit_json({name: finite(value) for name, value in facts.items()})
        return
    emit([*words, "", *(row for note in notes for row in wrapped(note, ""))])


def usage(sentence: str) -> click.UsageError:
    """Return the fault of options that do not go together."""
    return click.UsageError(sentence, click.get_current_context(silent=True))
