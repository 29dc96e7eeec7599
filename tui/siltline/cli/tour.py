"""tour."""

from __future__ import annotations

from pathlib import Path

import click

from siltline.cli.opened import opened
from siltline.cli.output import emit
from siltline.sentences import say


@click.command("tour", help=say("help.tour"))
@click.option("--into", type=click.Path(path_type=Path), metavar="FOLDER", help=say("opt.into"))
def tour_command(into: Path | None) -> None:
    """Lay out the sample job, replay its day, and open it."""
    from siltline.tour import lay_out  # noqa: PLC0415

    folder = into or Path.home() / "siltline-tour"
    job = None
    for line in lay_out(folder):
        emit([line.text])
        job = line.job or job
    from siltline.cli.starting import in_terminal, show  # noqa: PLC0415

    if job is None or not in_terminal():
        return
    with opened(job) as desk:
        show(desk)
