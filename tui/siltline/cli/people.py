"""people, product, contents: the register of a job, and what belongs to the household."""

from __future__ import annotations

from pathlib import Path

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say


@click.command("people", help=say("help.people"))
@JOB
@click.option("--add", "name", default="", metavar="NAME", help=say("opt.person"))
@click.option("--trade", default="", metavar="T", help=say("opt.trade"))
@click.option("--licence", default="", metavar="L", help=say("opt.licence"))
@click.option("--by", default="", metavar="NAME", help=say("opt.by"))
@json_option
def people_command(job: Path, name: str, trade: str, licence: str, by: str, as_json: bool) -> None:
    """List the people of a job, or put one into its register."""
    from siltline.job.people import add_person, people  # noqa: PLC0415

    with opened(job) as desk:
        if name or trade or licence:
            new = add_person(desk, name, trade=trade, licence=licence, by=by)
            emit([] if as_json else [say("people.added" if new else "people.there", name=name)])
        found = people(desk)
    told = [{"name": one.name, "trade": one.trade, "licence": one.licence} for one in found]
    if as_json:
        emit_json(told)
    elif not name:
        emit([say("people.line", **one) for one in told] or [say("people.none")])


@click.command("product", help=say("help.product"))
@JOB
@click.option("--add", "name", default="", metavar="NAME", help=say("opt.product"))
@click.option("--registration", default="", metavar="NO", help=say("opt.registration"))
@click.option("--photo", default="", metavar="PHOTO", help=say("opt.label-photo"))
@click.option("--by", default="", metavar="NAME", help=say("opt.by"))
@json_option
def product_command(
    job: Path, name: str, registration: str, photo: str, by: str, as_json: bool
) -> None:
    """List the products of a job, or put one into its register."""
    from siltline.job.people import add_product, products  # noqa: PLC0415

    with opened(job) as desk:
        if name or registration or photo:
            new = add_product(desk, name, registration=registration, photo=photo, by=by)
            emit([] if as_json else [say("people.added" if new else "people.there", name=name)])
        found = products(desk)
    told = [
        {"name": one.name, "registration": one.registration, "photo": one.photo} for one in found
    ]
    if as_json:
        emit_json(told)
    elif not name:
        emit([say("product.line", **one) for one in told] or [say("product.none")])


@click.command("contents", help=say("help.contents"))
@JOB
@click.option("--add", "name", default="", metavar="NAME", help=say("opt.thing"))
@click.option("--kind", default="", metavar="KIND", help=say("opt.thing-kind"))
@click.option("--where", default="", metavar="ROOM", help=say("opt.thing-where"))
@click.option("--height", default="", metavar="4in", help=say("opt.thing-height"))
@click.option("--wet", default="", metavar="yes|no", help=say("opt.thing-wet"))
@click.option("--quantity", default="", metavar="N", help=say("opt.thing-quantity"))
@click.option("--value", default="", metavar="$40", help=say("opt.thing-value"))
@click.option("--photo", default="", metavar="PHOTO|FILE", help=say("opt.thing-photo"))
@click.option("--by", default="", metavar="NAME", help=say("opt.found-by"))
@click.option("--note", default="", metavar="T", help=say("opt.note"))
@click.option("--take", is_flag=True, help=say("opt.take"))
@json_option
def contents_command(
    job: Path, name: str, where: str, photo: str, by: str, note: str, take: bool, as_json: bool,
    **facts: str,
) -> None:  # fmt: skip
    """List the belongings of a job, or enter one."""
    from siltline.cli.laying import told_changes  # noqa: PLC0415
    from siltline.job.belongings import GROUP, enter, places_of, where_of  # noqa: PLC0415
    from siltline.job.laying import sheet_as_it_stands  # noqa: PLC0415

    with opened(job) as desk:
        if name:
            known = {**facts, **where_of(places_of(desk), where)}
            done = enter(desk, name, known, by=by, note=note, photo=photo, take=take)
            told_changes(done.changes, take=take, as_json=as_json)
            emit([] if as_json else [say("contents.photo", step=step) for step in done.steps])
            return
        sheet = sheet_as_it_stands(desk)
    found = {path: value for path, value in sheet.items() if path.split(".")[0] == GROUP}
    if as_json:
        emit_json(found)
    else:
        emit(f"{path}={value}" for path, value in found.items())
