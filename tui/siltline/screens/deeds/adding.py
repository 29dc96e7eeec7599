"""Photos taken in from the desk: stoppable between two of them."""

from __future__ import annotations

from collections import deque
from contextlib import suppress
from pathlib import Path

from siltline.job import Job
from siltline.job.add import Report, add_each
from siltline.job.sketching import draw_missing
from siltline.progress import Follower, Stopped
from siltline.screens.field import Field, Typed
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


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


async def add_photos(desk: WorkingDesk) -> None:
    """Take photos in from a file or a folder; keys go on working meanwhile."""

    def ready(_: Typed) -> None:
        desk.ensure_may_work()

    fields = [Field("path", say("form.path"))]
    hint = say("form.add-hint")
    typed = await desk.ask(say("form.add"), fields, hint, act=ready, name="add")
    if typed is None:
        return
    by = desk.person or None
    came = await desk.work_on(lambda job, follow: take_in(job, typed["path"], by, follow))
    if came is None:
        return
    report, whole = came
    stopped = say("add.stopped", n=len(report.of("taken")))
    desk.changed(say("add.summary", **report.counts()) if whole else stopped)
    for told in report.told():
        desk.notify(told, markup=False, severity="warning", timeout=8)
