"""Puts the work of several laptops together: nothing is lost, nothing decides by itself."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from siltline import config, times
from siltline.errors import Broken, Refusal, Unreadable, WrongUse
from siltline.job.desk import Job
from siltline.record import Record, open_record
from siltline.record.connect import located, with_ending
from siltline.record.joining import Joined, of_one_job, open_whole, take_new
from siltline.record.making import copy_record
from siltline.sentences import say


def _all_taken(
    merged: Record, records: Sequence[Record], clock: times.Clock, device: str
) -> tuple[Job, Joined]:
    """Bring all that is new into an open record; it is closed where that fails."""
    events = photos = 0
    try:
        for record in records:
            joined = take_new(merged, record)
            events, photos = events + joined.events, photos + joined.photos
        # only now: a salvaged file may have its plan from another
        job = Job(merged, clock, device)
        with suppress(Refusal), job.acting():
            pass  # writes the step table, and brings the second copy up; each act does that too
    except BaseException:
        merged.close()
        raise
    return job, Joined(events, photos)


def merge(
    sources: Sequence[Path],
    into: Path,
    *,
    clock: times.Clock = times.now,
    device: str | None = None,
) -> tuple[Job, Joined]:
    """Bring everything of some job files into one, which may be there, and even open, already.

    The result is the same in whatever order, and however often, files are put together.

    Returns:
        The job, open, and how many entries and photos were new to it.

    Raises:
        WrongUse: they are not of one job.
        Broken: one of them is not whole; nothing was taken from any of them.
        Unreadable: one cannot be read, or the result cannot be written.
    """
    records: list[Record] = []
    try:
        for path in sources:
            records.append(open_whole(located(path)))  # noqa: PERF401 - closed if a later one fails
        for record in records[1:]:
            if not of_one_job(records[0], record):
                names = {"one": records[0].path.name, "other": record.path.name}
                raise WrongUse(say("merge.different", **names))
        target = located(into)
        if not target.exists():
            target = with_ending(into)
            copy_record(records[0].connection, target)
        try:
            return _all_taken(open_record(target), records, clock, device or config.device())
        except (Broken, Unreadable) as fault:
            raise type(fault)(say("merge.stopped", into=target.name, because=fault)) from fault
    finally:
        for record in records:
            record.close()
