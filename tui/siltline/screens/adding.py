"""Takes photos in for the screen: in a thread, with a connection of its own, stoppable."""

from __future__ import annotations

from pathlib import Path

from textual.worker import get_current_worker

from siltline.job import Job, open_job
from siltline.job.add import Report, add_each


def take_in(job: Job, typed: str, by: str | None) -> Report:
    """Take in the photos of a file or folder that a person typed; run it in a worker thread.

    What was taken in before the worker is cancelled is kept and reported.
    """
    path = Path(typed.strip().strip('"')).expanduser()  # a dropped file comes in quotes
    report = Report()
    mine = get_current_worker()
    own = open_job(job.record.path, job.clock, job.device)
    try:
        for outcome in add_each(own, [path], by=by):
            report.outcomes.append(outcome)
            if mine.is_cancelled:
                break
    finally:
        own.close()
    return report
