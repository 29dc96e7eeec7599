"""offer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.offering import Offer, Offering

MOST = 10  # more is read by nobody who did not ask for all


def _facts(found: Offering, offer: Offer) -> dict[str, Any]:
    from siltline.judge.offer_words import because  # noqa: PLC0415

    return {
        "photo": offer.photo,
        "name": found.board.ledger.photos[offer.photo].name,
        "step": offer.step,
        "as": offer.role,
        "because": because(found, offer),
        "clear": offer.clear,
        "used": list(offer.used),
    }


def _lines(facts: list[dict[str, Any]], rest: int, of_steps: bool) -> Iterator[str]:
    for one in facts:
        told = {"role": one["as"], "because": one["because"]}
        if of_steps:
            yield say("offer.step-line", step=one["step"], **told)
        else:
            yield say("offer.line", photo=one["photo"][:12], name=one["name"], **told)
    if rest:
        yield say("offer.more", n=rest)
    if not facts:
        yield say("offer.no-step" if of_steps else "offer.no-photo")


@click.command("offer", help=say("help.offer"))
@JOB
@click.argument("step", required=False, metavar="STEP")
@click.option("--photo", metavar="PHOTO", help=say("opt.offer-photo"))
@click.option("--all", "everything", is_flag=True, help=say("opt.offer-all"))
@json_option
def offer_command(
    job: Path, step: str | None, photo: str | None, everything: bool, as_json: bool
) -> None:
    """Offer photos for a step, or steps for a photo."""
    from siltline.errors import WrongUse  # noqa: PLC0415
    from siltline.job.acts import find_photo  # noqa: PLC0415
    from siltline.job.add import read_again  # noqa: PLC0415
    from siltline.job.offering import offering  # noqa: PLC0415

    if (step is None) == (photo is None):
        raise WrongUse(say("offer.name-one"))
    with opened(job) as desk:
        read_again(desk)
        found = offering(desk)
        if photo is not None:
            offers = found.steps(find_photo(desk, photo))
        else:
            offers = found.photos(desk.step(step or "").step.id)
        shown = offers if everything or as_json else offers[:MOST]
        facts = [_facts(found, offer) for offer in shown]
    if as_json:
        emit_json(facts)
    else:
        emit(_lines(facts, len(offers) - len(shown), photo is not None))
