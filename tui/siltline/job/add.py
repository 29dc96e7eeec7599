"""Takes photos in: hash, facts, committed, one transaction a photo.

So a pulled card or a killed program loses nothing that was confirmed.
"""

from __future__ import annotations

import hashlib
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from siltline.job.desk import Job
from siltline.job.pictures import told_signs
from siltline.photos.headers import READER
from siltline.photos.reader import PhotoReader
from siltline.photos.signs import of_bytes
from siltline.photos.sources import Found, NotTaken, find, read
from siltline.progress import QUIET, Follower
from siltline.record.derived import keep_facts, photo_facts, readers, torn_rows
from siltline.sentences import say
from siltline.text import storable

KINDS = ("taken", "already", "refused", "again")
NAMED = 3  # files of one fate that are named; the others are counted


class Outcome(Struct, frozen=True):
    """What became of one file.

    Attributes:
        path: the file.
        kind: taken, already (taken in before), refused, or again (it could not be read now).
        sha256: of its bytes, "" where they were not read or are no picture.
        because: why it was not taken in, "" otherwise.
        notes: what must be said about a photo that was taken in.
    """

    path: Path
    kind: str
    sha256: str = ""
    because: str = ""
    notes: tuple[str, ...] = ()


class Report(Struct):
    """What became of the files so far, and those that are still waiting."""

    outcomes: list[Outcome] = field(default_factory=list)
    waiting: deque[Found] = field(default_factory=deque)

    def of(self, kind: str) -> list[Outcome]:
        """Return the outcomes of a kind; see `Outcome`."""
        return [outcome for outcome in self.outcomes if outcome.kind == kind]

    def counts(self) -> dict[str, int]:
        """Return how many there are of each kind; `refused` counts all that did not come in."""
        found = {kind: len(self.of(kind)) for kind in KINDS}
        return {**found, "refused": found["refused"] + found["again"]}

    def told(self) -> Iterator[str]:
        """Yield a sentence for each reason why files did not come in, and what to offer again."""
        reasons: dict[tuple[str, str], list[str]] = {}
        for outcome in self.of("refused") + self.of("again"):
            names = reasons.setdefault((outcome.kind, outcome.because), [])
            names.append(outcome.path.name)
        for (kind, because), names in reasons.items():
            told = {"n": len(names), "names": named(names), "because": because}
            yield say("add.offer-again" if kind == "again" else "add.refused", **told)
        if self.waiting:
            names = [found.path.name for found in self.waiting]
            yield say("add.waiting", n=len(names), names=named(names))


def named(names: Sequence[str]) -> str:
    """Return the names of some files, in words: the first of many, and the last."""
    if len(names) <= NAMED:
        return ", ".join(names)
    return say("add.names", first=", ".join(names[:NAMED]), last=names[-1], n=len(names) - NAMED)


def _keep(
    job: Job, path: Path, sha256: str, data: bytes, facts: dict[str, Any], by: str | None
) -> bool:
    """Commit one photo; False where another program took it in meanwhile."""
    body = {"sha256": sha256, "name": storable(path.name), "bytes": len(data)}
    with job.acting(changes_states=False):
        if not job.record.keep_photo(sha256, data):
            return False
        keep_facts(job.record.connection, sha256, READER, facts)
        if sha256 not in job.board.ledger.photos:  # else its bytes were lost, and are back
            job.append("photo", body, by)
    return True


def _known(job: Job, path: Path, sha256: str) -> Outcome | None:
    """Return what becomes of a photo that the record knows; None where its bytes are wanted."""
    away = job.board.ledger.withheld.get(sha256)
    if away is not None:
        because = say("add.withheld", by=away.by or say("said.somebody"), because=away.because)
        return Outcome(path, "refused", sha256, because)
    there = sha256 in job.board.ledger.photos and job.record.has_photo(sha256)
    return Outcome(path, "already", sha256) if there else None


class _Read(Struct, frozen=True):
    """A file that was read, or why it was not: then it has neither bytes nor hash."""

    path: Path
    data: bytes = b""
    sha256: str = ""
    refused: Outcome | None = None


def _begin(reader: PhotoReader, found: Found) -> _Read:
    """Read a file and set the worker to it; the worker reads while we hash, and commit others."""
    if found.because:
        told = _not_taken(found.path, found.because, found.again)
        return _Read(found.path, refused=told)
    try:
        data = read(found.path)
    except NotTaken as reason:
        return _Read(found.path, refused=_not_taken(found.path, str(reason), reason.again))
    reader.begin(data)
    return _Read(found.path, data, hashlib.sha256(data).hexdigest())


