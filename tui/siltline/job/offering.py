"""Photos offered for the steps of an open job, and steps for its photos."""

from __future__ import annotations

from siltline.errors import Refusal
from siltline.job.desk import Job
from siltline.job.losses import gone
from siltline.job.pictures import seen
from siltline.judge.offering import Offering


def offering(job: Job) -> Offering:
    """Return what can be offered as the job stands now.

    Where the drive does not give what the files say, the order of their names is all there is.
    """
    try:
        known = seen(job)
    except Refusal:
        known = {}
    return Offering(job.board, known, job.clock(), gone(job))
