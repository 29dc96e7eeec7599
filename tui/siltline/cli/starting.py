"""recent, practice, and the start screen: what can be opened on this laptop."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.opened import opened
from siltline.cli.output import emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job


def in_terminal() -> bool:
    """Tell whether a person sits at a terminal, so that a screen can be shown."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def show(job: Job) -> None:
    """Open the screen on a job, and remember that it was opened."""
    from siltline.job.recent import remember  # noqa: PLC0415
    from siltline.screens import run  # noqa: PLC0415

    remember(job.record.path, job.board.plan.house, job.clock())
    run(job)


def start() -> None:
    """Show the start screen, and the job that was picked on it."""
    from siltline.screens import start as ask  # noqa: PLC0415

    picked = ask()
    if picked is not None:
        with opened(picked) as desk:
            show(desk)


@click.command("recent", help=say("help.recent"))
@json_option
def recent_command(as_json: bool) -> None:
    """List the jobs that were opened on this laptop."""
    from siltline.job.recent import recent  # noqa: PLC0415

    found = recent()
    if as_json:
        emit_json([
            {"job": str(one.path), "house": one.house, "at": one.at, "there": one.there}
            for one in found
        ])  # fmt: skip
        return
    lines = [
        say("recent.line" if one.there else "recent.gone", house=one.house, job=one.path, at=one.at)
        for one in found
    ]
    emit(lines or [say("recent.none")])


@click.command("practice", help=say("help.practice"))
@click.option("--anew", is_flag=True, help=say("opt.anew"))
@json_option
def practice_command(anew: bool, as_json: bool) -> None:
    """Lay out the practice job, and open it where there is a terminal."""
    from siltline.job.practice import practice_job  # noqa: PLC0415

    path: Path = practice_job(anew=anew)
    if as_json:
        emit_json({"job": str(path)})
        return
    emit([say("practice.where", job=path)])
    if in_terminal():
        with opened(path) as desk:
            show(desk)
