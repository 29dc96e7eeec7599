"""The tour: a sample job laid out in a folder, its recorded day replayed to a claim."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from siltline import config, resources, times
from siltline.claim.folder import write_claim
from siltline.errors import Unreadable, WrongUse, why
from siltline.job.begin import begin
from siltline.job.close_out import hand_off, review
from siltline.job.replay import StoppedClock, moment, read_day, replay
from siltline.rules.files import house_from, text_of
from siltline.sentences import say
from siltline.whole import whole_folder

JOB_NAME = "heron-bend.siltline"
CLAIM_NAME = "claim"


class Told(Struct, frozen=True):
    """A line for the person on tour, and the job once it is there."""

    text: str
    job: Path | None = None


def lay_out(folder: Path) -> Iterator[Told]:
    """Lay the tour out in a folder, or find it there again as it was left.

    Everything is made beside the folder first and moved into place when it is whole, so that a
    tour that was stopped leaves nothing half done.

    Raises:
        WrongUse: the folder holds something else; it is left as it is.
        Unreadable: the folder cannot be made.
    """
    folder = folder.absolute()
    if (folder / JOB_NAME).is_file():
        yield Told(say("tour.again", folder=folder), folder / JOB_NAME)
        return
    try:
        with whole_folder(folder) as part:
            sample = resources.folder("sample_job")
            shutil.copytree(sample, part, ignore=_not_for_people, dirs_exist_ok=True)
            yield from _live(part)
    except FileExistsError as fault:
        raise WrongUse(say("tour.taken", folder=folder)) from fault
    except OSError as fault:
        raise Unreadable(say("tour.cannot", folder=folder, fault=why(fault))) from fault
    yield Told(say("tour.where", folder=folder))
    for name in (JOB_NAME, f"{CLAIM_NAME}/report.pdf", "house.yaml", "photos"):
        yield Told(say(f"tour.{name.rsplit('/')[-1].split('.')[-1]}", path=folder / name))
    next_one = {"command": config.command(), "job": folder / JOB_NAME}
    yield Told(say("tour.next", **next_one), folder / JOB_NAME)


def _not_for_people(_: str, names: list[str]) -> set[str]:
    """Leave out of the copy what only draws the photos, and the picture of the README."""
    ours = ("drawing", "__pycache__", "screen.svg")
    return {name for name in names if name.endswith(".py") or name in ours}


def _live(part: Path) -> Iterator[Told]:
    """Begin the sample job, replay its day, review, hand off, write the claim."""
    day = read_day(part / "day.yaml")
    house, _ = house_from(text_of(part / "house.yaml"), "house.yaml")
    site = times.zone(house.time_zone or "")
    clock = StoppedClock(moment(day.acts[0].at, site))
    job = begin(part / "house.yaml", part / JOB_NAME, by=day.lead, clock=clock, device=day.device)
    try:
        yield Told(say("tour.begun", house=house.house, n=len(job.board.plan.steps)))
        done = sum(1 for _ in replay(job, day, part / "photos", clock))
        yield Told(say("tour.lived", n=done, photos=len(job.board.ledger.photos)))
        yield Told(say("tour.reviewed", n=len(review(job))))
        clock.time = moment(day.handoff.at, site)
        hand_off(job, giver=day.handoff.from_, taker=day.handoff.to)
        yield Told(say("tour.handed", giver=day.handoff.from_, taker=day.handoff.to))
        write_claim(job, part / CLAIM_NAME)
    finally:
        job.close()
