"""review, handoff, signoff, claim."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from siltline.cli.exits import FINDINGS, FINE
from siltline.cli.opened import opened
from siltline.cli.output import JOB, emit, emit_json, json_option, wrapped
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.finding import Finding


def _lines(found: Iterable[Finding]) -> Iterator[str]:
    for finding in found:
        step = f" {finding.step}" if finding.step else ""
        yield f"{finding.weight}{step}"
        yield from wrapped(finding.text)
        yield from wrapped(finding.remedy)


@click.command("review", help=say("help.review"))
@JOB
@json_option
def review_command(job: Path, as_json: bool) -> int:
    """Tell what stands between this job and its sign-off."""
    from siltline.cli.progress import Line  # noqa: PLC0415
    from siltline.job import tell  # noqa: PLC0415
    from siltline.job.close_out import review  # noqa: PLC0415
    from siltline.job.sketching import draw_missing  # noqa: PLC0415
    from siltline.judge.finding import is_clear  # noqa: PLC0415

    with opened(job) as desk, Line() as line:
        draw_missing(desk, line)
        found = review(desk)
    if as_json:
        emit_json(tell.review(found))
    else:
        emit(_lines(found))
        emit([say("review.clear" if is_clear(found) else "review.open", n=len(found))])
    return FINE if is_clear(found) else FINDINGS


@click.command("handoff", help=say("help.handoff"))
@JOB
@click.option("--from", "giver", required=True, metavar="NAME", help=say("opt.from"))
@click.option("--to", "taker", required=True, metavar="NAME", help=say("opt.to"))
@json_option
def handoff_command(job: Path, giver: str, taker: str, as_json: bool) -> None:
    """Hand the job to the next crew."""
    from siltline.job import tell  # noqa: PLC0415
    from siltline.job.close_out import hand_off  # noqa: PLC0415
    from siltline.job.deadlines import told as deadlines  # noqa: PLC0415
    from siltline.record.number import record_number  # noqa: PLC0415

    with opened(job) as desk:
        event, found = hand_off(desk, giver=giver, taker=taker)
        body = dict(event.body)
        number = record_number(event.id)
        due = deadlines(desk)
        if as_json:
            told = {"id": event.id, "number": number, "at": event.at, "from": event.by, **body}
            emit_json({**told, "review": tell.review(found), "deadlines": due})
            return
        emit([say("handoff.done", giver=giver, taker=taker, at=desk.shown(event.at))])
        emit(
            [say("handoff.states", states=", ".join(f"{n} {s}" for s, n in body["states"].items()))]
        )
        emit([say("handoff.open", n=len(body["open"]))])
        emit(_lines(f for f in found if f.weight != "note"))
        if due:
            emit([say("handoff.deadlines"), *(f"  {one['line']}" for one in due)])
        emit([say("number.is", number=number), say("number.why")])


@click.command("signoff", help=say("help.signoff"))
@JOB
@click.option("--by", required=True, metavar="NAME", help=say("opt.signoff-by"))
@json_option
def signoff_command(job: Path, by: str, as_json: bool) -> None:
    """Sign the end of the work."""
    from siltline.cli.progress import Line  # noqa: PLC0415
    from siltline.job.close_out import sign_off  # noqa: PLC0415
    from siltline.record.number import record_number  # noqa: PLC0415

    with opened(job) as desk:
        with Line() as line:
            event = sign_off(desk, by=by, follow=line)
        if as_json:
            number = record_number(event.id)
            emit_json({"id": event.id, "number": number, "at": event.at, "by": event.by})
        else:
            emit([say("signoff.done", by=by, at=desk.shown(event.at))])
            emit([say("number.is", number=record_number(event.id))])


@click.command("claim", help=say("help.claim"))
@JOB
@click.argument("folder", type=click.Path(path_type=Path), metavar="FOLDER")
@json_option
def claim_command(job: Path, folder: Path, as_json: bool) -> None:
    """Write the folder for the insurer."""
    from siltline.claim.folder import write_claim  # noqa: PLC0415
    from siltline.cli.progress import Line  # noqa: PLC0415

    with opened(job) as desk, Line() as line:
        written = write_claim(desk, folder, line)
    if as_json:
        emit_json({"folder": str(folder), "files": written})
    else:
        emit([say("claim.done", folder=folder, n=len(written))])
