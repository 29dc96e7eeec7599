"""A job worked on under the shim, for the power cuts: every act is marked when it has returned.

python scripted.py FOLDER [SETTING ...] - FOLDER holds `old.siltline` (version 1); the settings take
the place of the product's, to show that the harness sees what weaker ones lose. The house and the
photos lie outside of the folder.
"""

from __future__ import annotations

import ctypes
import json
import os
import random
import sys
from pathlib import Path

from siltline.job import Job, open_job
from siltline.job.acts import attach, detach, leave_out, tick, undo, untick
from siltline.job.add import add_each
from siltline.job.begin import begin
from siltline.job.close_out import hand_off
from siltline.job.withholding import withhold
from siltline.record import connect
from support.pictures import picture
from support.small import write_tiny
from support.ticking import TickingClock

DEVICE = "00000000000000aa"


def acknowledge(act: str, job: Job) -> None:
    """Mark an act as acknowledged, with all that the file must hold from now on."""
    told = {
        "act": act,
        "file": job.record.path.name,
        "events": [event.id for event in job.record.events],
        "withheld": sorted(job.board.ledger.withheld),
    }
    ctypes.CDLL(None).cuts_mark(json.dumps(told).encode())


def heavy(number: int, size: int) -> bytes:
    """Return a JPEG with a comment of random bytes, so that it takes several pages."""
    data, noise = picture(number), random.Random(number).randbytes(size)
    return data[:2] + b"\xff\xfe" + (size + 2).to_bytes(2, "big") + noise + data[2:]


def work(folder: Path, outside: Path) -> None:
    checklist, house = write_tiny(outside)
    for number in range(4):
        (outside / f"P{number}.JPG").write_bytes(heavy(number, 60_000 if number == 1 else 300))
    photos = [outside / f"P{number}.JPG" for number in range(4)]
    path, clock = folder / "job.siltline", TickingClock()
    job = begin(house, path, checklist=str(checklist), clock=clock, device=DEVICE)
    acknowledge("begin", job)
    for outcome in add_each(job, photos[:3], by="Ada"):
        assert outcome.kind == "taken", outcome
        acknowledge(f"add {outcome.path.name}", job)
    attach(job, "power-off/house", "P0.JPG", role="before")
    acknowledge("attach", job)
    tick(job, "power-off/house", by="Ada")
    acknowledge("tick", job)
    tick(job, "outlet/one", by="Ada", values=["14 in"])
    acknowledge("measure", job)
    leave_out(job, "walk/house", by="Ben", because="no time")
    acknowledge("leave out", job)
    job.close()
    job = open_job(path, clock, DEVICE)
    undo(job)
    acknowledge("undo", job)
    attach(job, "walk/house", "P1.JPG")
    acknowledge("attach again", job)
    detach(job, "walk/house", "P1.JPG")
    acknowledge("detach", job)
    untick(job, "power-off/house")
    acknowledge("untick", job)
    hand_off(job, giver="Ada", taker="Ben")
    acknowledge("hand off", job)
    withhold(job, "P1.JPG", because="a stranger's face", by="Ben")
    acknowledge("withhold", job)
    for _ in add_each(job, photos[3:]):
        acknowledge("add to freed pages", job)
    job.close()
    old_one(folder, clock)


def old_one(folder: Path, clock: TickingClock) -> None:
    job = open_job(folder / "old.siltline", clock, DEVICE)
    acknowledge("upgrade", job)
    tick(job, "breaker-replaced/breaker-4", by="Ben")
    acknowledge("tick in the old one", job)
    withhold(job, "P0.JPG", because="a letter", by="Ben")
    acknowledge("withhold in the old one", job)
    job.close()


if __name__ == "__main__":
    os.environ.pop("LD_PRELOAD", None)  # not for the worker that reads photos
    if sys.argv[2:]:
        kept = [s for s in connect._SETTINGS if "journal_mode" not in s and "synchronous" not in s]
        connect._SETTINGS = (*kept, *sys.argv[2:])
    where = Path(sys.argv[1])
    work(where, where.parent / "outside")
