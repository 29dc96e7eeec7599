"""Withholding a photo: its bytes go for good, its hash and the reason stay."""

from __future__ import annotations

from siltline.errors import NotNow
from siltline.job.acts import find_photo
from siltline.job.desk import Job
from siltline.job.said import person, reason
from siltline.sentences import say


def withhold(job: Job, photo: str, *, because: str, by: str) -> str:
    """Erase the bytes of a photo (a stranger's face, a private letter); return its sha256.

    It cannot be taken back. A claim folder or a second copy that was written before still holds
    the photo; the next copying takes it out there too.

    Raises:
        WrongUse: no such photo, no name, or no reason.
        NotNow: it is withheld already.
    """
    name, told = person(by), reason(because)
    with job.acting():
        sha256 = find_photo(job, photo)
        if sha256 in job.board.ledger.withheld:
            raise NotNow(say("withhold.already", photo=sha256[:12]))
        job.append("withheld", {"photo": sha256, "because": told}, name)
        job.record.erase_photo(sha256)
    return sha256
