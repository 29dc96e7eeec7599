"""wet: contact times, begun, looked at, wetted again, ended; without a step, what runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job
    from siltline.judge.contact import Standing


def _flag(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _which(step: str | None, told: dict[str, str | bool]) -> str:
    """Return which act is meant: begin, or one of the flags; refuse what does not go together."""
    from siltline.errors import WrongUse  # noqa: PLC0415

    acts = [name for name in ("seen", "again", "end", "dried") if told[name]]
    if step is None and any(told.values()):
        raise WrongUse(say("wet.which-step"))
    if len(acts) > 1:
        raise WrongUse(say("wet.one-act", acts=", ".join(map(_flag, acts))))
    if told["goes_on"] and acts != ["again"]:
        raise WrongUse(say("wet.goes-with", option="--goes-on", act="--again"))
    if acts and (told["minutes"] or told["product"]):
        raise WrongUse(say("wet.only-begin", act=_flag(acts[0])))
    return acts[0] if acts else "begin"


def _acted(desk: Job, step: str, act: str, told: dict[str, str | bool]) -> Standing:
    from siltline.job import contact  # noqa: PLC0415

    by = str(told["by"])
    if act == "begin":
        minutes, product = str(told["minutes"]), str(told["product"])
        return contact.begin_wet(desk, step, by=by, minutes=minutes, product=product)
    if act == "seen":
        return contact.seen_wet(desk, step, by=by)
    if act == "again":
        return contact.wet_again(desk, step, by=by, goes_on=bool(told["goes_on"]))
    return contact.end_wet(desk, step, by=by, dried=act == "dried")


@click.command("wet", help=say("help.wet"))
@JOB
@click.argument("step", metavar="[STEP]", required=False)
@click.option("--minutes", default="", metavar="10", help=say("opt.wet-minutes"))
@click.option("--product", default="", metavar="NAME", help=say("opt.wet-product"))
@click.option("--seen", is_flag=True, help=say("opt.wet-seen"))
@click.option("--again", is_flag=True, help=say("opt.wet-again"))
@click.option("--goes-on", is_flag=True, help=say("opt.wet-goes-on"))
@click.option("--end", is_flag=True, help=say("opt.wet-end"))
@click.option("--dried", is_flag=True, help=say("opt.wet-dried"))
@click.option("--by", default="", metavar="NAME", help=say("opt.wet-by"))
@json_option
def wet_command(job: Path, step: str | None, as_json: bool, **told: str | bool) -> None:
    """Begin a contact time, say how the surface was found, end it; or list what runs."""
    from siltline.job import contact  # noqa: PLC0415

    act = _which(step, told)
    with opened(job) as desk:
        if step is None:
            found = contact.going(desk)
            if as_json:
                emit_json([contact.tells(one) for one in found])
            else:
                emit([contact.line(desk, one) for one in found] or [say("wet.none")])
            return
        one = _acted(desk, step, act, told)
        if as_json:
            emit_json(contact.tells(one))
            return
        emit(contact.cautions() if act == "begin" else [])
        emit([contact.told(desk, one)])
