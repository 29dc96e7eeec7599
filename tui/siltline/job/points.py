"""Measuring points of a job: set up, read round by round, with the air around them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.desk import Job
from siltline.job.odd import odd_air, odd_value
from siltline.judge.points import (
    AIRS,
    MATERIALS,
    Meter,
    Point,
    meter_named,
    points_of,
    readings_at,
)
from siltline.judge.register import key_of
from siltline.rules.faults import meant
from siltline.rules.plan import Step
from siltline.sentences import say
from siltline.units import quantity


def readable(step: Step) -> list[str]:
    """Return what points of a step can show: its readings in percent."""
    proofs = [*step.proof, *(proof for way in step.ways for proof in way.proof)]
    return [proof.name for proof in proofs if proof.kind == "reading" and proof.unit == "%"]


def point_named(job: Job, name: str) -> Point:
    """Return a point of the job.

    Raises:
        WrongUse: no such point.
    """
    there = job.board.ledger.points.get(key_of(name))
    if not there:
        known = [one.name for one in points_of(job.board.ledger)]
        raise WrongUse(say("point.unknown", name=name) + (meant(name, known) if known else ""))
    return there[0]


def _one_of(key: str, typed: str, known: Sequence[str]) -> str:
    """Return a word of a list, or "" where nothing was typed."""
    word = typed.strip().casefold()
    if word and word not in known:
        raise WrongUse(say(key, value=typed, known=", ".join(known)))
    return word


def _amount(typed: str, dimension: str, name: str) -> str:
    """Return an amount as typed, once it is sure to be one of that kind; "" where none is."""
    kept = said.text(name, typed, said.LONGEST_NAME)
    if kept and quantity(kept).dimension != dimension:
        raise WrongUse(say("point.not-that", value=kept, what=name))
    return kept


def add_point(
    job: Job,
    step: str,
    name: str,
    *,
    reads: str = "",
    air: str = "",
    reference: bool = False,
    by: str = "",
    **told: str,
) -> Point:
    """Set up a measuring point for a step, or describe one anew.

    Args:
        job: the open job.
        step: id of a step that wants a reading in percent; the point lies at its place.
        name: as it is written on the spot: J1.
        reads: what is read there, where the step wants several.
        air: id of the room or space whose air the material is in; by default the place itself.
        reference: whether it is unaffected wood of the same house.
        by: who sets it up, if told.
        **told: where, material, depth, height.

    Raises:
        WrongUse: no such step, or one without such a reading; no name; a word or an amount that
            cannot be; a point of that name at another place.
    """
    kept = said.text(say("point.name"), name, said.LONGEST_NAME)
    if not kept or "=" in kept:
        raise WrongUse(say("point.which"))
    body: dict[str, Any] = {
        "where": said.text(say("point.where"), told.get("where", ""), said.LONGEST_NAME),
        "material": _one_of("point.material", told.get("material", ""), MATERIALS),
        "depth": _amount(told.get("depth", ""), "length", say("point.depth")),
        "height": _amount(told.get("height", ""), "length", say("point.height")),
    }
    with job.acting():
        here = job.step(step).step
        wanted = readable(here)
        chosen = [one for one in wanted if reads.casefold() in ("", one.casefold())]
        if not chosen:
            raise WrongUse(say("point.no-reading", step=step))
        old = job.board.ledger.points.get(key_of(kept), [])
        if old and old[0].place != here.place:
            raise WrongUse(say("point.elsewhere", name=kept, place=old[0].place))
        body |= {"name": kept, "place": here.place, "reads": chosen[0], "air": air.strip()}
        body = {key: value for key, value in body.items() if value}
        job.append("point", body | ({"reference": True} if reference else {}), by.strip() or None)
    return point_named(job, kept)


def add_meter(job: Job, name: str, *, corrects: str = "", by: str = "", **told: str) -> Meter:
    """Put a meter into the register, or say anew what is known of it.

    Args:
        job: the open job.
        name: what people call it.
        corrects: whether it corrects for the temperature of the wood: yes, no, or "".
        by: who says so, if told.
        **told: tolerance and resolution with their unit, checked: the day of the last check.

    Raises:
        WrongUse: no name, or something that cannot be.
    """
    kept = said.text(say("meter.name"), name, said.LONGEST_NAME)
    if not kept:
        raise WrongUse(say("meter.which"))
    checked = told.get("checked", "").strip()
    body = {
        "name": kept,
        "tolerance": _amount(told.get("tolerance", ""), "ratio", say("meter.tolerance")),
        "resolution": _amount(told.get("resolution", ""), "ratio", say("meter.resolution")),
        "checked": _when(job, checked)[:10] if checked else "",
        "corrects": _one_of("meter.corrects", corrects, ("yes", "no")),
    }
    with job.acting(changes_states=False):
        job.append("meter", {k: v for k, v in body.items() if v}, by.strip() or None)
    found = meter_named(job.board.ledger, kept)
    assert found is not None  # noqa: S101 - it was put there just now
    return found


def _when(job: Job, typed: str) -> str:
    """Return a moment as the record holds it: RFC 3339 with the offset of the site.

    Raises:
        WrongUse: no moment, several, or one that lies ahead.
    """
    from siltline.moments import read_moment  # noqa: PLC0415 - only what was on paper needs it

    here = job.here()
    moment = read_moment(typed, here)
    if moment.time is None:
        raise WrongUse(say("reading.no-time", value=typed))
    at = datetime.combine(moment.day, moment.time, tzinfo=here.tzinfo)
    if at > here:
        raise WrongUse(say("reading.ahead", value=typed))
    return at.isoformat(timespec="milliseconds")


def _corrected(value: str, temp: str, meter: Meter | None) -> str:
    """Return what a meter that does not know the wood's temperature should have read, or ""."""
    if not temp or meter is None or meter.corrects != "no":
        return ""
    from siltline.science.wood import corrected  # noqa: PLC0415

    percent = float(quantity(value).in_unit("%", 2))
    return f"{corrected(percent, float(quantity(temp).in_unit('C', 2))):.1f} %"


