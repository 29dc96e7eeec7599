"""Is the file whole, is what was derived from it true, and is it the record of a number?"""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from siltline import __version__
from siltline.errors import Broken, Refusal
from siltline.job.add import misread
from siltline.job.desk import Job, open_job
from siltline.job.losses import gone
from siltline.progress import QUIET, Follower
from siltline.record.audit import faults
from siltline.record.connect import told
from siltline.record.derived import about, step_rows
from siltline.record.number import read_number, record_number
from siltline.sentences import say

NUMBERED = ("handed-off", "signed-off")


class Verdict(Struct, frozen=True):
    """What verifying found.

    Attributes:
        faults: what is wrong, in words; empty where the file is whole.
        number: exact (the record ends there), more (it holds that record and more), other
            (it does not hold it), unknown (the file is damaged), or "" where no number was given.
        lost: what was lost with a damaged file that this one was salvaged from, in words; it is
            no fault of this file.
    """

    faults: tuple[str, ...]
    number: str = ""
    lost: tuple[str, ...] = ()


def numbers(job: Job) -> dict[str, str]:
    """Return record number -> event, of every hand-off and sign-off."""
    return {record_number(e.id): e.id for e in job.record.events if e.kind in NUMBERED}


def _derived_faults(job: Job, follow: Follower) -> list[str]:
    """Compare what is derived with the record, if this very engine made it; else make it again."""
    made, there = job.record.derived(about), job.record.derived(step_rows)
    if made.get("upon") and made["upon"] not in {event.id for event in job.record.events}:
        return [say("verify.upon")]  # nobody else would miss entries that were removed at the end
    if made.get("engine") != __version__ or not there:
        try:
            with job.acting():
                pass
        except Refusal:
            return []  # read-only: it is made again where it can be
        return []
    wanted = job.step_rows()
    differs = sorted(s for s in there.keys() | wanted.keys() if there.get(s) != wanted.get(s))
    found = [say("verify.derived", step=differs[0], n=len(differs))] if differs else []
    odd = misread(job, follow)
    return [*found, say("verify.derived-photo", photo=odd[0][:12], n=len(odd))] if odd else found


def ensure_whole(job: Job, follow: Follower = QUIET) -> None:
    """Refuse to go on with a job file that is not whole.

    Raises:
        Broken: names the first fault.
    """
    found = faults(job.record.path, follow)
    if found:
        raise Broken(say("verify.refused", fault=found[0]))


def _holds(job: Job, wanted: str) -> str:
    event = numbers(job).get(wanted)
    if event is None:
        return "other"
    return "exact" if job.record.heads == {event} else "more"


def verify(path: Path, number: str | None = None, follow: Follower = QUIET) -> Verdict:
    """Check a job file through and through.

    Args:
        path: the file.
        number: a record number, as it was read out, to look for.
        follow: is told how far it is, and may stop it.

    Raises:
        WrongUse: what was typed is no record number.
        Unreadable: the file cannot be opened as a job at all.
    """
    wanted = read_number(number) if number is not None else None
    found = faults(path, follow)
    unknown = "unknown" if wanted else ""
    damaged = bool(found)
    try:
        job = open_job(path)
    except Refusal as fault:
        return Verdict(tuple(found or [str(fault)]), unknown)
    try:
        if not found:
            with told(path):
                found = _derived_faults(job, follow)
        held = _holds(job, wanted) if wanted and not damaged else unknown
        lost = [say("verify.lost", what=what[:12], file=file) for what, file in gone(job).items()]
    finally:
        job.close()
    return Verdict(tuple(found), held, tuple(lost))
