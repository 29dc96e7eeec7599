"""Measuring points and meters of a job: set up, and described anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from itertools import count
from typing import TYPE_CHECKING, Any

from siltline.errors import WrongUse
from siltline.job import said
from siltline.job.desk import Job
from siltline.judge.measured import meter_named, points_of
from siltline.judge.points import INITIALS, MATERIALS, REFERENCE_INITIAL, Meter, Point
from siltline.judge.register import key_of
from siltline.rules.faults import meant
from siltline.rules.plan import Step
from siltline.sentences import say
from siltline.units import CommaTyped, bare_in, examples_of, quantity

if TYPE_CHECKING:
    from siltline.moments import Moment

# What meters for wood promise and show, in points of percent (common practice); more or less is a
# slip: a fraction, or a share of the reading.
LEAST_POINTS, MOST_POINTS = Decimal("0.05"), Decimal(10)


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
        except CommaTyped:
            raise  # it says what to write
        except WrongUse as fault:
            examples = examples_of(dimension)
            raise WrongUse(
                say("point.not-that", value=kept, what=name, examples=examples)
            ) from fault
    return kept


def name_for(job: Job, material: str = "", *, reference: bool = False) -> str:
    """Return the name of a point that nobody named: of its material and a number, J4.

    It is short, for it is written on the spot, and no other point of the job has it.

    Args:
        job: the open job.
        material: one of MATERIALS; anything else counts as other.
        reference: whether it is unaffected wood, which is R and a number.
    """
    other = INITIALS["other"]
    first = REFERENCE_INITIAL if reference else INITIALS.get(material.strip().casefold(), other)
    taken = job.board.ledger.points
    return next(name for n in count(1) if key_of(name := f"{first}{n}") not in taken)


def _room_of(job: Job, wall: str) -> str:
    """Return the room that a wall looks into, by the house sheet; "" where it does not say."""
    from siltline.job.laying import sheet_as_it_stands  # noqa: PLC0415 - reads YAML

    return str(sheet_as_it_stands(job).get(f"walls.{wall}.room") or "")


def _step_of(job: Job, step: str) -> tuple[Step, list[str]]:
    """Return a step and what points of it can show.

    Raises:
        WrongUse: no such step, or one that asks for no reading in percent; names some that do.
    """
    steps = [view.step for view in job.board.steps.values()]
    found = next((one for one in steps if one.id == step), None)
    wanted = readable(found) if found is not None else []
    if found is None or not wanted:
        known = [one.id for one in steps if readable(one)]
        alike = [one for one in known if one.split("/")[0] == step]  # its place was left out
        key = "point.no-reading" if found is not None else "step.unknown"
        told = job.called(step) if found is not None else step
        raise WrongUse(say(key, step=told) + meant(step, alike or known))
    return found, wanted


def ensure_place(job: Job, place: str) -> None:
    """Refuse a place that air cannot be of; "" is none.

    Raises:
        WrongUse: the plan has no such place; names the likeliest.
    """
    known = list(dict.fromkeys(view.step.place for view in job.board.steps.values()))
    if place and place not in known:
        raise WrongUse(say("air.no-place", value=place) + meant(place, known))


def add_point(
    job: Job,
    step: str,
    name: str,
    *,
    reads: str = "",
    air: str = "",
    reference: bool | None = None,
    by: str = "",
    **told: str,
) -> Point:
    """Set up a measuring point for a step, or describe one anew: what is not told stays.

    Args:
        job: the open job.
        step: id of a step that wants a reading in percent; the point lies at its place.
        name: as it is written on the spot: J1; "" is given one by `name_for`.
        reads: what is read there, where the step wants several.
        air: id of the room or space whose air the material is in; by default the place itself.
        reference: whether it is unaffected wood of the same house; None tells nothing of it.
        by: who sets it up, if told.
        **told: where, material, depth, height.

    Raises:
        WrongUse: no such step, or one without such a reading; a name, a word or an amount that
            cannot be; a point of that name at another place.
    """
    kept = said.text(say("point.name"), name, said.LONGEST_NAME)
    if "=" in kept:
        raise WrongUse(say("point.no-name", name=kept))
    body: dict[str, Any] = {
        "where": said.text(say("point.where"), told.get("where", ""), said.LONGEST_NAME),
        "material": material_typed(told.get("material", "")),
        "depth": amount(told.get("depth", ""), "length", say("point.depth")),
        "height": amount(told.get("height", ""), "length", say("point.height")),
    }
    with job.acting():
        here, wanted = _step_of(job, step)
        chosen = [one for one in wanted if reads.casefold() in ("", one.casefold())]
        if not chosen:
            raise WrongUse(
                say("point.not-read", step=job.called(step), reads=reads) + meant(reads, wanted)
            )
        kept = kept or name_for(job, body["material"], reference=bool(reference))
        old = next(iter(job.board.ledger.points.get(key_of(kept), [])), None)
        if old is not None and old.place != here.place:
            raise WrongUse(say("point.elsewhere", name=kept, place=old.place))
        ensure_place(job, air.strip())
        room = air.strip() or (_room_of(job, here.place) if here.place_kind == "wall" else "")
        body |= {"name": kept, "place": here.place, "reads": chosen[0], "air": room}
        body["reference"] = bool(reference)
        if old is not None:
            body |= _as_before(old, body, reads=reads, air=air, reference=reference)
        body = {key: value for key, value in body.items() if value}
        job.append("point", body, by.strip() or None)
    return point_named(job, kept)


def _as_before(
    old: Point, body: Mapping[str, Any], *, reads: str, air: str, reference: bool | None
) -> dict[str, Any]:
    """Return what a point that is described anew keeps of what was said of it before."""
    keys = [key for key in ("where", "material", "depth", "height") if not body[key]]
    keys += [key for key, told in (("reads", reads), ("air", air.strip())) if not told]
    keys += ["name", *(["reference"] if reference is None else [])]
    return {key: getattr(old, key) for key in keys}


def add_meter(job: Job, name: str, *, corrects: str = "", by: str = "", **told: str) -> Meter:
    """Put a meter into the register, or say more of it: what is not told stays.

    Args:
        job: the open job.
        name: what people call it.
        corrects: whether it corrects for the temperature of the wood: yes, no, or "".
        by: who says so, if told.
        **told: tolerance and resolution (a bare number is percent), checked: the day of the last
            check.

    Raises:
        WrongUse: no name, or something that cannot be.
    """
    kept = said.text(say("meter.name"), name, said.LONGEST_NAME)
    if not kept:
        raise WrongUse(say("meter.which"))
    checked = told.get("checked", "").strip()
    body = {
        "name": kept,
        "tolerance": promise_typed(told.get("tolerance", ""), say("meter.tolerance")),
        "resolution": promise_typed(told.get("resolution", ""), say("meter.resolution")),
        "checked": _day_checked(job, checked).day.isoformat() if checked else "",
        "corrects": _one_of("meter.corrects", corrects, ("yes", "no")),
    }
    with job.acting(changes_states=False):
        old = meter_named(job.board.ledger, kept)
        body = {key: told or getattr(old, key, "") for key, told in body.items()}
        job.append("meter", {k: v for k, v in body.items() if v}, by.strip() or None)
    found = meter_named(job.board.ledger, kept)
    assert found is not None  # noqa: S101 - it was put there just now
    return found


def meter_told(one: Meter) -> dict[str, str]:
    """Return what is known of a meter, for a sentence; "-" for what nobody told."""
    keys = ("name", "tolerance", "resolution", "checked", "corrects")
    return {key: getattr(one, key) or "-" for key in keys}


def promise_typed(typed: str, name: str) -> str:
    """Return a tolerance or a step of a display, percent; "" where none was typed.

    Raises:
        WrongUse: none, or one that no meter for wood has.
    """
    kept = amount(bare_in(typed, "%"), "ratio", name)
    if kept and not LEAST_POINTS <= quantity(kept).si * 100 <= MOST_POINTS:
        told = {"value": kept, "what": name, "least": LEAST_POINTS, "most": MOST_POINTS}
        raise WrongUse(say("meter.not-that", **told))
    return kept


def _day_checked(job: Job, typed: str) -> Moment:
    """Return the day on which a meter was checked.

    Raises:
        WrongUse: no day, several, or one that lies ahead.
    """
    from siltline.moments import read_moment  # noqa: PLC0415

    here = job.here()
    moment = read_moment(typed, here)
    if moment.day > here.date():
        raise WrongUse(say("meter.checked-ahead", value=typed))
    return moment


def day_understood(job: Job, typed: str) -> str:
    """Return the day on which a meter was checked so that a mistake is seen.

    Raises:
        WrongUse: no day, several, or one that lies ahead.
    """
    return _day_checked(job, typed).shown


def when_read(job: Job, typed: str) -> str:
    """Return a moment as the record holds it: RFC 3339 with the offset of the site.

    Raises:
        WrongUse: no moment, several, or one that lies ahead.
    """
    return _moment_before(job, typed)[1].isoformat(timespec="milliseconds")


def when_understood(job: Job, typed: str) -> str:
    """Return a moment so that a mistake is seen: with its weekday and its year.

    Raises:
        WrongUse: as for `when_read`.
    """
    return _moment_before(job, typed)[0].shown


def _moment_before(job: Job, typed: str) -> tuple[Moment, datetime]:
    """Return a moment as it is understood, and the same in the zone of the site."""
    from siltline.moments import read_moment  # noqa: PLC0415 - only what was on paper needs it

    here = job.here()
    moment = read_moment(typed, here)
    if moment.time is None:
        raise WrongUse(say("read.no-time", value=typed))
    at = datetime.combine(moment.day, moment.time, tzinfo=here.tzinfo)
    if at > here:
        raise WrongUse(say("read.ahead", value=typed))
    return moment, at
