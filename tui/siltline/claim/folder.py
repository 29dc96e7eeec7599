"""Writes the claim folder: made beside its name, moved into place when it is whole."""

from __future__ import annotations

import hashlib
from pathlib import Path

from siltline.claim.contents import gather
from siltline.claim.originals import write_originals
from siltline.claim.report import write_report
from siltline.claim.tables import write_photos, write_readings, write_steps
from siltline.errors import Unreadable, WrongUse, why
from siltline.job import Job
from siltline.job.add import read_again
from siltline.job.sketching import draw_missing
from siltline.job.verifying import ensure_whole
from siltline.progress import QUIET, Follower
from siltline.sentences import say
from siltline.whole import whole_folder

SUMS = "sha256sums.txt"


def _sums(folder: Path, follow: Follower) -> None:
    """Write the list that `sha256sum -c sha256sums.txt` checks, run inside the folder."""
    lines = []
    written = sorted(p for p in folder.rglob("*") if p.is_file())
    for done, path in enumerate(written):
        follow.reached("sums", done, len(written))
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
        lines.append(f"{digest}  {path.relative_to(folder).as_posix()}\n")
    # `newline` keeps Windows from writing CR LF, which sha256sum would take as part of a name
    (folder / SUMS).write_text("".join(lines), encoding="utf-8", newline="\n")


def write_claim(job: Job, folder: Path, follow: Follower = QUIET) -> list[str]:
    """Write the claim folder of a job.

    Args:
        job: the open job.
        folder: what to write; its name must be free.
        follow: is told how far it is, and may stop it; then nothing is left behind.

    Returns:
        The files written, relative to the folder, sorted: report.pdf, steps.csv, photos.csv,
        originals/..., sha256sums.txt.

    Raises:
        WrongUse: the folder is there already and holds something; it is left as it is.
        Unreadable: it cannot be written.
        Broken: the job file is not whole.
    """
    folder = folder.absolute()
    job.refresh()
    ensure_whole(job, follow)
    read_again(job, every=True, follow=follow)
    draw_missing(job, follow)
    try:
        # it is read by an insurer, so it is told in the base language
        with whole_folder(folder) as part, job.in_base():
            contents = gather(job)
            write_originals(job, contents, part, follow)
            write_steps(contents, part / "steps.csv")
            write_photos(contents, part / "photos.csv")
            write_readings(contents, part / "readings.csv")
            write_report(job, contents, part / "report.pdf", follow)
            _sums(part, follow)
    except FileExistsError as fault:
        raise WrongUse(say("claim.taken", folder=folder)) from fault
    except OSError as fault:
        raise Unreadable(say("claim.cannot", folder=folder, fault=why(fault))) from fault
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())
