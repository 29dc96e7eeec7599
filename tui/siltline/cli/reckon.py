"""reckon: the computations of a job on the step that they decide; kept with a name."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job import Job


@click.command("reckon", help=say("help.reckon"))
@JOB
@click.argument("step", metavar="STEP")
@click.argument("what", required=False, metavar="[fan|dose|machines]")
@click.argument("given", nargs=-1, metavar="[NAME=VALUE]…")
@click.option("--by", default="", metavar="NAME", help=say("opt.reckon-by"))
@json_option
def reckon_command(
    job: Path, step: str, what: str | None, given: tuple[str, ...], by: str, as_json: bool
) -> None:
    """Tell what was reckoned on a step, or reckon; what was typed is kept with a name."""
    with opened(job) as desk:
        if what is None:
            _told(desk, step, as_json=as_json)
        else:
            _reckoned(desk, step, what, given, by, as_json=as_json)


def _told(desk: Job, step: str, *, as_json: bool) -> None:
    from siltline.job import reckoning  # noqa: PLC0415

    view = desk.step(step)
    found = desk.board.ledger.reckoned.get(view.step.id, [])
    if as_json:
        emit_json([reckoning.plainly(one) for one in found])
        return
    emit(line for one in found for text in reckoning.told(one) for line in wrapped(text, ""))
    if not found:
        asks = ", ".join(view.step.reckons) or say("reckon.nothing")
        emit(wrapped(say("reckon.none", asks=asks), ""))


def _reckoned(
    desk: Job, step: str, what: str, given: tuple[str, ...], by: str, *, as_json: bool
) -> None:
    from siltline.job import reckoning  # noqa: PLC0415
    from siltline.reckon import RECKONINGS, works_out  # noqa: PLC0415

    name = reckoning.named(what)
    told = reckoning.settings(given)
    which = told.get("which", told.get("product"))
    typed = reckoning.on_hand(desk, desk.step(step).step, name, which) | told
    typed = {key: value for key, value in typed.items() if value}
    if not given and not by:
        emit(reckoning.asks_told(name, typed))
        return
    found = reckoning.reckon(desk, step, name, typed, by=by) if by else works_out(name, typed)
    if as_json:
        emit_json({**found.flat, "kept": bool(by)})
        return
    for text in (
        *RECKONINGS[name].told_cautions,
        *reckoning.waits(desk, desk.step(step)),
        *found.warnings,
    ):
        emit(wrapped(text, ""))
    emit(["", *(row for line in found.lines for row in wrapped(line.told, "")), ""])
    emit(wrapped(say("reckon.kept" if by else "reckon.not-kept"), ""))