def with_unit(typed: str) -> str:
    """Return a moisture reading with its unit: what meters show is percent."""
    bare = typed.strip()
    digits = bare.replace(".", "", 1)
    return f"{bare} %" if digits.isascii() and digits.isdecimal() else bare


def read_round(
    job: Job,
    values: Mapping[str, str],
    *,
    meter: str = "",
    temp: str = "",
    when: str = "",
    by: str,
    note: str = "",
    sure: bool = False,
) -> list[str]:
    """Record a round of readings, one number a point, all or none.

    Args:
        job: the open job.
        values: point -> the number on the meter; a bare number is percent.
        meter: name of a meter of the job, or "".
        temp: of the wood, for a meter that does not correct for it.
        when: as people type a moment; "" is now.
        by: who read.
        note: a note.
        sure: whether a number that surprises is meant.

    Returns:
        What is odd about the numbers, in sentences; () where nothing is.

    Raises:
        WrongUse: no such point or meter, no number, or one that cannot be.
        NotNow: a number surprises, and nobody said that it is meant.
    """
    name = said.person(by)
    kept = {point: with_unit(value) for point, value in values.items() if value.strip()}
    if not kept:
        raise WrongUse(say("reading.none"))
    with job.acting():
        ledger = job.board.ledger
        used = meter_named(ledger, meter) if meter.strip() else None
        if meter.strip() and used is None:
            raise WrongUse(say("meter.unknown", name=meter))
        warm = _amount(temp, "temperature", say("reading.temp"))
        at = _when(job, when) if when.strip() else ""
        read, odd = [], []
        for typed, value in kept.items():
            point = point_named(job, typed)
            right = _corrected(value, warm, used)
            odd += odd_value(point, right or value, readings_at(ledger, point.name), at)
            one = {"point": point.name, "value": value}
            read.append(one | ({"corrected": right} if right else {}))
        if odd and not sure:
            raise NotNow(say("reading.odd", told=" ".join(odd)))
        body = {"round": read, "meter": used.name if used else "", "temp": warm, "when": at}
        body |= {"note": said.note(note)}
        job.append("read", {k: v for k, v in body.items() if v}, name)
    return odd


def read_air(
    job: Job,
    airs: Sequence[Mapping[str, str]],
    *,
    meter: str = "",
    when: str = "",
    by: str,
    note: str = "",
    sure: bool = False,
) -> list[str]:
    """Record the air of the day: affected, unaffected, outside, a dehumidifier's outlet.

    Args:
        job: the open job.
        airs: each with air (one of AIRS), place (id of a room or space, or ""), temp, rh and
            surface (of the coldest surface there, or "").
        meter, when, by, note, sure: as for `read_round`.

    Returns:
        What is odd about the numbers, in sentences.

    Raises:
        WrongUse, NotNow: as for `read_round`.
    """
    name = said.person(by)
    if not airs:
        raise WrongUse(say("reading.none"))
    kept = []
    for one in airs:
        if one["air"] not in AIRS:
            raise WrongUse(say("air.which", value=one["air"], known=", ".join(AIRS)))
        read = {
            "air": one["air"],
            "place": one.get("place", "").strip(),
            "temp": _amount(one["temp"], "temperature", say("reading.temp")),
            "rh": _amount(with_unit(one["rh"]), "ratio", say("reading.rh")),
        }
        surface = _amount(one.get("surface", ""), "temperature", say("reading.surface"))
        kept.append(read | ({"surface": surface} if surface else {}))
    with job.acting(changes_states=False):
        used = meter_named(job.board.ledger, meter) if meter.strip() else None
        if meter.strip() and used is None:
            raise WrongUse(say("meter.unknown", name=meter))
        places = {view.step.place for view in job.board.steps.values()}
        for one in kept:
            if one["place"] and one["place"] not in places:
                raise WrongUse(say("air.no-place", value=one["place"]))
        odd = odd_air(kept)
        if odd and not sure:
            raise NotNow(say("reading.odd", told=" ".join(odd)))
        at = _when(job, when) if when.strip() else ""
        body = {"round": kept, "meter": used.name if used else "", "when": at}
        body |= {"note": said.note(note)}
        job.append("air", {k: v for k, v in body.items() if v}, name)
    return odd
