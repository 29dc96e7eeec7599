"""Which photos of a job stand in another job file too: the same bytes, or nearly that picture."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from siltline.job.desk import Job, open_job
from siltline.job.sketching import draw_missing
from siltline.photos.signs import near_copies
from siltline.progress import QUIET, Follower
from siltline.record.pictures import picture_looks


class Double(Struct, frozen=True):
    """A photo of this job that another job file has.

    Attributes:
        photo: its sha256 here.
        file: name of the other job file.
        name: how the photo is named there.
        apart: how many of 64 bits of likeness differ; None where the bytes are the same.
    """

    photo: str
    file: str
    name: str
    apart: int | None


def _likenesses(job: Job) -> dict[str, str]:
    looks = job.record.derived(picture_looks)
    photos = job.board.ledger.photos
    return {p: looks[p]["likeness"] for p in photos if looks.get(p, {}).get("likeness")}


def _alike(job: Job, other: Job) -> dict[tuple[str, str], int]:
    """Return pairs of a photo here and one there that look nearly the same."""
    ours = {f"here {photo}": bits for photo, bits in _likenesses(job).items()}
    theirs = {f"there {photo}": bits for photo, bits in _likenesses(other).items()}
    found: dict[tuple[str, str], int] = {}
    for one, two, apart in near_copies({**ours, **theirs}):
        (side, here), (other_side, there) = one.split(), two.split()
        if side != other_side:
            found[here, there] = apart
    return found


def also_in(job: Job, path: Path, follow: Follower = QUIET) -> list[Double]:
    """Return the photos of a job that another job file has too, in the order of taking in.

    Args:
        job: the open job; both are drawn where they were not.
        path: the other job file.
        follow: is told how far it is, and may stop it.

    Raises:
        Unreadable, Broken: the other file cannot be opened as a job.
    """
    other = open_job(path, job.clock, job.device)
    try:
        for one in (job, other):
            draw_missing(one, follow)
        theirs = other.board.ledger.photos
        same = [(photo, photo, None) for photo in job.board.ledger.photos if photo in theirs]
        known = {photo for photo, _, _ in same}
        near = [(h, t, n) for (h, t), n in _alike(job, other).items() if h not in known]
        order = list(job.board.ledger.photos)
        found = sorted([*same, *near], key=lambda pair: order.index(pair[0]))
        return [Double(here, path.name, theirs[there].name, n) for here, there, n in found]
    finally:
        other.close()
