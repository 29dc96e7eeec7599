"""What a salvage could not bring over, and what came from no other file since."""

from __future__ import annotations

from siltline.job.desk import Job
from siltline.record.rows import photo_hashes


def gone(job: Job) -> dict[str, str]:
    """Return id of an entry or sha256 of a photo -> name of the damaged file it was lost with."""
    lost = job.board.ledger.lost
    if not lost:
        return {}
    there = {event.id for event in job.record.events} | job.record.derived(photo_hashes)
    there |= job.board.ledger.withheld.keys()
    return {what: name for what, name in lost.items() if what not in there}
