"""Puts the work of several laptops together: nothing is lost, nothing decides by itself."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from siltline import config, times
from siltline.errors import WrongUse
from siltline.job.desk import Job
from siltline.record import Record, open_record
from siltline.record.connect import located, told, with_ending
from siltline.record.joining import Joined, of_one_job, open_whole, take_new
from siltline.record.making import sync_folder
from siltline.sentences import say


def _copied(source: Record, path: Path) -> None:
    """Begin the file that all goes into as a copy of the first, under its name when it is whole."""
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        target = sqlite3.connect(part)
        try:
            with told(source.path):
                source.connection.backup(target)
        finally:
            target.close()
        with path.open("xb"):
            pass  # takes the name
        part.replace(path)
        sync_folder(path.absolute().parent)
    finally:
        with suppress(OSError):
            part.unlink()


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
            _copied(records[0], target)
        merged = open_record(target)
        try:
            events = photos = 0
            for record in records:
                joined = take_new(merged, record)
                events, photos = events + joined.events, photos + joined.photos
            # only now: a salvaged file may have its plan from another
            job = Job(merged, clock, device or config.device())
            with job.acting():
                pass  # writes the step table, and brings the second copy up
        except BaseException:
            merged.close()
            raise
        return job, Joined(events, photos)
    finally:
        for record in records:
            record.close()
