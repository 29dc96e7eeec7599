"""deadlines: what is due and by when, in the zone of the site; a calendar of it on request."""

from __future__ import annotations

from pathlib import Path

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say


@click.command("deadlines", help=say("help.deadlines"))
@JOB
@click.option("--ics", type=click.Path(path_type=Path), metavar="FILE", help=say("opt.ics"))
@json_option
def deadlines_command(job: Path, ics: Path | None, as_json: bool) -> None:
    """List the deadlines of a job, and write a calendar of them."""
    from siltline.job.calendar import write_calendar  # noqa: PLC0415
    from siltline.job.deadlines import told  # noqa: PLC0415

    with opened(job) as desk:
        listed = told(desk)
        written = write_calendar(desk, ics) if ics is not None else None
    if as_json:
        emit_json(listed)
    else:
        for one in listed:
            emit([one["line"]])
            emit(line for text in one["told"] for line in wrapped(text))
        if not listed:
            emit([say("due.none")])
    if written is not None:
        from siltline.cli.exits import tell  # noqa: PLC0415

        tell(say("due.written" if written else "due.nothing-to-write", n=written, path=ics))
