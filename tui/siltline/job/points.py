"""Measuring points and meters of a job: set up, and described anew."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from siltline.errors import WrongUse
from siltline.job import said
from siltline.job.desk import Job
from siltline.judge.points import (
    MATERIALS,
    Meter,
    Point,
    meter_named,
    points_of,
)
from siltline.judge.register import key_of
from siltline.rules.faults import meant
from siltline.rules.plan import Step
from siltline.sentences import say
from siltline.units import examples_of, quantity


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
        raise WrongUse(say("point.unknown", name=name) + (meant(name, known) or "."))
    return there[0]


def material_typed(typed: str) -> str:
    """Return the material of a point, or "" where nothing was typed.

    Raises:
        WrongUse: no such material.
    """
    return _one_of("point.material", typed, MATERIALS)


def _one_of(key: str, typed: str, known: Sequence[str]) -> str:
    """Return a word of a list, or "" where nothing was typed."""
    word = typed.strip().casefold()
    if word and word not in known:
        raise WrongUse(say(key, value=typed, known=", ".join(known)))
    return word


def amount(typed: str, dimension: str, name: str) -> str:
    """Return an amount as typed, once it is sure to be one of that kind; "" where none is."""
    kept = said.text(name, typed, said.LONGEST_NAME)
    if kept:
        try:
            quantity(kept, dimension)
        except WrongUse as fault:
            examples = examples_of(dimension)
            raise WrongUse(
                say("point.not-that", value=kept, what=name, examples=examples)
            ) from fault
    return kept


def _room_of(job: Job, wall: str) -> str:
    """Return the room that a wall looks into, by the house sheet; "" where it does not say."""
    from siltline.job.laying import sheet_as_it_stands  # noqa: PLC0415 - reads YAML

    return str(sheet_as_it_stands(job).get(f"walls.{wall}.room") or "")


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
        "material": material_typed(told.get("material", "")),
        "depth": amount(told.get("depth", ""), "length", say("point.depth")),
        "height": amount(told.get("height", ""), "length", say("point.height")),
    }
    with job.acting():
        here = job.step(step).step
        wanted = readable(here)
        chosen = [one for one in wanted if reads.casefold() in ("", one.casefold())]
        if not chosen:
            raise WrongUse(say("point.no-reading", step=job.called(step)))
        old = job.board.ledger.points.get(key_of(kept), [])
        if old and old[0].place != here.place:
            raise WrongUse(say("point.elsewhere", name=kept, place=old[0].place))
        room = air.strip() or (_room_of(job, here.place) if here.place_kind == "wall" else "")
        body |= {"name": kept, "place": here.place, "reads": chosen[0], "air": room}
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
        "tolerance": amount(told.get("tolerance", ""), "ratio", say("meter.tolerance")),
        "resolution": amount(told.get("resolution", ""), "ratio", say("meter.resolution")),
        "checked": when_read(job, checked)[:10] if checked else "",
        "corrects": _one_of("meter.corrects", corrects, ("yes", "no")),
    }
    with job.acting(changes_states=False):
        job.append("meter", {k: v for k, v in body.items() if v}, by.strip() or None)
    found = meter_named(job.board.ledger, kept)
    assert found is not None  # noqa: S101 - it was put there just now
    return found


def when_read(job: Job, typed: str) -> str:
    """Return a moment as the record holds it: RFC 3339 with the offset of the site.

    Raises:
        WrongUse: no moment, several, or one that lies ahead.
    """
    from siltline.moments import read_moment  # noqa: PLC0415 - only what was on paper needs it

    here = job.here()
    moment = read_moment(typed, here)
    if moment.time is None:
        raise WrongUse(say("read.no-time", value=typed))
    at = datetime.combine(moment.day, moment.time, tzinfo=here.tzinfo)
    if at > here:
        raise WrongUse(say("read.ahead", value=typed))
    return at.isoformat(timespec="milliseconds")
