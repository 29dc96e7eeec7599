"""clock: the errors of the cameras, from photos of the laptop's clock; marks such a photo."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.job.clock import CameraClock, Mark


def _name(found: CameraClock) -> str:
    from siltline.job.clock import name_of  # noqa: PLC0415

    if found.camera is None:
        return say("photos.no-camera")
    return " ".join(filter(None, [name_of(found.camera), found.camera.serial]))


def _mark_line(job: Job, mark: Mark) -> str:
    from siltline import times  # noqa: PLC0415
    from siltline.job.clock import error_told  # noqa: PLC0415

    at = " / ".join(times.shown(shown, job.zone, seconds=True) for shown in mark.shown)
    if len(mark.shown) > 1:
        return say("clock.two-readings", name=mark.name, shown=at)
    if mark.error_s is None:
        return say("clock.silent", name=mark.name, shown=at)
    return say("clock.mark", name=mark.name, shown=at, error=error_told(mark.error_s))


def _lines(job: Job, found: list[CameraClock]) -> Iterator[str]:
    from siltline.job.clock import code_of  # noqa: PLC0415

    yield say("clock.code", code=code_of(job))
    for one in found:
        yield say("clock.camera", camera=_name(one), n=one.photos)
        if one.camera is None and not one.marks:
            continue
        yield from (f"    {_mark_line(job, mark)}" for mark in one.marks)
        if all(mark.error_s is None for mark in one.marks):
            yield f"    {say('clock.unchecked')}"
        elif one.camera is not None and not one.camera.serial:
            yield f"    {say('clock.by-model')}"
    yield say("clock.laptop")


def _told(job: Job, found: list[CameraClock]) -> dict[str, Any]:
    from siltline.job.clock import code_of, name_of  # noqa: PLC0415

    return {
        "code": code_of(job),
        "cameras": [
            {
                "camera": name_of(one.camera) if one.camera else None,
                "serial": (one.camera.serial or None) if one.camera else None,
                "photos": one.photos,
                "shots": [
                    {
                        "photo": mark.photo,
                        "name": mark.name,
                        "shown": [at.isoformat().replace("+00:00", "Z") for at in mark.shown],
                        "error_s": mark.error_s,
                    }
                    for mark in one.marks
                ],
            }
            for one in found
        ],
    }


@click.command("clock", help=say("help.clock"))
@JOB
@click.argument("photo", required=False, metavar="[PHOTO]")
@click.option("--shown", default="", metavar="WHEN", help=say("opt.shown"))
@click.option("--code", default="", metavar="CODE", help=say("opt.code"))
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def clock_command(
    job: Path, photo: str | None, shown: str, code: str, by: str | None, as_json: bool
) -> None:
    """Tell the cameras' errors, or mark a photo of the laptop's clock."""
    from siltline.errors import WrongUse  # noqa: PLC0415
    from siltline.job.add import read_again  # noqa: PLC0415
    from siltline.job.clock import cameras, mark  # noqa: PLC0415

    whole = [photo, shown.strip(), code.strip()]
    if any(whole) and not all(whole):
        raise WrongUse(say("clock.needs"))
    with opened(job) as desk:
        read_again(desk)
        told = mark(desk, photo, shown=shown, code=code, by=by) if photo else ""
        found = cameras(desk)
        if as_json:
            emit_json(_told(desk, found))
        else:
            emit([told] if told else _lines(desk, found))
