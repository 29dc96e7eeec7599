"""Writes the photos as the cameras wrote them, byte for byte, under generated names."""

from __future__ import annotations

from pathlib import Path

from siltline.claim.contents import Contents
from siltline.job import Job
from siltline.progress import QUIET, Follower

FOLDER = "originals"


def write_originals(job: Job, contents: Contents, folder: Path, follow: Follower = QUIET) -> None:
    """Write every photo of a job into `folder/originals`.

    Raises:
        Broken: a photo no longer has the bytes that were taken in.
    """
    target = folder / FOLDER
    target.mkdir()
    for done, (sha256, name) in enumerate(contents.names.items()):
        follow.reached("originals", done, len(contents.names))
        if contents.photos[sha256]["withheld"] or contents.photos[sha256]["lost"]:
            continue  # its hash and the reason stand in the tables and the report
        (target / name).write_bytes(job.record.photo_bytes(sha256))
