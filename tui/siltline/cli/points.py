"""point, meter, drying: where is measured, with what, and how dry that is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.errors import WrongUse
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.judge.drying import Verdict
    from siltline.judge.points import Point
    from siltline.judge.references import Reference

BY = click.option("--by", default="", metavar="NAME", help=say("opt.by"))
WIDEST = 72  # columns of a chart


def _line(desk: Job, one: Point) -> dict[str, Any]:
    from siltline.judge.measured import readings_at  # noqa: PLC0415

    read = readings_at(desk.board.ledger, one.name)
    return {
        "point": one.name,
        "place": one.place,
        "reads": one.reads,
        "where": one.where,
        "material": one.material,
        "depth": one.depth,
        "height": one.height,
        "reference": one.reference,
        "newest": read[-1].value if read else "",
        "at": read[-1].at if read else "",
        "readings": len(read),
    }


def listed(desk: Job, as_json: bool) -> None:
    """Print the points in the order of a round, each with its last value."""
    from siltline.judge.measured import points_of  # noqa: PLC0415

    found = [_line(desk, one) for one in points_of(desk.board.ledger)]
    if as_json:
        emit_json(found)
        return
    unread = say("dry.unread")
    shown = [
        {
            **one,
            "where": one["where"] or "-",
            "newest": one["newest"] or unread,
            "at": desk.shown(one["at"]) if one["at"] else "",
        }
        for one in found
    ]
    keys = ["point.line-reference" if one["reference"] else "point.line" for one in found]
    lines = [say(key, **one).rstrip() for key, one in zip(keys, shown, strict=True)]
    emit(lines or [say("point.none")])


@click.command("point", help=say("help.point"))
@JOB
@click.argument("step", required=False, default="", metavar="[STEP]")
@click.argument("name", required=False, default="", metavar="[NAME]")
@click.option("--where", default="", metavar="TEXT", help=say("opt.point-where"))
@click.option("--material", default="", metavar="stud", help=say("opt.point-material"))
@click.option("--depth", default="", metavar="0.5in", help=say("opt.point-depth"))
@click.option("--height", default="", metavar="4in", help=say("opt.point-height"))
@click.option("--reads", default="", metavar="READING", help=say("opt.point-reads"))
@click.option("--air", default="", metavar="ROOM", help=say("opt.point-air"))
@click.option("--reference/--no-reference", default=None, help=say("opt.point-reference"))
@BY
@json_option
def point_command(
    job: Path, step: str, name: str, reference: bool | None, by: str, as_json: bool, **told: str
) -> None:
    """List the measuring points of a job, or set one up."""
    from siltline.job.points import add_point  # noqa: PLC0415
    from siltline.judge.register import key_of  # noqa: PLC0415

    if not step and (reference is not None or by or any(told.values())):
        raise WrongUse(say("point.which-step"))
    with opened(job) as desk:
        if step:
            anew = key_of(name) in desk.board.ledger.points
            point = add_point(desk, step, name, reference=reference, by=by, **told)
            key = {"name": point.name, "place": point.place}
            kept = say("point.anew" if anew else "point.kept", **key)
            emit([] if as_json else [kept])
        if as_json or not step:
            listed(desk, as_json)


@click.command("meter", help=say("help.meter"))
@JOB
@click.option("--add", "name", default="", metavar="NAME", help=say("opt.meter"))
@click.option("--tolerance", default="", metavar="1%", help=say("opt.meter-tolerance"))
@click.option("--resolution", default="", metavar="0.5%", help=say("opt.meter-resolution"))
@click.option("--checked", default="", metavar="DAY", help=say("opt.meter-checked"))
@click.option("--corrects", default="", metavar="yes|no", help=say("opt.meter-corrects"))
@BY
@json_option
def meter_command(job: Path, name: str, by: str, as_json: bool, **told: str) -> None:
    """List the meters of a job, or put one into its register."""
    from siltline.job.points import add_meter, meter_told  # noqa: PLC0415
    from siltline.judge.measured import meters_of  # noqa: PLC0415

    if not name.strip() and (by or any(told.values())):
        raise WrongUse(say("meter.add-which"))
    with opened(job) as desk:
        if name.strip():
            add_meter(desk, name, by=by, **told)
        found = meters_of(desk.board.ledger)
    if as_json:
        keys = ("name", "tolerance", "resolution", "checked", "corrects")
        emit_json([{key: getattr(one, key) for key in keys} for one in found])
    else:
        lines = [say("meter.line", **meter_told(one)) for one in found]
        emit(lines or [say("meter.none")])


def _looked_at(desk: Job, name: str) -> tuple[list[Verdict], list[Reference]]:
    """Return how all points stand, or the one that is named; unaffected wood apart."""
    from siltline.job.points import point_named  # noqa: PLC0415
    from siltline.judge.drying import beside, verdict, verdicts  # noqa: PLC0415

    one = point_named(desk, name) if name else None
    if one is not None and not one.reference:
        return [verdict(desk.board, one)], []
    every = verdicts(desk.board, dated=one is None)
    dry = beside(desk.board, every)
    return (every, dry) if one is None else ([], [d for d in dry if d.point == one])


@click.command("drying", help=say("help.drying"))
@JOB
@click.option("--point", "name", default="", metavar="NAME", help=say("opt.drying-point"))
@click.option("--ascii", "plain", is_flag=True, help=say("opt.calc.ascii"))
@json_option
def drying_command(job: Path, name: str, plain: bool, as_json: bool) -> None:
    """Tell how dry each point is, when it will be, or why no day can be told; draw one."""
    import shutil  # noqa: PLC0415
    import sys  # noqa: PLC0415

    from siltline.cli.calc_wood import draws_blocks  # noqa: PLC0415
    from siltline.job import references  # noqa: PLC0415
    from siltline.job.drying import drawn, plainly, told  # noqa: PLC0415
    from siltline.science.chart import BLOCKS, PLAIN  # noqa: PLC0415

    with opened(job) as desk:
        found, dry = _looked_at(desk, name)
        if as_json:
            emit_json(
                [plainly(one, desk) for one in found] + [references.plainly(d, desk) for d in dry]
            )
            return
        emit([] if found or dry else [say("point.none")])
        for one in found:
            emit(told(desk, one))
        emit(references.told(desk, one) for one in dry)
        if name and found:
            plain = plain or not draws_blocks(sys.stdout.encoding)
            columns = shutil.get_terminal_size().columns
            chart = drawn(found[0], (min(WIDEST, columns), 18), PLAIN if plain else BLOCKS)
            legend = say("drying.legend-plain" if plain else "drying.legend")
            emit(["", *chart, *wrapped(legend, "", columns)] if chart else [])
