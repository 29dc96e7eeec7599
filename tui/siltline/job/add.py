"""Takes photos in: hash, facts, committed, one transaction a photo.

So a pulled card or a killed program loses nothing that was confirmed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from siltline.job.desk import Job
from siltline.photos.headers import READER
from siltline.photos.reader import PhotoReader
from siltline.photos.sources import Found, NotTaken, find, read
from siltline.photos.whole import cut_off, zero_filled
from siltline.record.derived import keep_facts, readers
from siltline.sentences import say
from siltline.text import storable


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one file.

    Attributes:
        path: the file.
        kind: taken, already or refused.
        sha256: of its bytes, "" where it was refused.
        because: why it was refused, "" otherwise.
        notes: what must be said about a photo that was taken in.
    """

    path: Path
    kind: str
    sha256: str = ""
    because: str = ""
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class Report:
    """All outcomes of one adding."""

    outcomes: list[Outcome] = field(default_factory=list)

    def of(self, kind: str) -> list[Outcome]:
        """Return the outcomes of a kind: taken, already or refused."""
        return [outcome for outcome in self.outcomes if outcome.kind == kind]


def _notes(data: bytes, kind: str) -> tuple[str, ...]:
    found = []
    if cut_off(data, kind):
        found.append(say("add.cut-off"))
    if zero_filled(data, kind):
        found.append(say("add.zeros"))
    return tuple(found)


def _keep(
    job: Job, path: Path, sha256: str, data: bytes, facts: dict[str, Any], by: str | None
) -> bool:
    """Commit one photo; False where another program took it in meanwhile."""
    body = {"sha256": sha256, "name": storable(path.name), "bytes": len(data)}
    with job.acting(changes_states=False):
        if not job.record.keep_photo(sha256, data):
            return False
        keep_facts(job.record.connection, sha256, READER, facts)
        job.append("photo", body, by)
    return True


def _one(job: Job, reader: PhotoReader, found: Found, by: str | None) -> Outcome:
    if found.because:
        return Outcome(found.path, "refused", because=found.because)
    try:
        data = read(found.path)
    except NotTaken as reason:
        return Outcome(found.path, "refused", because=str(reason))
    reader.begin(data)  # the worker reads while we hash
    sha256 = hashlib.sha256(data).hexdigest()
    facts = reader.finish()
    if sha256 in job.board.ledger.photos:
        return Outcome(found.path, "already", sha256)
    if "format" not in facts:
        because = say("add.reading-stopped" if facts else "add.no-picture")
        return Outcome(found.path, "refused", because=because)
    notes = _notes(data, facts["format"])
    facts["notes"] = list(notes)
    if not _keep(job, found.path, sha256, data, facts, by):
        return Outcome(found.path, "already", sha256)
    return Outcome(found.path, "taken", sha256, notes=notes)


def add_each(job: Job, paths: Iterable[Path], *, by: str | None = None) -> Iterator[Outcome]:
    """Take photos in one by one; stop asking and nothing more is taken, nothing is lost.

    Args:
        job: the open job.
        paths: files, or folders that are searched to their end; links are refused.
        by: who, if told.

    Yields:
        What became of each file, when it is committed.
    """
    with PhotoReader() as reader:
        for path in paths:
            for found in find(path):
                yield _one(job, reader, found, by)


def add(job: Job, paths: Iterable[Path], *, by: str | None = None) -> Report:
    """Take photos in and return what became of each file; see `add_each`."""
    return Report(list(add_each(job, paths, by=by)))


def read_again(job: Job) -> int:
    """Read photos whose facts are missing or were read by another reader; return how many.

    Facts are derived: they may be dropped, and a later version may read better.
    """
    known = readers(job.record.connection)
    ledger = job.board.ledger
    wanted = [p for p in ledger.photos if known.get(p) != READER and p not in ledger.withheld]
    if not wanted:
        return 0
    with PhotoReader() as reader:
        for sha256 in wanted:
            data = job.record.photo_bytes(sha256)
            facts = reader.read(data)
            if "format" not in facts:
                continue  # not now: it is tried again next time
            facts["notes"] = list(_notes(data, facts.get("format", "")))
            with job.record.writing():
                keep_facts(job.record.connection, sha256, READER, facts)
    return len(wanted)