def _settle(job: Job, here: _Read, facts: dict[str, Any], by: str | None) -> Outcome:
    """Commit a file that was read, or say why not."""
    if here.refused is not None:
        return here.refused
    known = _known(job, here.path, here.sha256)
    if known is not None:
        return known
    if "format" not in facts:
        return Outcome(here.path, "refused", because=_no_picture(facts))
    facts["signs"] = of_bytes(here.data, facts["format"])
    if not _keep(job, here.path, here.sha256, here.data, facts, by):
        return Outcome(here.path, "already", here.sha256)
    return Outcome(here.path, "taken", here.sha256, notes=told_signs(facts["signs"]))


def _not_taken(path: Path, because: str, again: bool) -> Outcome:
    return Outcome(path, "again" if again else "refused", because=because)


def _no_picture(facts: dict[str, Any]) -> str:
    """Return why bytes without a format are not taken in."""
    if facts.get("raw"):
        return say("add.raw")
    return say("add.reading-stopped" if facts else "add.no-picture")


def _looked_for(paths: Iterable[Path], follow: Follower) -> list[Found]:
    """Find all files before the first is read, so that it is known how many there are."""
    found: list[Found] = []
    for path in paths:
        for one in find(path):
            found.append(one)
            follow.reached("look", len(found))
    return found


def add_each(
    job: Job,
    paths: Iterable[Path],
    *,
    by: str | None = None,
    follow: Follower = QUIET,
    report: Report | None = None,
) -> Iterator[Outcome]:
    """Take photos in one by one; stop asking and nothing more is taken, nothing is lost.

    Args:
        job: the open job.
        paths: files, or folders that are searched to their end; links are refused.
        by: who, if told.
        follow: is told how far it is, and may stop it between two photos.
        report: is kept up to date, so that it tells what came of it when this is broken off.

    Yields:
        What became of each file, when it is committed.

    Raises:
        Unreadable: the job cannot be written; that photo and those after it are still waiting.
    """
    kept = report if report is not None else Report()
    kept.waiting.extend(_looked_for(paths, follow))
    total = len(kept.waiting)
    with PhotoReader() as reader:
        ahead = _begin(reader, kept.waiting[0]) if kept.waiting else None
        while ahead is not None:
            follow.reached("take", total - len(kept.waiting), total)
            here, facts = ahead, {} if ahead.refused else reader.finish()
            ahead = _begin(reader, kept.waiting[1]) if len(kept.waiting) > 1 else None
            outcome = _settle(job, here, facts, by)
            kept.waiting.popleft()
            kept.outcomes.append(outcome)
            yield outcome
    follow.reached("take", total, total)


def add(job: Job, paths: Iterable[Path], *, by: str | None = None) -> Report:
    """Take photos in and return what became of each file; see `add_each`."""
    report = Report()
    deque(add_each(job, paths, by=by, report=report), maxlen=0)
    return report


def _read(
    job: Job, photos: Iterable[str], follow: Follower
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield what the bytes of photos in the job say; not of those that no reader gets through."""
    wanted = [photo for photo in photos if job.record.has_photo(photo)]
    if not wanted:
        return
    with PhotoReader() as reader:
        for done, sha256 in enumerate(wanted):
            follow.reached("read", done, len(wanted))
            data = job.record.photo_bytes(sha256)
            facts = reader.read(data)
            if "format" in facts:
                # as JSON gives it back, for it is held against what is kept
                facts["signs"] = [list(sign) for sign in of_bytes(data, facts["format"])]
                yield sha256, facts


def read_again(job: Job, *, every: bool = False, follow: Follower = QUIET) -> int:
    """Read photos whose facts are missing or were read by another reader; return how many.

    Facts are derived: they may be dropped, and a later version may read better.

    Args:
        job: the open job.
        every: read all photos, and write down what differs: for a claim nothing is taken on trust.
        follow: is told how far it is, and may stop it between two photos.
    """
    by, said = job.record.derived(readers), job.record.derived(photo_facts)
    wanted = [photo for photo in job.board.ledger.photos if every or by.get(photo) != READER]
    for sha256, facts in _read(job, wanted, follow):
        if by.get(sha256) != READER or said.get(sha256) != facts:
            with job.record.writing():
                keep_facts(job.record.connection, sha256, READER, facts)
    return len(wanted)


def misread(job: Job, follow: Follower = QUIET) -> list[str]:
    """Return the photos of which the file's table says something else than their bytes.

    Rows that cannot be read, and rows of photos that no entry took in, are told as well; what
    another reader wrote is not.
    """
    by, said = job.record.derived(readers), job.record.derived(photo_facts)
    torn = job.record.derived(torn_rows)
    strange = ["?"] * torn + sorted(said.keys() - job.board.ledger.photos.keys())
    ours = [photo for photo, reader in by.items() if reader == READER]
    read = _read(job, ours, follow)
    return strange + [photo for photo, facts in read if said[photo] != facts]
