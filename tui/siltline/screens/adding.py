"""Takes photos in for the screen: stoppable between two of them."""

from __future__ import annotations

from collections import deque
from contextlib import suppress
from pathlib import Path

from siltline.job import Job
from siltline.job.add import Report, add_each
from siltline.job.sketching import draw_missing
from siltline.progress import Follower, Stopped


def take_in(job: Job, typed: str, by: str | None, follow: Follower) -> tuple[Report, bool]:
    """Take in the photos of a file or folder that a person typed, then draw them.

    Returns:
        What became of each file, and whether all were gone through; what was taken in before a
        stop is kept and reported.
    """
    path = Path(typed.strip().strip('"')).expanduser()  # a dropped file comes in quotes
    report = Report()
    with suppress(Stopped):
        deque(add_each(job, [path], by=by, follow=follow, report=report), maxlen=0)
        draw_missing(job, follow)
    return report, not report.waiting
