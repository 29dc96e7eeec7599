"""Cards of photos, and what must hold of a job after something went wrong while one was read."""

from __future__ import annotations

import hashlib
from pathlib import Path

from siltline.job import Job
from siltline.job.add import add
from siltline.job.sketching import draw_missing, undrawn
from siltline.progress import Follower, Stopped
from siltline.record.audit import faults
from siltline.record.pictures import picture_looks
from support.pictures import photo


def card_of(folder: Path, count: int) -> dict[str, Path]:
    """Write photos into a folder; return them by their hashes, in the order of their names."""
    paths = [photo(folder, f"IMG_{n:04d}.JPG", n, size=(640, 480)) for n in range(count)]
    return {hashlib.sha256(path.read_bytes()).hexdigest(): path for path in paths}


def photo_events(job: Job) -> list[str]:
    return [event.body["sha256"] for event in job.record.events if event.kind == "photo"]


def assert_sound(job: Job, card: dict[str, Path], confirmed: list[str]) -> None:
    """Hold that all that was confirmed is there byte for byte, and nothing half."""
    kept = photo_events(job)
    assert set(confirmed) <= set(kept)
    for sha256 in kept:
        assert job.record.photo_bytes(sha256) == card[sha256].read_bytes()
    assert faults(job.record.path) == []


def assert_complete_again(job: Job, card: dict[str, Path]) -> None:
    """Hold that offering all of a card again takes in what is missing, once."""
    there = photo_events(job)
    report = add(job, sorted(card.values()))
    assert [o.sha256 for o in report.of("already")] == there
    assert sorted(photo_events(job)) == sorted(card)
    assert_sound(job, card, list(card))


def assert_completes(job: Job, card: dict[str, Path]) -> None:
    """Hold that after offering all again every photo of a card is there, and is drawn."""
    assert_complete_again(job, card)
    draw_missing(job)
    assert undrawn(job) == []
    assert all(picture_looks(job.record.connection)[sha256] for sha256 in card)
    assert faults(job.record.path) == []


class Stopping(Follower):
    """Stops work when it has come so far."""

    def __init__(self, what: str, after: int) -> None:
        self.what, self.after = what, after

    def reached(self, what: str, done: int, total: int | None = None) -> None:
        del total
        if (what, done) == (self.what, self.after):
            raise Stopped
