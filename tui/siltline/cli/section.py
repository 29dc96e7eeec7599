"""section: a wall, a room or the space under the floor, drawn to scale in characters."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

_WIDEST = 100  # columns that a drawing takes by itself; more only spreads it


def _draws_all() -> bool:
    """Tell whether what reads our output can take more than ASCII."""
    from siltline.rules.section.glyphs import GLYPHS  # noqa: PLC0415

    try:
        "".join(one for one, _ in GLYPHS.values()).encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


@click.command("section", help=say("help.section"))
@JOB
@click.argument("place", required=False)
@click.option("--width", type=click.IntRange(40, 400), metavar="N", help=say("opt.width"))
@click.option("--height", type=click.IntRange(12, 400), metavar="N", help=say("opt.height"))
@click.option("--ascii", "ascii_only", is_flag=True, help=say("opt.ascii"))
@json_option
def section_command(
    job: Path,
    place: str | None,
    width: int | None,
    height: int | None,
    ascii_only: bool,
    as_json: bool,
) -> None:
    """Draw the section of a place, or list what can be drawn."""
    from siltline.job.section import (  # noqa: PLC0415
        drawable,
        measured,
        reader_of,
        section_at,
        told,
    )
    from siltline.rules.section.drawing import NARROWEST, draw  # noqa: PLC0415

    with opened(job) as desk:
        reader = reader_of(desk)
        if place is None:
            found = drawable(reader)
            if as_json:
                emit_json([{"place": d.path, "kind": d.kind, "name": d.name} for d in found])
            else:
                emit(f"{one.path:<24} {one.name}" for one in found)
            return
        section = section_at(reader, place, measured(desk))
    columns = width or max(NARROWEST, min(_WIDEST, shutil.get_terminal_size().columns))
    lines = draw(section, columns, height, ascii_only=ascii_only or not _draws_all())
    if as_json:
        emit_json({**told(section), "drawing": lines})
    else:
        emit(lines)
