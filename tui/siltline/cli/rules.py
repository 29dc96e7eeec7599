"""rules check, rules schema, rules diff."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.laying import told_changes
from siltline.cli.output import emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.rules.faults import Fault

_KINDS = ("house", "checklist", "phase", "shared")


@click.group("rules", help=say("help.rules"))
def rules_command() -> None:
    """Hold what concerns rule files."""


def _as_json(faults: list[Fault]) -> list[dict[str, object]]:
    return [{"file": f.file, "line": f.line, "column": f.column, "text": f.text} for f in faults]


@rules_command.command("check", help=say("help.rules-check"))
@click.argument("path", type=click.Path(path_type=Path), metavar="PATH")
@json_option
def check_command(path: Path, as_json: bool) -> int:
    """Tell every fault of a checklist or a house sheet, and what is advised against."""
    from siltline.cli.exits import FINDINGS, FINE  # noqa: PLC0415
    from siltline.rules import files  # noqa: PLC0415
    from siltline.rules.faults import Faulty  # noqa: PLC0415

    faults: list[Fault] = []
    found = files.Checked("")
    try:
        found = files.check(path)
    except Faulty as faulty:
        faults = faulty.faults
    advice = list(found.advice)
    if as_json:
        told = {"faults": _as_json(faults), "advice": _as_json(advice)}
        emit_json({"clean": not faults, **told})
    else:
        emit(str(fault) for fault in faults)
        emit(say("advice.line", where=f.where, text=f.text) for f in advice)
        emit([say("rules.faults", n=len(faults)) if faults else found.summary])
        emit([say("rules.advice", n=len(advice))] if advice else [])
    return FINDINGS if faults or advice else FINE


@rules_command.command("schema", help=say("help.rules-schema"))
@click.argument("kind", type=click.Choice(_KINDS), default="phase")
def schema_command(kind: str) -> None:
    """Print the JSON Schema of a kind of file."""
    from siltline.rules.schema import schema  # noqa: PLC0415

    emit_json(schema(kind))


@rules_command.command("diff", help=say("help.rules-diff"))
@click.argument("old", type=click.Path(path_type=Path), metavar="OLD")
@click.argument("new", type=click.Path(path_type=Path), metavar="NEW")
@click.option(
    "--house", "sheet", required=True, type=click.Path(path_type=Path), metavar="HOUSE.yaml",
    help=say("opt.house-sheet"),
)  # fmt: skip
@json_option
def diff_command(old: Path, new: Path, sheet: Path, as_json: bool) -> int:
    """Tell what a changed checklist does to a house."""
    from siltline.cli.exits import FINDINGS, FINE  # noqa: PLC0415
    from siltline.rules import files  # noqa: PLC0415
    from siltline.rules.compare import compare  # noqa: PLC0415

    text = files.text_of(sheet)
    plans = [files.plan_from(files.checklist_texts(p), text, sheet.name) for p in (old, new)]
    changes = compare(*plans)
    told_changes(changes, as_json=as_json)
    return FINDINGS if changes else FINE
