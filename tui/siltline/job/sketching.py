"""Draws the photos of a job small and measures them, after they are safe.

It is stopped and gone on with at any time, since all of it is derived.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from contextlib import suppress

from siltline.errors import Broken, Unreadable
from siltline.job.desk import Job
from siltline.photos.pool import Drawn, sketches
from siltline.photos.sketch import DRAWER
from siltline.progress import QUIET, Follower
from siltline.record.derived import photo_facts
from siltline.record.pictures import drawers, keep_picture, small_picture
from siltline.record.rows import photo_hashes

KEPT_EVERY_S = 0.5  # a write syncs the disk; what is drawn can be drawn again


def undrawn(job: Job) -> list[str]:
    """Return the photos that this drawer has not drawn yet, those at steps first."""
    by, there = job.record.derived(drawers), job.record.derived(photo_hashes)
    used = job.board.used_photos()
    wanted = [p for p in job.board.ledger.photos if by.get(p) != DRAWER and p in there]
    return sorted(wanted, key=lambda photo: photo not in used)


def _keep(job: Job, drawn: Iterable[Drawn]) -> None:
    """Keep what was drawn, in one transaction; not of a photo that was withheld meanwhile."""
    with job.record.writing():
        for photo, looks, small in drawn:
            if job.record.has_photo(photo):
                keep_picture(job.record.connection, photo, DRAWER, looks, small)


def draw_missing(job: Job, follow: Follower = QUIET) -> int:
    """Draw what is not drawn yet; return how many photos that were, 0 where it cannot be done.

    A drive that is full, fails or may only be read ends it without a word: the photos are safe,
    what was drawn stays, and the rest is drawn another time.

    Args:
        job: the open job.
        follow: is told how far it is, and may stop it between two photos; what was drawn stays.
    """
    wanted = undrawn(job)
    with suppress(Unreadable):
        _draw(job, wanted, follow)
        return len(wanted)
    return 0


def _draw(job: Job, wanted: Sequence[str], follow: Follower) -> None:
    if not wanted:
        return
    with job.record.writing():
        pass  # a file that cannot be written is told before anything is drawn in vain
    facts = job.record.derived(photo_facts)
    sizes = ((photo, _pixels(facts.get(photo, {}))) for photo in wanted)
    fresh: list[Drawn] = []
    kept = time.monotonic()
    try:
        for done, one in enumerate(sketches(sizes, lambda photo: _bytes(job, photo)), 1):
            fresh.append(one)
            if time.monotonic() - kept > KEPT_EVERY_S:
                ready, fresh = fresh, []
                _keep(job, ready)
                kept = time.monotonic()
            follow.reached("sketch", done, len(wanted))
    finally:
        if fresh:
            _keep(job, fresh)


def _bytes(job: Job, photo: str) -> bytes:
    """Return the bytes of a photo; none where they are not those that were taken in."""
    try:
        return job.record.photo_bytes(photo)
    except Broken:
        return b""


def _pixels(facts: dict[str, object]) -> int:
    wide, high = facts.get("width"), facts.get("height")
    return wide * high if isinstance(wide, int) and isinstance(high, int) else 0


def small(job: Job, photo: str) -> bytes:
    """Return the small picture of a photo, drawn now where it is missing; b"" where it cannot be.

    Raises:
        Broken, WrongUse: as for `photo_bytes`.
    """
    if job.record.derived(drawers).get(photo) == DRAWER:
        return job.record.derived(lambda connection: small_picture(connection, photo))
    ((_, looks, drawn),) = sketches([(photo, 0)], job.record.photo_bytes, workers=1)
    with suppress(Unreadable):  # a file to be read only: it is drawn each time
        _keep(job, [(photo, looks, drawn)])
    return drawn
