"""Gathers once what the report, the tables and the originals of a claim all tell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from siltline.job import Job
from siltline.job.close_out import review
from siltline.job.pictures import describe
from siltline.job.viewing import ending
from siltline.judge.finding import Finding
from siltline.record.derived import photo_facts
from siltline.text import slug


class Contents(Struct, frozen=True):
    """What a claim is made of.

    Attributes:
        job: the open job.
        photos: every photo as `job.pictures.describe` tells it, by sha256.
        names: sha256 -> generated name of the original: ASCII, no `%`, as long as any system takes.
        findings: the review.
    """

    job: Job
    photos: Mapping[str, dict[str, Any]]
    names: Mapping[str, str]
    findings: list[Finding]


def _use(job: Job, sha256: str, steps: list[str]) -> str:
    """Return where a photo is first used, for its name: step and role, `clock` or `unused`."""
    if not steps:
        return "clock" if sha256 in job.board.ledger.clocks else "unused"
    roles = [a.role for a in job.board.ledger.attached[steps[0]] if a.photo == sha256]
    return f"{slug(steps[0])}-{slug(roles[0])}"


def gather(job: Job) -> Contents:
    """Return what the claim of a job is made of."""
    photos = {photo["sha256"]: photo for photo in describe(job)}
    facts = job.record.derived(photo_facts)
    names = {}
    for number, (sha256, photo) in enumerate(photos.items(), 1):
        form = facts.get(sha256, {}).get("format")
        names[sha256] = f"{number:04d}-{_use(job, sha256, photo['steps'])}.{ending(form)}"
    return Contents(job, photos, names, review(job))
