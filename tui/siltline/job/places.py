"""How far from the house each photo was taken: its own position against that of the house sheet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from siltline.errors import WrongUse
from siltline.job.desk import Job
from siltline.job.laying import sheet_of
from siltline.judge.photo_places import USUAL_DOUBT, Where, classify
from siltline.record.derived import photo_facts
from siltline.science.distance import CANNOT_TELL, Place, metres
from siltline.science.faults import Contradiction
from siltline.sentences import say

_WORST = 100_000.0  # m; a larger error of a fix says nothing
_SECTION = "position"


def site_of(job: Job) -> Place | None:
    """Return latitude and longitude of the house, degrees; None where the sheet lacks them."""
    text, facts = sheet_of(job)["text"], job.board.ledger.facts()
    mine = tuple((path, value) for path, value in facts.items() if path[0] == _SECTION)
    return _position(text, mine) if mine or _SECTION in text else None


@lru_cache(2)
def _position(
    text: str, facts: tuple[tuple[tuple[str, ...], str | bool | None], ...]
) -> Place | None:
    from siltline.rules.files import sheet_data  # noqa: PLC0415 - reads YAML, only if it is wanted

    try:
        data = sheet_data(text, "house.yaml", facts)
        held = data[_SECTION]
        return float(held["latitude"]), float(held["longitude"])
    except (WrongUse, LookupError, TypeError, ValueError):  # not told, or not both
        return None


def doubt_of(facts: Mapping[str, Any]) -> float:
    """Return how far off the position of a photo can be, m: by its file, else the usual."""
    told = facts.get("gps_error")
    return float(told) if isinstance(told, int | float) and 0 < told <= _WORST else USUAL_DOUBT


def where_is(facts: Mapping[str, Any], site: Place | None) -> Where:
    """Return where a photo was taken.

    Args:
        facts: what its file says.
        site: where the house stands, latitude and longitude.
    """
    lat, lon, doubt = facts.get("lat"), facts.get("lon"), doubt_of(facts)
    if lat is None or lon is None:
        return Where(CANNOT_TELL, None, doubt, say("photos.no-position"))
    if lat == 0 and lon == 0:  # what some write that have no fix
        return Where(CANNOT_TELL, None, doubt, say("photos.no-fix"))
    if site is None:
        return Where(CANNOT_TELL, None, doubt, say("photos.no-site"))
    try:
        apart = metres(site, (lat, lon))
    except Contradiction:
        return Where(CANNOT_TELL, None, doubt, say("photos.swapped"))
    return Where(classify(apart, doubt), apart, doubt)


def places(job: Job, facts: Mapping[str, Mapping[str, Any]] | None = None) -> dict[str, Where]:
    """Return photo -> where it was taken, for every photo whose file was read."""
    known = job.record.derived(photo_facts) if facts is None else facts
    placed = any(said.get("lat") is not None for said in known.values())
    site = site_of(job) if placed else None  # the sheet is read for photos that need it
    return {p: where_is(known[p], site) for p in job.board.ledger.photos if p in known}
