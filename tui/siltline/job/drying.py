"""How the points of a job stand, in sentences and as a chart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

from siltline.job import references
from siltline.job.desk import Job
from siltline.job.odd import COLDEST, HOTTEST
from siltline.judge.airs import against
from siltline.judge.drying import Verdict, beside, limits, never_in, verdict
from siltline.judge.measured import newest_air, points_of, readings_at
from siltline.judge.points import percent_of
from siltline.rules.plan import Step
from siltline.science.chart import BLOCKS, Marks, chart
from siltline.science.outside import wets_surface
from siltline.sentences import say
from siltline.units import quantity


def _date(at: datetime | None, job: Job) -> str:
    return f"{at.astimezone(job.zone):%a %d %b}" if at is not None else say("drying.no-day")


def _values(one: Verdict) -> dict[str, Any]:
    return {
        "name": one.point.name,
        "newest": one.newest,
        "goal": f"{one.goal:.1f}".removesuffix(".0"),
        "limit": f"{one.limit:g}",
        "held": one.held,
        "wanted": one.wanted,
    }


def told(job: Job, one: Verdict) -> list[str]:
    """Return how a point stands, in sentences: state, goal, the day or why there is none."""
    values = _values(one)
    lines = [say(f"drying.state.{one.state}", **values)]
    if one.state in ("first", "drying", "never", "stalled"):
        lines += _day_told(job, one, values)
    lines += _air_told(one, values)
    if one.references:
        lines.append(say("drying.goal-reference", points=", ".join(one.references), **values))
    return lines


def _air_told(one: Verdict, values: dict[str, Any]) -> Iterator[str]:
    if one.state in ("unread", "dry"):
        return
    if one.air is None or one.emc is None:
        yield say("drying.no-air", place=one.point.air or one.point.place)
        return
    key = "drying.air-never" if one.state == "never" else "drying.air"
    needed = one.rh_needed
    yield say(
        key,
        temp=one.air.temp,
        rh=one.air.rh,
        emc=f"{one.emc:.1f}",
        needed=f"{100 * needed:.0f}" if needed is not None else "-",
        **values,
    )


def _day_told(job: Job, one: Verdict, values: dict[str, Any]) -> Iterator[str]:
    found = one.told
    if found is None:
        return
    if found.answered:
        early, middle, late = (_date(one.day(day), job) for day in found.days)
        yield say("drying.by-day", early=early, middle=middle, late=late, **values)
        return
    never = "" if math.isnan(found.never) else f"{100 * found.never:.0f}"
    told = {"used": found.used, "never": never, "emc": f"{one.emc:.1f}", "goal": values["goal"]}
    yield say("drying.refused", because=say(f"drying.because.{found.reason}", **told))
    if found.reason == "may-never":
        yield say("drying.dry-the-air")
    else:
        yield say(f"drying.remedy.{found.reason}")


def drawn(one: Verdict, size: tuple[int, int], marks: Marks = BLOCKS) -> list[str]:
    """Return the drying chart of a point as lines of text; no lines where nothing was read.

    Args:
        one: of the point.
        size: columns and rows.
        marks: BLOCKS, PAPER, or PLAIN for ASCII only.
    """
    found = one.told
    late = found.days[2] + 1 if found is not None and found.answered else -math.inf
    return chart(one.readings, one.goal, one.emc, found.fit if found else None, late, size, marks)


def plainly(one: Verdict, job: Job) -> dict[str, Any]:
    """Return how a point stands as plain values, SI and flat."""
    found, air = one.told, one.air
    read = readings_at(job.board.ledger, one.point.name)
    days = found.days if found is not None and found.answered else (None,) * 3
    dates = [one.day(day) if day is not None else None for day in days]
    early, middle, late = (at.isoformat() if at else None for at in dates)
    return {
        "point": one.point.name,
        "place": one.point.place,
        "reads": one.point.reads,
        "where": one.point.where,
        "state": one.state,
        "reference": False,
        "newest": one.newest,
        "at": read[-1].at if read else None,
        "meter": read[-1].meter if read else "",
        "readings": len(one.readings),
        "goal_percent": round(one.goal, 2),
        "limit_percent": one.limit,
        "references": list(one.references),
        "serves": [],
        "emc_percent": None if one.emc is None else round(one.emc, 2),
        "air": air.typed if air else None,
        "held": one.held,
        "wanted": one.wanted,
        "p05": early,
        "p50": middle,
        "p95": late,
        "because": found.reason if found is not None and not found.answered else None,
        "told": " ".join(told(job, one)),
    }


def outside_told(job: Job, place: str, when: str = "") -> list[str]:
    """Return whether outdoor air dries a place, by the airs read last; () where none were.

    Args:
        job: the open job.
        place: id of a room or space, or "" for any.
        when: up to which time, RFC 3339: what was read later says nothing of it; "" is now.
    """
    held = against(job.board.ledger, place, when)
    if held is None:
        return []
    inside, outside, found = held.inside, held.outside, held.found
    told = {
        "inside": inside.typed,
        "outside": outside.typed,
        "margin": f"{1000 * abs(found.margin):.1f}",
        "doubt": f"{1000 * found.doubt:.1f}",
        "at": job.shown(outside.at),
    }
    lines = [say(f"air.outside-{found.verdict}", **told)]
    surface = quantity(inside.surface).in_unit("C", 2) if inside.surface else None
    # what was recorded before it was looked at may be no temperature of this world
    if surface and COLDEST <= surface <= HOTTEST and wets_surface(held.outdoors, float(surface)):
        lines.append(say("air.wets-surface", surface=inside.surface))
    return lines


def _never_here(job: Job, step: Step) -> list[str]:
    """Return that the air of a place never lets its wood come to the limit of a step."""
    air = newest_air(job.board.ledger, "affected", step.place)
    bounds = [p.at_most for p in step.proof if p.unit == "%" and p.at_most]
    if air is None or not bounds:
        return []
    goal = percent_of(bounds[0])
    found = never_in(air, goal)
    if found is None:
        return []
    end, needed = found
    told = {"emc": f"{end:.1f}", "needed": f"{100 * needed:.0f}" if needed else "-"}
    return [say("drying.air-never", temp=air.temp, rh=air.rh, goal=f"{goal:g}", **told)]


def _stricter(found: Sequence[Verdict]) -> Iterator[str]:
    """Yield that unaffected wood asks more of points than their step does."""
    goals: dict[float, set[float]] = {}
    for one in found:
        if one.references:
            goals.setdefault(one.limit, set()).add(round(one.goal, 1))
    for limit, below in goals.items():
        told = " / ".join(f"{goal:g}" for goal in sorted(below))
        yield say("card.stricter", limit=f"{limit:g}", goal=told)


def measured_told(job: Job, step: Step) -> list[str]:
    """Return what the points and the air of a step's place say, in sentences; () where none do.

    Args:
        job: the open job.
        step: which; of one without points only the way to dry its place depends on the air.
    """
    reads = [proof.name.casefold() for proof in step.proof if proof.kind == "reading"]
    here = [one for one in points_of(job.board.ledger) if one.place == step.place]
    wanted = limits(job.board) if here else {}
    found = [
        verdict(job.board, one, wanted, dated=False)
        for one in here
        if not one.reference and one.reads.casefold() in reads
    ]
    lines = []
    if found:
        points = ", ".join(
            say("card.point", name=one.point.name, newest=one.newest or "-",
                state=say(f"dry.{one.state}"))
            for one in found
        )  # fmt: skip
        lines += [say("card.points", points=points), *_stricter(found)]
    lines += references.on_card(
        [
            one
            for one in beside(job.board, found)
            if one.point.reads.casefold() in reads and (found or one.point.place == step.place)
        ]
    )
    never = [one for one in found if one.state == "never"]
    lines += [line for one in never[:1] for line in _air_told(one, _values(one))]
    if not found:
        lines += _never_here(job, step)
    air = found[0].point.air or step.place if found else step.place
    return lines + (outside_told(job, air) if found or step.ways else [])
