"""The review, the hand-off between shifts and the sign-off at the end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from siltline.errors import NotNow, WrongUse
from siltline.job.deadlines import deadlines_of, site_zone
from siltline.job.desk import Job
from siltline.job.losses import gone
from siltline.job.pictures import seen
from siltline.job.places import places
from siltline.job.said import person
from siltline.job.verifying import ensure_whole
from siltline.judge.board import OPEN_STATES
from siltline.judge.due_words import of_deadlines
from siltline.judge.finding import Finding
from siltline.judge.findings import findings
from siltline.progress import QUIET, Follower
from siltline.record import Event
from siltline.sentences import say


def review(job: Job) -> list[Finding]:
    """Return what stands between this job and its sign-off, gravest first."""
    job.refresh()
    return _found(job)


def _found(job: Job) -> list[Finding]:
    late = tuple(of_deadlines(deadlines_of(job), site_zone(job)))
    return findings(job.board, seen(job), gone(job), places(job), late)


def standing(job: Job, found: list[Finding]) -> Mapping[str, Any]:
    """Return what a hand-off records: how many steps are in each state, and what is open."""
    states = Counter(view.state for view in job.board.steps.values())
    return {
        "states": dict(sorted(states.items())),
        "open": [v.step.id for v in job.board.steps.values() if v.state in OPEN_STATES],
        "findings": [
            {"code": f.code, "weight": f.weight, "step": f.step}
            for f in found
            if f.weight != "note"
        ],
    }


def hand_off(job: Job, *, giver: str, taker: str) -> tuple[Event, list[Finding]]:
    """Hand the job to the next crew; never refused, and complete about what is open.

    Raises:
        WrongUse: a name is missing, or both are one.
    """
    names = person(giver), person(taker)
    if names[0].casefold() == names[1].casefold():
        raise WrongUse(say("handoff.oneself"), about="taker")
    found = review(job)
    with job.acting():
        body = {"to": names[1], **standing(job, found)}
        event = job.append("handed-off", body, names[0])
    return event, found


def ensure_fixed(found: list[Finding]) -> None:
    """Refuse to sign while something must still be fixed.

    Raises:
        NotNow: says how much, and the first of it.
    """
    stands = [finding for finding in found if finding.weight == "must-fix"]
    if stands:
        raise NotNow(say("signoff.refused", n=len(stands), first=stands[0].text))


def sign_off(job: Job, *, by: str, follow: Follower = QUIET) -> Event:
    """Sign the end of the work, once the whole file was hashed.

    Args:
        job: the open job.
        by: who signs.
        follow: is told how far it is, and may stop it before anything is signed.

    Raises:
        WrongUse: no name.
        NotNow: something must still be fixed; says how much.
        Broken: the file is not whole.
    """
    name = person(by)
    ensure_whole(job, follow)
    with job.acting():
        found = _found(job)
        ensure_fixed(found)
        return job.append("signed-off", {**standing(job, found)}, name)
