"""What a person notes on a photo, for its caption."""

from __future__ import annotations

from siltline.job import said
from siltline.job.acts import find_photo
from siltline.job.desk import Job


def standing_note(job: Job, photo: str) -> str:
    """Return the newest note that stands on a photo; "" where there is none."""
    stand = job.board.ledger.notes.get(photo, ())
    return stand[-1].note if stand else ""


def note_photo(job: Job, photo: str, note: str, *, by: str) -> bool:
    """Note something on a photo, in place of what its writer knows; "" takes that away.

    Args:
        job: the open job.
        photo: first hex digits of its sha256, or its file name.
        note: what its caption is to say besides step, place and role.
        by: who notes it.

    Returns:
        Whether that is new: the same note twice adds nothing.

    Raises:
        WrongUse: no such photo, no name, or too long.
    """
    name, kept = said.person(by), said.note(note)
    with job.acting():
        sha256 = find_photo(job, photo)
        stand = {one.note for one in job.board.ledger.notes.get(sha256, ())} or {""}
        new = stand != {kept}
        if new:
            job.append("noted", {"photo": sha256, "note": kept}, name)
    return new
