"""read, air: what was read at points and of the air, in rounds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline import times
from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.errors import NotNow, WrongUse
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job

BY = click.option("--by", default="", metavar="NAME", help=say("opt.read-by"))
METER = click.option("--meter", default="", metavar="NAME", help=say("opt.read-meter"))
WHEN = click.option("--when", default="", metavar="TIME", help=say("opt.read-when"))
SURE = click.option("--sure", is_flag=True, help=say("opt.read-sure"))
NOTE = click.option("--note", default="", metavar="T", help=say("opt.read-note"))


@contextmanager
def _sure_by_option() -> Iterator[None]:
    """Tell how a command says that numbers which surprise are meant."""
    from siltline.job.odd import Odd  # noqa: PLC0415

    try:
        yield
    except Odd as fault:
        raise NotNow(f"{fault} {say('read.sure')}") from fault


def _ensure_by(by: str) -> None:
    """Refuse what nobody is named to have read."""
    if not by.strip():
        raise WrongUse(say("read.by"))


def _counted(desk: Job, told: Mapping[str, Any]) -> list[str]:
    """Return what a meter and a temperature of the wood made of the numbers, if that is odd."""
    from siltline.job.rounds import as_read, corrects_nothing  # noqa: PLC0415

    used = told["meter"], told["temp"]
    lines = as_read(desk, *used)
    return [*lines, say("read.uncorrected")] if corrects_nothing(desk, *used) else lines


@click.command("read", help=say("help.read"))
@JOB
@click.argument("values", nargs=-1, metavar="[POINT=VALUE]...")
@click.option(
    "--csv", "table", type=click.Path(path_type=Path), metavar="FILE", help=say("opt.read-csv")
)
@METER
@click.option("--temp", default="", metavar="55F", help=say("opt.read-temp"))
@WHEN
@SURE
@BY
@NOTE
@json_option
def read_command(
    job: Path, values: tuple[str, ...], table: Path | None, as_json: bool, **told: Any
) -> None:
    """Record a round of readings, or list the points with their last values."""
    from siltline.cli.points import listed  # noqa: PLC0415
    from siltline.cli.rounds_file import rounds_of  # noqa: PLC0415
    from siltline.job.rounds import Round, read_rounds  # noqa: PLC0415

    if values and table is not None:
        raise WrongUse(say("read.one-way"))
    if values or table is not None:
        _ensure_by(told["by"])
    elif any(told.values()):
        raise WrongUse(say("read.none-typed"))
    when = told.pop("when")
    with opened(job) as desk:
        rounds = [Round(when, _typed(values))] if values else []
        if table is not None:
            rounds = rounds_of(table, desk, when)
        if rounds:
            with _sure_by_option():
                odd = [one for there in read_rounds(desk, rounds, **told) for one in there]
            kept = say("read.kept", n=sum(len(one.values) for one in rounds))
            emit([] if as_json else [*odd, kept, *_counted(desk, told)])
        listed(desk, as_json)


def _typed(values: tuple[str, ...]) -> dict[str, str]:
    from siltline.judge.register import key_of  # noqa: PLC0415

    found: dict[str, str] = {}
    for value in values:
        point, equals, number = value.partition("=")
        if not equals or not point.strip() or not number.strip():
            raise WrongUse(say("read.how", value=value))
        if key_of(point) in map(key_of, found):
            raise WrongUse(say("read.twice", name=point.strip()))
        found[point.strip()] = number.strip()
    return found


@click.command("air", help=say("help.air"))
@JOB
@click.option("--affected", default="", metavar="72F/58%", help=say("opt.air-affected"))
@click.option("--unaffected", default="", metavar="70F/45%", help=say("opt.air-unaffected"))
@click.option("--outside", default="", metavar="60F/50%", help=say("opt.air-outside"))
@click.option("--outlet", default="", metavar="85F/25%", help=say("opt.air-outlet"))
@click.option("--place", default="", metavar="ROOM", help=say("opt.air-place"))
@click.option("--surface", default="", metavar="55F", help=say("opt.air-surface"))
@METER
@WHEN
@SURE
@BY
@NOTE
@json_option
def air_command(
    job: Path, place: str, surface: str, as_json: bool,
    affected: str, unaffected: str, outside: str, outlet: str, **told: Any,
) -> None:  # fmt: skip
    """Record the air of the day, or list what was read."""
    from siltline.job.drying import outside_told  # noqa: PLC0415
    from siltline.job.rounds import air_typed, read_air  # noqa: PLC0415

    typed = {"affected": affected, "unaffected": unaffected, "outside": outside, "outlet": outlet}
    airs = [air_typed(name, value, place, surface) for name, value in typed.items() if value]
    if surface and not affected:
        raise WrongUse(say("air.surface-of"))
    if airs:
        _ensure_by(told["by"])
    elif any(told.values()):
        raise WrongUse(say("air.none-typed"))
    with opened(job) as desk:
        with _sure_by_option():
            odd = read_air(desk, airs, **told) if airs else []
        read = desk.board.ledger.airs
        of = read[-1].at if airs else ""  # what was recorded just now may be of yesterday
        found = sorted(read, key=lambda one: times.read(one.at))
        keys = ("air", "place", "temp", "rh", "surface", "at", "by", "meter")
        plain = [{key: getattr(one, key) for key in keys} for one in found]
        if as_json:
            emit_json(plain)
            return
        shown = [
            {**one, "at": desk.shown(one["at"]), "place": one["place"] or "-"} for one in plain
        ]
        emit([*odd, *([say("air.line", **one) for one in shown] or [say("air.none")])])
        emit(outside_told(desk, place, of))
