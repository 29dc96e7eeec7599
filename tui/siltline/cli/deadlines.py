"""deadlines: what is due and by when, in the zone of the site; a calendar of it on request."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say

WIDEST = 22  # of a title


def brief(told: Iterable[dict[str, Any]]) -> Iterator[str]:
    """Yield a line for each deadline: what, by when, how much is left."""
    for one in told:
        left = f"  ({one['left']})" if one["left"] else ""
        state = say("due.state.met") if one["state"] == "met" else ""
        mark = f"  [{state}]" if state else ""
        yield f"{one['title']:<{WIDEST}} {one['shown']}{left}{mark}"


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
            emit(brief([one]))
            emit(line for text in one["told"] for line in wrapped(text))
        if not listed:
            emit([say("due.none")])
    if written is not None:
        from siltline.cli.exits import tell  # noqa: PLC0415

        key = "due.written" if written else "due.nothing-to-write"
        tell(say(key, n=written, path=ics))
