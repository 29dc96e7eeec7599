"""A program killed at any moment loses no act that it told of, and leaves the file whole.

One job lives through all kills: a chain of children adds photos, attaches them, gives a word and
takes it back, and tells of each act when it has returned (`support/warm.py`).
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.job.begin import begin
from siltline.job.verifying import verify
from siltline.record import open_record
from siltline.record.audit import faults
from support.small import write_tiny
from support.ticking import TickingClock
from support.warm import Warm

pytestmark = pytest.mark.skipif(
    not (hasattr(os, "fork") and hasattr(signal, "SIGKILL")), reason="needs fork and SIGKILL"
)


def ids_after(path: Path) -> list[str]:
    """Open a job as the next program does; return its events. Nothing else may be left there."""
    record = open_record(path)
    ids = [event.id for event in record.events]
    record.close()
    assert [there.name for there in path.parent.iterdir()] == [path.name], "stray files"
    return ids


def moment(rng: random.Random) -> tuple[int, float]:
    """Return when to kill: after how many acts, and how many seconds after the last of them."""
    if rng.random() < 0.2:
        return 0, rng.uniform(0, 0.16)  # while it opens the job and starts the worker
    return rng.randrange(1, 5), rng.uniform(0, 0.012)  # an act takes some milliseconds


@pytest.mark.parametrize("kills", [6, pytest.param(1000, marks=pytest.mark.full)])
def test_no_act_that_was_told_is_lost(
    tmp_path: Path, figure: Callable[[str], None], kills: int
) -> None:
    checklist, house = write_tiny(tmp_path / "sheets")
    (tmp_path / "disk").mkdir()
    path = tmp_path / "disk" / "job.siltline"
    begin(house, path, checklist=str(checklist), clock=TickingClock()).close()
    known, acts, unasked, hot, started = ids_after(path), 0, 0, 0, time.monotonic()
    with Warm(tmp_path / "home") as warm:
        for number in range(kills):
            after, wait = moment(random.Random(number))
            told = warm.live(path, number, acts=after, wait=wait)
            journal = path.with_name(f"{path.name}-journal")
            hot += journal.exists() and journal.stat().st_size > 0
            assert faults(path) == [], number
            ids = ids_after(path)
            new = ids[len(known) :]
            assert ids[: len(known)] == known, number
            assert new[: len(told)] == told, number
            assert len(new) - len(told) in (0, 1), "at most the act that nobody was told of"
            known, acts, unasked = ids, acts + len(told), unasked + len(new) - len(told)
    assert verify(path).faults == ()
    assert acts
    with sqlite3.connect(path) as connection:
        (photos,) = connection.execute("SELECT count(*) FROM photo").fetchone()
    connection.close()
    figure(
        f"{kills} kills in {time.monotonic() - started:.0f} s: {acts} acts told of, 0 lost; "
        f"{unasked} kept besides; {hot} journals rolled back; {photos} photos"
    )
