"""The deadlines of a job: its facts from the house sheet, its steps from the board."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, tzinfo
from functools import lru_cache, partial
from typing import Any

from siltline.errors import WrongUse
from siltline.job.desk import Job
from siltline.job.laying import sheet_of
from siltline.judge import deadlines as judging
from siltline.judge import due_words
from siltline.judge.board import OPEN_STATES
from siltline.judge.deadlines import Deadline, Known, When
from siltline.science import due as science

_SECTION = "loss"
_KEYS = ("water-in", "water-out", "proof-due", "proof-sent", "denied", "suit-due")
_YEARS = range(1900, 2200)  # a day outside them is a slip, and no reckoning is to fail on it
_Facts = tuple[tuple[tuple[str, ...], str | bool | None], ...]


def site_zone(job: Job) -> tzinfo:
    """Return the zone of the site, or this laptop's where the sheet names none."""
    return job.zone or job.clock().astimezone().tzinfo or UTC


def known(job: Job) -> Known:
    """Return what is known of the loss. It reads the sheet, once as long as nothing is corrected.

    What cannot be read is as if it were not told; it is asked for then.
    """
    loss = _loss(*_upon(job))
    zone = site_zone(job)
    dates = {key: _when(loss[key], zone) for key in _KEYS if loss.get(key)}
    return Known(
        job.board.plan.house,
        zone,
        job.zone is not None,
        loss.get("policy", ""),
        {key: when for key, when in dates.items() if when is not None},
        tuple(key for key, when in dates.items() if when is None),
        _steps(job),
    )


def _upon(job: Job) -> tuple[str, _Facts]:
    """Return the text of the sheet, and what of the loss was corrected since."""
    facts = job.board.ledger.facts()
    mine = tuple((path, value) for path, value in facts.items() if path[0] == _SECTION)
    return sheet_of(job)["text"], mine


def reading(job: Job) -> Callable[[], object]:
    """Return what reads the sheet, so that `known` has it at hand; it may run in a thread."""
    return partial(_loss, *_upon(job))


@lru_cache(4)
def _loss(text: str, facts: _Facts) -> dict[str, str]:
    """Return what a sheet says of the loss, as typed."""
    from siltline.rules.files import sheet_data  # noqa: PLC0415 - reads YAML, only if it is wanted

    try:
        loss = sheet_data(text, "house.yaml", facts)[_SECTION]
        return {str(key): str(value) for key, value in loss.items() if value is not None}
    except (WrongUse, LookupError, TypeError, AttributeError):  # no sheet of ours, or no loss
        return {}


def _when(text: str, zone: tzinfo) -> When | None:
    """Return a moment of the sheet, or None where it is none."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        pass
    else:
        return When(day) if day.year in _YEARS else None
    try:
        local = datetime.fromisoformat(text)
    except ValueError:
        return None
    if local.year not in _YEARS:
        return None
    at = science.instant(local, zone)
    return When(at.astimezone(zone).date(), at)


def _steps(job: Job) -> dict[str, bool]:
    """Return rule of a step that meets a deadline -> whether all such steps are settled."""
    wanted = {rule.step for rule in judging.RULES if rule.step}
    found: dict[str, bool] = {}
    for view in job.board.steps.values():
        name = view.step.rule
        if name in wanted:
            found[name] = found.get(name, True) and view.state not in OPEN_STATES
    return found


def deadlines_of(job: Job, now: datetime | None = None) -> list[Deadline]:
    """Return the deadlines of a job, by its clock unless another time is given."""
    return judging.deadlines(known(job), now or job.clock())


def heads(job: Job) -> tuple[str, ...]:
    """Return the nearest deadline in a few words, and in fewer; none where all is practice."""
    if job.is_practice:
        return ()
    now = job.clock()
    return due_words.heads(deadlines_of(job, now), now, site_zone(job))


def briefly(job: Job) -> list[str]:
    """Return a line for each deadline: what, by when, how much is left."""
    now, zone = job.clock(), site_zone(job)
    return [due_words.brief(one, now, zone) for one in deadlines_of(job, now)]


def told(job: Job) -> list[dict[str, Any]]:
    """Return the deadlines as plain values, for JSON and the claim: instants in UTC, and words."""
    now, zone = job.clock(), site_zone(job)
    return [_told(one, now, zone) for one in deadlines_of(job, now)]


def _told(one: Deadline, now: datetime, zone: tzinfo) -> dict[str, Any]:
    rule, since = one.rule, one.since
    return {
        "id": one.id,
        "title": due_words.title(one),
        "line": due_words.brief(one, now, zone),
        "state": one.state,
        "due": _utc(one.due),
        "last_day": one.day.isoformat() if one.day else None,
        "opens": _utc(one.opens),
        "left_s": round((one.due - now).total_seconds()) if one.due else None,
        "shown": due_words.until(one, zone),
        "left": due_words.left(one, now, zone),
        "counts_from": f"{_SECTION}.{rule.counts}",
        "since_day": since.day.isoformat() if since else None,
        "since": _utc(since.at) if since else None,
        "owed": rule.owed,
        "asks": list(one.asks),
        "told": due_words.told(one, zone),
        "sources": [{"title": source.title, "seen": source.seen} for source in rule.sources],
    }


def _utc(moment: datetime | None) -> str | None:
    return moment.astimezone(UTC).isoformat(timespec="seconds") if moment else None
