"""photo, note: one photo, looked at and noted on."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job

PHOTO = click.argument("photo", metavar="PHOTO")
_LINES_LEFT = 2  # of the terminal: the prompt, and the command that was typed


def _exif(data: bytes) -> list[tuple[str, str, str]]:
    from siltline.photos.reader import PhotoReader  # noqa: PLC0415

    with PhotoReader() as reader:
        return reader.tags(data)


def _draw(desk: Job, sha256: str) -> None:
    """Draw a photo as wide and high as the terminal; in characters where it shows no colours."""
    import shutil  # noqa: PLC0415

    from rich.console import Console  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    from siltline.cli.exits import tell  # noqa: PLC0415
    from siltline.job.sketching import small  # noqa: PLC0415
    from siltline.photos.reader import PhotoReader  # noqa: PLC0415
    from siltline.screens.blocks import in_colour, in_greys  # noqa: PLC0415

    width, height = shutil.get_terminal_size()
    with PhotoReader() as reader:
        cells = reader.cells(small(desk, sha256), width, 2 * (height - _LINES_LEFT))
    if not cells[0]:
        tell(say("photo.undrawn"))
        return
    console = Console(width=width, highlight=False)
    if console.color_system in ("256", "truecolor") and not console.no_color:
        for strip in in_colour(cells):
            console.print(Text.assemble(*((s.text, s.style or "") for s in strip)), soft_wrap=True)
    else:
        emit(in_greys(cells, dark=True))
        tell(say("photo.grey"))


def _view(desk: Job, photo: dict[str, Any], data: bytes) -> None:
    """Open a photo in the system's viewer; its copy stays until the person has looked."""
    from siltline.errors import WrongUse  # noqa: PLC0415
    from siltline.job.viewing import Viewer  # noqa: PLC0415
    from siltline.record.derived import photo_facts  # noqa: PLC0415

    if not sys.stdin.isatty():
        raise WrongUse(say("photo.view-alone"))
    form = desk.record.derived(photo_facts).get(photo["sha256"], {}).get("format")
    with Viewer() as viewer:
        viewer.show(photo["sha256"], data, form)
        click.prompt(say("photo.looked"), default="", show_default=False, err=True)


@click.command("photo", help=say("help.photo"))
@JOB
@PHOTO
@click.option("--exif", is_flag=True, help=say("opt.exif"))
@click.option("--draw", is_flag=True, help=say("opt.draw"))
@click.option("--view", is_flag=True, help=say("opt.view"))
@json_option
def photo_command(job: Path, photo: str, exif: bool, draw: bool, view: bool, as_json: bool) -> None:
    """Tell all that is known of a photo, and show it."""
    from siltline.job.add import read_again  # noqa: PLC0415
    from siltline.job.one_photo import bytes_of, described, whole  # noqa: PLC0415

    with opened(job) as desk:
        read_again(desk)
        found = described(desk, photo)
        data = bytes_of(desk, found) if exif or draw or view else b""
        tags = _exif(data) if exif else []
        if as_json:
            emit_json({**found, "exif": [list(tag) for tag in tags]} if exif else found)
        else:
            emit(whole(desk, found))
            emit(f"{group} {name}: {value}" for group, name, value in tags)
        if draw:
            _draw(desk, found["sha256"])
        if view:
            _view(desk, found, data)


@click.command("note", help=say("help.note"))
@JOB
@PHOTO
@click.argument("text", metavar="TEXT")
@click.option("--by", required=True, metavar="NAME", help=say("opt.note-by"))
@json_option
def note_command(job: Path, photo: str, text: str, by: str, as_json: bool) -> None:
    """Note something on a photo, for its caption."""
    from siltline.job.noting import note_photo  # noqa: PLC0415
    from siltline.job.one_photo import described  # noqa: PLC0415

    with opened(job) as desk:
        new = note_photo(desk, photo, text, by=by)
        found = described(desk, photo)
    if as_json:
        emit_json({"sha256": found["sha256"], "new": new, "captions": found["captions"]})
    else:
        emit([*found["captions"], *([] if new else [say("note.there")])])
