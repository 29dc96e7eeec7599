"""add, photos, attach, detach."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job.add import Outcome, Report


def _told(outcome: Outcome) -> dict[str, Any]:
    facts: dict[str, Any] = {"name": outcome.path.name}
    if outcome.sha256:
        facts["sha256"] = outcome.sha256
    if outcome.because:
        facts["because"] = outcome.because
    if outcome.notes:
        facts["notes"] = list(outcome.notes)
    return facts


def _summary(report: Report) -> Iterator[str]:
    for outcome in report.outcomes:
        if outcome.kind == "taken":
            yield say("add.line", photo=outcome.sha256[:12], name=outcome.path.name)
            for note in outcome.notes:
                yield f"    {note}"
    yield say("add.summary", **report.counts())


@click.command("add", help=say("help.add"))
@JOB
@click.argument(
    "paths", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PATH..."
)
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def add_command(job: Path, paths: tuple[Path, ...], by: str | None, as_json: bool) -> int:
    """Take photos in."""
    from siltline.cli.exits import FINDINGS, FINE, tell  # noqa: PLC0415
    from siltline.cli.progress import Line  # noqa: PLC0415
    from siltline.errors import Refusal  # noqa: PLC0415
    from siltline.job.add import KINDS, Report, add_each  # noqa: PLC0415
    from siltline.job.sketching import draw_missing  # noqa: PLC0415

    report = Report()
    with opened(job) as desk, Line() as line:
        try:
            for _ in add_each(desk, paths, by=by, follow=line, report=report):
                pass
        except (KeyboardInterrupt, Refusal):
            line.clear()
            tell(say("add.stopped", n=len(report.of("taken"))))
            raise
        finally:
            line.clear()
            for told in report.told():
                tell(told)
        draw_missing(desk, line)
    if as_json:
        emit_json({kind: [_told(o) for o in report.of(kind)] for kind in KINDS})
    else:
        emit(_summary(report))
    return FINDINGS if report.of("refused") or report.of("again") else FINE


def _used(photo: dict[str, Any]) -> str:
    if photo["withheld"]:
        return say("photos.withheld-line", because=photo["withheld"]["because"])
    if photo["lost"]:
        return say("photos.lost-line", file=photo["lost"])
    at_nothing = say("photos.clock" if photo["clock_shown"] else "photos.unused")
    return ", ".join(photo["steps"]) or at_nothing


def _photo_line(photo: dict[str, Any]) -> str:
    return say(
        "photos.line",
        photo=photo["sha256"][:12],
        name=photo["name"],
        camera=photo["camera"] or say("photos.no-camera"),
        stamp=photo["stamp"] or say("photos.no-stamp"),
        clock=photo["clock"] or say("photos.unread"),
        used=_used(photo),
    )


def _lines(photo: dict[str, Any]) -> Iterator[str]:
    yield _photo_line(photo)
    if photo["clock_told"]:
        yield f"    {photo['clock_told']}"
    if photo["lat"] is not None:
        yield f"    {photo['place_told']}"
    for note in photo["notes"]:
        yield f"    {note}"
    for double in photo["also_in"]:
        yield f"    {say('photos.same' if double['apart'] is None else 'photos.like', **double)}"


@click.command("photos", help=say("help.photos"))
@JOB
@click.option(
    "--beside",
    "others",
    multiple=True,
    metavar="JOB",
    type=click.Path(path_type=Path),
    help=say("opt.beside"),
)
@json_option
def photos_command(job: Path, others: tuple[Path, ...], as_json: bool) -> None:
    """List the photos."""
    from siltline.cli.progress import Line  # noqa: PLC0415
    from siltline.job.add import read_again  # noqa: PLC0415
    from siltline.job.beside import also_in  # noqa: PLC0415
    from siltline.job.pictures import describe  # noqa: PLC0415
    from siltline.job.sketching import draw_missing  # noqa: PLC0415

    with opened(job) as desk, Line() as line:
        read_again(desk, follow=line)
        draw_missing(desk, line)
        photos = describe(desk)
        doubles = [double for other in others for double in also_in(desk, other, line)]
    for photo in photos:
        mine = [double for double in doubles if double.photo == photo["sha256"]]
        photo["also_in"] = [{"file": d.file, "name": d.name, "apart": d.apart} for d in mine]
    if as_json:
        emit_json(photos)
    else:
        emit(text for photo in photos for text in _lines(photo))


@click.command("attach", help=say("help.attach"))
@JOB
@click.argument("step", metavar="STEP")
@click.argument("photo", metavar="PHOTO")
@click.option("--as", "role", metavar="ROLE", help=say("opt.as"))
@click.option("--spot", default="", metavar="NAME", help=say("opt.spot"))
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def attach_command(
    job: Path, step: str, photo: str, as_json: bool, role: str | None, by: str | None, spot: str
) -> None:
    """Attach a photo to a step."""
    from siltline.cli.acts import told_step  # noqa: PLC0415
    from siltline.job.acts import attach  # noqa: PLC0415

    with opened(job) as desk:
        chosen, new = attach(desk, step, photo, role=role, spot=spot, by=by)
        told = say("attach.done" if new else "attach.there", role=chosen)
        told_step(desk, desk.step(step), as_json, told)


@click.command("detach", help=say("help.detach"))
@JOB
@click.argument("step", metavar="STEP")
@click.argument("photo", metavar="PHOTO")
@click.option("--by", metavar="NAME", help=say("opt.by"))
@json_option
def detach_command(job: Path, step: str, photo: str, by: str | None, as_json: bool) -> None:
    """Take a photo off a step."""
    from siltline.cli.acts import told_step  # noqa: PLC0415
    from siltline.job.acts import detach  # noqa: PLC0415

    with opened(job) as desk:
        detach(desk, step, photo, by=by)
        told_step(desk, desk.step(step), as_json, say("detach.done"))
