"""Unaffected wood in sentences: what it reads, with which meter, whose goal comes from it.

Neither a verdict nor a day: it never was wet.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from siltline.job.desk import Job
from siltline.judge.measured import readings_at
from siltline.judge.references import Reference
from siltline.sentences import say


def _meter(one: Reference) -> str:
    """Return the meter that read it last, in words."""
    return (one.newest.meter if one.newest else "") or say("reference.no-meter")


def told(job: Job, one: Reference) -> str:
    """Return how unaffected wood stands, in a sentence or two."""
    newest = one.newest
    return say(
        f"reference.{one.standing}",
        name=one.point.name,
        newest=newest.value if newest else "",
        meter=_meter(one),
        at=job.shown(newest.at) if newest else "",
        points=", ".join(one.serves),
    )


def plainly(one: Reference, job: Job) -> dict[str, Any]:
    """Return unaffected wood as plain values; those of a point that dries are null."""
    point, newest = one.point, one.newest
    nothing = ("goal_percent", "limit_percent", "emc_percent", "air", "held", "wanted")
    return {
        "point": point.name,
        "place": point.place,
        "reads": point.reads,
        "where": point.where,
        "state": "reference",
        "reference": True,
        "newest": newest.value if newest else "",
        "at": newest.at if newest else None,
        "meter": newest.meter if newest else "",
        "readings": len(readings_at(job.board.ledger, point.name)),
        "references": [],
        "serves": list(one.serves),
        **dict.fromkeys((*nothing, "p05", "p50", "p95", "because")),
        "told": told(job, one),
    }


def on_card(found: Sequence[Reference]) -> list[str]:
    """Return unaffected wood as lines of a card: what goals come from, and what else there is."""
    lines = []
    for serves in (True, False):
        told_of = [
            say("card.reference", name=one.point.name, newest=one.newest.value, meter=_meter(one))
            if one.newest
            else say("card.reference-unread", name=one.point.name)
            for one in found
            if bool(one.serves) is serves
        ]
        if told_of:
            points = ", ".join(told_of)
            lines.append(
                say("card.references-goal" if serves else "card.references", points=points)
            )
    return lines
