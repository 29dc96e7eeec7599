"""begin, open, steps, why."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.judge import StepView


def _template(ctx: click.Context, _: click.Parameter, name: str | None) -> None:
    """Print the template of a house sheet, or write it; then nothing else is done."""
    if name is None or ctx.resilient_parsing:
        return
    from siltline.job.begin import template, write_template  # noqa: PLC0415

    if name:
        write_template(Path(name))
        emit([say("template.written", name=name)])
    else:
        click.echo(template(), nl=False)
    ctx.exit()


@click.command("begin", help=say("help.begin"))
@click.argument("house", type=click.Path(path_type=Path), metavar="HOUSE.yaml")
@JOB
@click.option("--checklist", default="river-flood", metavar="NAME|PATH", help=say("opt.checklist"))
@click.option("--by", metavar="NAME", help=say("opt.by"))
@click.option(
    "--template",
    metavar="[FILE]",
    is_flag=False,
    flag_value="",
    is_eager=True,
    expose_value=False,
    callback=_template,
    help=say("opt.template"),
)
@json_option
def begin_command(house: Path, job: Path, checklist: str, by: str | None, as_json: bool) -> None:
    """Begin a job."""
    from siltline.cli.exits import tell  # noqa: PLC0415
    from siltline.job.begin import begin  # noqa: PLC0415
    from siltline.job.synced import synced_folder  # noqa: PLC0415

    made = begin(house, job, checklist=checklist, by=by)
    try:
        plan, path = made.board.plan, made.record.path
        asks = sum(bool(step.asks) for step in plan.steps)
        facts = {"job": str(path), "house": plan.house, "steps": len(plan.steps), "asks": asks}
        if as_json:
            emit_json(facts)
        else:
            emit([say("begin.done", job=path, house=plan.house, n=len(plan.steps))])
            emit([say("begin.asks", n=asks)] if asks else [])
        synced = synced_folder(path)
        if synced is not None:
            tell(say("doctor.synced", folder=synced))
    finally:
        made.close()


@click.command("open", help=say("help.open"))
@click.argument("job", type=click.Path(path_type=Path), metavar="JOB", required=False)
def open_command(job: Path | None) -> int:
    """Open the screen on a job; without one, the start."""
    from siltline.cli.exits import FINE, WRONG_USE, tell  # noqa: PLC0415
    from siltline.cli.starting import in_terminal, show, start  # noqa: PLC0415

    if job is None and in_terminal():
        start()
        return FINE
    if job is None:
        raise click.UsageError(say("open.which"), click.get_current_context())
    with opened(job) as desk:
        if not in_terminal():
            tell(say("open.no-terminal"))
            return WRONG_USE
        show(desk)
    return FINE


def _lines(job: Job, views: list[StepView]) -> Iterator[str]:
    from siltline.judge.proofs import gap  # noqa: PLC0415

    titles = {phase.id: phase.title for phase in job.board.plan.phases}
    for phase, group in groupby(views, key=lambda view: view.step.phase):
        yield titles.get(phase, phase)
        for view in group:
            yield f"  {view.state:<11}{view.step.id}"
            yield f"  {'':<11}{view.step.do}"
            if view.state == "measure":
                yield f"  {'':<11}{view.measure}"
            elif view.state == "done":
                yield from (f"  {'':<11}{gap(held)}" for held in view.missing)
            elif view.waiting and view.state != "not-done":
                yield f"  {'':<11}{say('steps.waits', needs=', '.join(view.waiting))}"


@click.command("steps", help=say("help.steps"))
@JOB
@click.option("--phase", metavar="P", help=say("opt.phase"))
@click.option("--state", metavar="S", help=say("opt.state"))
@json_option
def steps_command(job: Path, phase: str | None, state: str | None, as_json: bool) -> None:
    """List the steps."""
    from siltline.job.tell import step as told  # noqa: PLC0415
    from siltline.judge.board import STATES  # noqa: PLC0415

    with opened(job) as desk:
        _known(say("word.state"), state, list(STATES))
        _known(say("word.phase"), phase, [p.id for p in desk.board.plan.phases])
        views = [
            view
            for view in desk.board.steps.values()
            if phase in (None, view.step.phase) and state in (None, view.state)
        ]
        if as_json:
            emit_json([told(view) for view in views])
        else:
            emit(_lines(desk, views))


def _known(what: str, word: str | None, words: list[str]) -> None:
    from siltline.errors import WrongUse  # noqa: PLC0415
    from siltline.rules.faults import meant  # noqa: PLC0415

    if word is not None and word not in words:
        raise WrongUse(say("cli.no-such", what=what, word=word) + meant(word, words))


@click.command("why", help=say("help.why"))
@JOB
@click.argument("step", metavar="STEP")
@json_option
def why_command(job: Path, step: str, as_json: bool) -> None:
    """Tell why a step is there and what it waits for."""
    from siltline.job.tell import proof_told  # noqa: PLC0415
    from siltline.job.tell import step as told  # noqa: PLC0415
    from siltline.job.why import why  # noqa: PLC0415

    with opened(job) as desk:
        view = desk.step(step)
        if as_json:
            emit_json(told(view))
        else:
            emit(line for deep, text in why(desk, view) for line in wrapped(text, "  " * deep))
            if view.state != "not-needed":
                emit(line for text in proof_told(desk, view) for line in wrapped(text))
