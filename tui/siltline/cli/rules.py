"""rules check."""

from __future__ import annotations

from pathlib import Path

import click

from siltline.cli.output import emit, emit_json, json_option
from siltline.sentences import say


@click.group("rules", help=say("help.rules"))
def rules_command() -> None:
    """Hold what concerns rule files."""


@rules_command.command("check", help=say("help.rules-check"))
@click.argument("path", type=click.Path(path_type=Path), metavar="PATH")
@json_option
def check_command(path: Path, as_json: bool) -> int:
    """Tell every fault of a checklist or a house sheet."""
    from siltline.cli.exits import FINDINGS, FINE  # noqa: PLC0415
    from siltline.rules import files  # noqa: PLC0415
    from siltline.rules.faults import Faulty  # noqa: PLC0415

    faults, summary = [], ""
    try:
        summary = files.check(path)
    except Faulty as found:
        faults = found.faults
    if as_json:
        told = [
            {"file": f.file, "line": f.line, "column": f.column, "text": f.text} for f in faults
        ]
        emit_json({"clean": not faults, "faults": told})
    else:
        emit(str(fault) for fault in faults)
        emit([say("rules.faults", n=len(faults)) if faults else summary])
    return FINDINGS if faults else FINE
