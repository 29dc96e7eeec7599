"""How the points of a job stand, in sentences and as a chart."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from siltline.job.desk import Job
from siltline.judge.drying import Verdict
from siltline.judge.points import AirReading, newest_air
from siltline.science.air import SEA_LEVEL, from_humidity
from siltline.science.chart import chart
from siltline.science.doubt import Tolerance, doubt
from siltline.science.outside import compare, wets_surface
from siltline.sentences import say
from siltline.units import quantity


def _date(at: datetime | None, job: Job) -> str:
    return f"{at.astimezone(job.zone):%a %d %b}" if at is not None else say("drying.no-day")


def told(job: Job, verdict: Verdict) -> list[str]:
    """Return how a point stands, in sentences: state, goal, the day or why there is none."""
    values = {
        "name": verdict.point.name,
        "newest": verdict.newest,
        "goal": f"{verdict.goal:.1f}".removesuffix(".0"),
        "held": verdict.held,
        "wanted": verdict.wanted,
    }
    lines = [say(f"drying.state.{verdict.state}", **values)]
    if verdict.references:
        lines.append(say("drying.goal-reference", points=", ".join(verdict.references), **values))
    lines += _air_told(verdict, values)
    if verdict.state in ("drying", "never", "stalled"):
        lines += _day_told(job, verdict, values)
    return lines


def _air_told(verdict: Verdict, values: dict[str, Any]) -> Iterator[str]:
    if verdict.state in ("unread", "dry"):
        return
    if verdict.air is None or verdict.emc is None:
        yield say("drying.no-air", place=verdict.point.air or verdict.point.place)
        return
    key = "drying.air-never" if verdict.state == "never" else "drying.air"
    needed = verdict.rh_needed
    yield say(
        key,
        temp=verdict.air.temp,
        rh=verdict.air.rh,
        emc=f"{verdict.emc:.1f}",
        needed=f"{100 * needed:.0f}" if needed is not None else "-",
        **values,
    )


def _day_told(job: Job, verdict: Verdict, values: dict[str, Any]) -> Iterator[str]:
    found = verdict.told
    if found is None:
        return
    if found.answered:
        early, middle, late = (_date(verdict.day(day), job) for day in found.days)
        yield say("drying.by-day", early=early, middle=middle, late=late, **values)
        return
    never = "" if math.isnan(found.never) else f"{100 * found.never:.0f}"
    told = {"used": found.used, "never": never, "emc": f"{verdict.emc:.1f}", "goal": values["goal"]}
    yield say("drying.refused", because=say(f"drying.because.{found.reason}", **told))
    yield say(f"drying.remedy.{found.reason}")


def drawn(verdict: Verdict, size: tuple[int, int], *, plain: bool = False) -> list[str]:
    """Return the drying chart of a point as lines of text; no lines where nothing was read.

    Args:
        verdict: of the point.
        size: columns and rows.
        plain: ASCII only.
    """
    found = verdict.told
    late = found.days[2] + 1 if found is not None and found.answered else -math.inf
    return chart(
        verdict.readings, verdict.goal, verdict.emc, found.fit if found else None, late, size, plain
    )


def plainly(verdict: Verdict, job: Job) -> dict[str, Any]:
    """Return how a point stands as plain values, SI and flat."""
    found, air = verdict.told, verdict.air
    days = found.days if found is not None and found.answered else (None,) * 3
    dates = [verdict.day(day) if day is not None else None for day in days]
    early, middle, late = (at.isoformat() if at else None for at in dates)
    return {
        "point": verdict.point.name,
        "place": verdict.point.place,
        "reads": verdict.point.reads,
        "where": verdict.point.where,
        "state": verdict.state,
        "newest": verdict.newest,
        "readings": len(verdict.readings),
        "goal_percent": round(verdict.goal, 2),
        "limit_percent": verdict.limit,
        "references": list(verdict.references),
        "emc_percent": None if verdict.emc is None else round(verdict.emc, 2),
        "air": f"{air.temp}/{air.rh}" if air else None,
        "held": verdict.held,
        "wanted": verdict.wanted,
        "p05": early,
        "p50": middle,
        "p95": late,
        "because": found.reason if found is not None and not found.answered else None,
        "told": " ".join(told(job, verdict)),
    }


def _state_of(air: AirReading) -> tuple[float, float]:
    return float(quantity(air.temp).in_unit("C", 2)), float(quantity(air.rh).si)


def outside_told(job: Job, place: str) -> list[str]:
    """Return whether outdoor air dries a place, by the airs read there last; () where none were."""
    ledger = job.board.ledger
    inside, outside = newest_air(ledger, "affected", place), newest_air(ledger, "outside")
    if inside is None or outside is None:
        return []
    states = [_state_of(inside), _state_of(outside)]
    one, other = (from_humidity(*state) for state in states)
    # two readings under one sky: what its pressure is changes both alike
    doubts = [doubt(from_humidity, *state, SEA_LEVEL, Tolerance()).ratio for state in states]
    found = compare(one, other, *doubts)
    told = {
        "inside": f"{inside.temp}/{inside.rh}",
        "outside": f"{outside.temp}/{outside.rh}",
        "margin": f"{1000 * abs(found.margin):.1f}",
        "doubt": f"{1000 * found.doubt:.1f}",
        "at": job.shown(outside.at),
    }
    lines = [say(f"air.outside-{found.verdict}", **told)]
    if inside.surface and wets_surface(other, float(quantity(inside.surface).in_unit("C", 2))):
        lines.append(say("air.wets-surface", surface=inside.surface))
    return lines
