"""house, lay: facts corrected and checklists changed, each shown before it is taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job.facts import FactChange
    from siltline.rules.compare import Change


def told_changes(
    changes: Sequence[Change],
    *,
    as_json: bool,
    take: bool | None = None,
    facts: Sequence[FactChange] = (),
) -> None:
    """Print what a plan changes, and whether that was recorded; None where that is no question.

    Facts that were corrected come first, each as it was and as it is.
    """
    if as_json:
        told = [
            {"step": c.step.id, "kind": c.kind, "about": c.about, "do": c.step.do} for c in changes
        ]
        taken: dict[str, Any] = {} if take is None else {"taken": take}
        if facts:
            taken["facts"] = [{"path": f.path, "old": f.old, "new": f.new} for f in facts]
        emit_json({**taken, "changes": told})
        return
    count = Counter(change.kind for change in changes)
    counts = {kind: count[kind] for kind in ("came", "gone", "changed")}
    emit(map(str, (*facts, *changes)))
    emit([say("change.summary", **counts) if changes else say("change.none")])
    emit([] if take is None else [say("lay.taken" if take else "lay.shown")])


@click.command("house", help=say("help.house"))
@JOB
@click.argument("settings", nargs=-1, metavar="[KEY.KEY=VALUE]…")
@click.option("--yaml", "as_yaml", is_flag=True, help=say("opt.as-yaml"))
@click.option("--edited", type=click.Path(path_type=Path), metavar="FILE", help=say("opt.edited"))
@click.option("--by", default="", metavar="NAME", help=say("opt.found-by"))
@click.option("--note", default="", metavar="T", help=say("opt.note"))
@click.option("--take", is_flag=True, help=say("opt.take"))
@json_option
def house_command(
    job: Path, settings: tuple[str, ...], as_yaml: bool, edited: Path | None, by: str, note: str,
    take: bool, as_json: bool,
) -> None:  # fmt: skip
    """Show the house sheet as it stands, or correct facts of it."""
    from siltline.job.laying import correct, sheet_as_it_stands  # noqa: PLC0415

    with opened(job) as desk:
        if as_yaml or edited is not None:
            from siltline.job.sheeting import changed, sheet_text  # noqa: PLC0415

            before = sheet_text(desk)
            if edited is None:
                emit(before.splitlines())
                return
            from siltline.rules.files import text_of  # noqa: PLC0415

            settings = (*settings, *changed(before, text_of(edited)))
            if not settings:
                emit([say("sheet.same")])
                return
        if settings:
            done = correct(desk, settings, by=by, note=note, take=take)
            told_changes(done.changes, take=take, as_json=as_json, facts=done.facts)
            return
        facts = sheet_as_it_stands(desk)
    if as_json:
        emit_json(facts)
    else:
        emit(f"{path}={value}" for path, value in facts.items())


@click.command("lay", help=say("help.lay"))
@JOB
@click.option("--checklist", required=True, metavar="NAME|PATH", help=say("opt.checklist"))
@click.option("--by", default="", metavar="NAME", help=say("opt.laid-by"))
@click.option("--take", is_flag=True, help=say("opt.take"))
@json_option
def lay_command(job: Path, checklist: str, by: str, take: bool, as_json: bool) -> None:
    """Lay a checklist over the house of a job again."""
    from siltline.job.laying import lay_checklist  # noqa: PLC0415

    with opened(job) as desk:
        changes = lay_checklist(desk, checklist, by=by, take=take)
        told_changes(changes, take=take, as_json=as_json)
