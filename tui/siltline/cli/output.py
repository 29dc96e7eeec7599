"""Prints facts: JSON for scripts, plain lines for people. Both on stdout, nothing else there."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from siltline.text import visible

JOB = click.argument("job", type=click.Path(path_type=Path), metavar="JOB")


def json_option(command: Any) -> Any:
    """Add --json to a command."""
    from siltline.sentences import say  # noqa: PLC0415

    return click.option("--json", "as_json", is_flag=True, help=say("cli.json"))(command)


def emit_json(value: Any) -> None:
    """Print a value as JSON; every character past ASCII is escaped, so no terminal obeys it."""
    click.echo(json.dumps(value, indent=1, ensure_ascii=True))


def emit(lines: Iterable[str]) -> None:
    """Print lines, made visible."""
    for line in lines:
        click.echo(visible(line))


def wrapped(text: str, indent: str = "  ", width: int = 78) -> list[str]:
    """Return a text as lines of at most `width`, indented."""
    import textwrap  # noqa: PLC0415

    return textwrap.wrap(visible(text), width, initial_indent=indent, subsequent_indent=indent) or [
        indent.rstrip()
    ]
