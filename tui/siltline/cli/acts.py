"""tick, untick, leave-out, undo."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.judge import StepView

STEP = click.argument("step", metavar="STEP")


def told_step(job: Job, view: StepView, as_json: bool, first: str = "") -> None:
    """Print a step as it stands after an act: what can hurt, what is there, what it still lacks."""
    from siltline.job.tell import proof_told  # noqa: PLC0415
    from siltline.job.tell import step as told  # noqa: PLC0415

    if as_json:
        emit_json(told(view))
        return
    emit([first] if first else [])
    emit([say("act.state", step=view.step.id, state=view.state)])
    if view.state != "not-needed":
        emit(f"  {caution.word}: {caution.text}" for caution in view.step.cautions)
    if view.state == "measure":
        emit([f"  {view.measure}"])
    emit(f"  {remark}" for remark in view.remarks)
    if view.state in ("todo", "done", "documented"):
        emit(f"  {line}" for line in proof_told(job, view))


@click.command("tick", help=say("help.tick"))
@JOB
@STEP
@click.option("--by", required=True, metavar="NAME", help=say("opt.tick-by"))
@click.option("--licence", default="", metavar="TEXT", help=say("opt.licence"))
@click.option("--value", "values", multiple=True, metavar="15.2%", help=say("opt.value"))
@click.option("--way", default="", metavar="WAY", help=say("opt.way"))
@click.option("--registration", default="", metavar="NO", help=say("opt.registration"))
@click.option("--note", default="", metavar="T", help=say("opt.note"))
@json_option
def tick_command(
    job: Path, step: str, by: str, values: tuple[str, ...], as_json: bool, **told: str
) -> None:
    """Give a person's word that a step is done."""
    from siltline.job.acts import tick  # noqa: PLC0415

    with opened(job) as desk:
        view = tick(desk, step, by=by, values=values, **told)
        told_step(desk, view, as_json)


@click.command("untick", help=say("help.untick"))
@JOB
@STEP
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def untick_command(job: Path, step: str, by: str | None, as_json: bool) -> None:
    """Take back a word."""
    from siltline.job.acts import untick  # noqa: PLC0415

    with opened(job) as desk:
        told_step(desk, untick(desk, step, by=by), as_json)


@click.command("leave-out", help=say("help.leave-out"))
@JOB
@STEP
@click.option("--by", required=True, metavar="NAME", help=say("opt.leave-by"))
@click.option("--because", required=True, metavar="T", help=say("opt.because"))
@click.option("--licence", default="", metavar="TEXT", help=say("opt.override"))
@click.option("--decided-by", default="", metavar="WHO", help=say("opt.decided-by"))
@json_option
def leave_out_command(job: Path, step: str, as_json: bool, **told: str) -> None:
    """Leave a step out, with a reason."""
    from siltline.job.acts import leave_out  # noqa: PLC0415

    with opened(job) as desk:
        told_step(desk, leave_out(desk, step, **told), as_json)


@click.command("undo", help=say("help.undo"))
@JOB
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def undo_command(job: Path, by: str | None, as_json: bool) -> None:
    """Take back the newest act."""
    from siltline.job.acted import about  # noqa: PLC0415
    from siltline.job.acts import undo  # noqa: PLC0415

    with opened(job) as desk:
        event = undo(desk, by=by)
        what = about(desk, event)
        if as_json:
            step = event.body.get("step") or what
            emit_json({"undone": event.kind, "step": step, "by": event.by, "at": event.at})
        else:
            when = desk.shown(event.at)
            emit([say("undo.done", kind=say(f"kind.{event.kind}"), what=what, at=when)])
