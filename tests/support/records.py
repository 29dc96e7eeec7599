"""Job files for the tests of the record: a tiny one, a large one, and all that either says."""

from __future__ import annotations

import hashlib
import json
import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from siltline.job import Job, open_job
from siltline.job.acts import attach, tick, undo
from siltline.job.add import add
from siltline.job.begin import begin
from siltline.job.close_out import hand_off
from siltline.job.withholding import withhold
from siltline.record import seal
from support.pictures import photo
from support.small import write_tiny
from support.ticking import TickingClock

DEVICE = "00000000000000aa"
VIEWS = ("acts", "steps", "photos")  # what a person reads with SQL alone


@cache
def _fresh(device: str) -> bytes:
    """Begin a job on the tiny checklist, once: its file is the same each time."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        checklist, house = write_tiny(folder)
        how = {"checklist": str(checklist), "clock": TickingClock(), "device": device}
        job = begin(house, folder / "job.siltline", **how)
        job.close()
        return job.record.path.read_bytes()


def begun(folder: Path, name: str = "job", device: str = DEVICE) -> Job:
    """Begin a job on the tiny checklist; it is open."""
    path = folder / f"{name}.siltline"
    path.write_bytes(_fresh(device))
    clock = TickingClock()
    clock()  # beginning took one look
    return open_job(path, clock, device)


def tiny_job(folder: Path, name: str = "job") -> Path:
    """Make a job with a word, a value, photos used, unused and withheld, and a hand-off."""
    job = begun(folder, name)
    add(job, [photo(folder, f"{n}.JPG", n) for n in range(3)], by="Ada")
    attach(job, "power-off/house", "0.JPG", role="before")
    tick(job, "power-off/house", by="Ada", note="n\u00f6ted")
    tick(job, "outlet/one", by="Ada", values=["14 in"])
    withhold(job, "2.JPG", because="a stranger's face", by="Ada")
    hand_off(job, giver="Ada", taker="Ben")
    job.close()
    return job.record.path


def large_job(folder: Path, photos: int = 64, bytes_each: int = 350_000, acts: int = 150) -> Path:
    """Make a job of many megabytes and several hundred events.

    The photos are random bytes, for what a reader says of them does not matter here.
    """
    job = begun(folder, "large")
    chance = random.Random(16384)
    for number in range(photos):
        data = chance.randbytes(bytes_each)
        sha256 = hashlib.sha256(data).hexdigest()
        with job.acting():
            job.record.keep_photo(sha256, data)
            body = {"sha256": sha256, "name": f"{number}.JPG", "bytes": len(data)}
            job.append("photo", body, "Ada")
    for number in range(acts):
        tick(job, "power-off/house", by=f"P{number % 7}", note=f"round {number}")
        undo(job)
    hand_off(job, giver="Ada", taker="Ben")
    job.close()
    return job.record.path


def told(path: Path) -> dict[str, Any]:
    """Return all that a job file says: by siltline, and by SQL alone."""
    job = open_job(path)
    try:
        kept = job.record.connection.execute("SELECT sha256, bytes, data FROM photo")
        found = {
            "events": [(e.id, e.text) for e in job.record.events],
            "photos": sorted((s, n, hashlib.sha256(d).hexdigest()) for s, n, d in kept),
            "states": {s: v.state for s, v in job.board.steps.items()},
        }
    finally:
        job.close()
    with closing(sqlite3.connect(path)) as connection:
        connection.text_factory = bytes  # torn letters are shown to no person here
        for view in VIEWS:
            found[view] = sorted(map(str, connection.execute(f"SELECT * FROM {view}")))
    return found


@contextmanager
def by_hand(path: Path) -> Iterator[sqlite3.Connection]:
    """Change a job file as somebody does who knows SQL: triggers are set aside, and come back."""
    with closing(sqlite3.connect(path)) as connection:
        guards = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        yield connection
        for _, statement in guards:
            connection.execute(statement)
        connection.commit()


def resealed(path: Path, seq: int, change: dict[str, Any]) -> None:
    """Change an event and seal all that was written upon it anew: the file contradicts nothing."""
    with by_hand(path) as connection:
        rows = connection.execute("SELECT seq, id, envelope FROM event ORDER BY seq").fetchall()
        new_ids: dict[str, str] = {}
        connection.execute("UPDATE event SET id = 'old-' || id")
        for number, old_id, text in rows:
            envelope: dict[str, Any] = json.loads(text)
            if number == seq:
                envelope |= change
            parents = [new_ids.get(parent, parent) for parent in envelope.pop("parents")]
            envelope.pop("v")
            event = seal(envelope.pop("kind"), envelope.pop("body"), parents=parents, **envelope)
            new_ids[old_id] = event.id
            connection.execute(
                "UPDATE event SET id = ?, envelope = ? WHERE seq = ?",
                (event.id, event.text, number),
            )
        connection.execute("DELETE FROM derived_about")
        connection.execute("DELETE FROM derived_step")
