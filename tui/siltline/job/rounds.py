"""Rounds of readings: one number a point, the air of the day, all or none, odd ones asked about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct, field

from siltline import times
from siltline.errors import WrongUse
from siltline.job import said
from siltline.job.desk import Job
from siltline.job.odd import Odd, odd_air, odd_value, percent, wood_temp
from siltline.job.points import amount, ensure_place, point_named, when_read
from siltline.judge.measured import meter_named, meters_of, readings_at
from siltline.judge.points import AIRS, Meter
from siltline.rules.faults import meant
from siltline.sentences import say
from siltline.units import bare_in, quantity


class Round(Struct, frozen=True):
    """A round of readings as it was typed.

    Attributes:
        when: a moment as people type it; "" is now.
        values: point -> the number; a bare number is percent.
        lines: point -> the line of the file that it stands in, where it comes from one.
    """

    when: str
    values: dict[str, str]
    lines: dict[str, int] = field(default_factory=dict)


def _corrected(value: str, temp: str, meter: Meter | None) -> str:
    """Return what a meter that does not know the wood's temperature should have read, or ""."""
    if not temp or meter is None or meter.corrects != "no":
        return ""
    from siltline.science.faults import BadInput  # noqa: PLC0415
    from siltline.science.wood import LEAST_READ, MOST_READ, corrected  # noqa: PLC0415

    read = float(quantity(value).in_unit("%", 2))
    if not LEAST_READ <= read <= MOST_READ:
        return ""  # beyond it the meter only tells dry from wet, at any temperature
    try:
        return f"{corrected(read, float(quantity(temp).in_unit('C', 2))):.1f} %"
    except BadInput as fault:
        raise WrongUse(say("read.not-corrected", value=temp), about="temp") from fault


def with_unit(typed: str) -> str:
    """Return a moisture reading with its unit: what meters show is percent."""
    return bare_in(typed, "%")


def meter_typed(job: Job, name: str, how: str = "") -> Meter | None:
    """Return the meter that somebody named; None where nobody named one.

    Args:
        job: the open job.
        name: as typed.
        how: what puts a meter in, in words; the command by default.

    Raises:
        WrongUse: no such meter.
    """
    ledger = job.board.ledger
    used = meter_named(ledger, name) if name.strip() else None
    if name.strip() and used is None:
        known = [one.name for one in meters_of(ledger)]
        told = say("meter.unknown", name=name, how=how or say("meter.how"))
        raise WrongUse(told + (meant(name, known) or "."), about="meter")
    return used


def wood_understood(typed: str) -> str:
    """Return the temperature of the wood as it is understood, in both scales.

    Raises:
        WrongUse: none, or none that wood in a house can have.
    """
    warm = _wood_warm(typed)
    read = quantity(warm)
    return " = ".join(read.typed_in(unit).text for unit in ("F", "C"))


def _wood_warm(typed: str) -> str:
    """Return the temperature of the wood as typed, once it is sure to be one; "" is none."""
    return wood_temp(amount(typed, "temperature", say("read.temp")))


def as_read(job: Job, meter: str, temp: str) -> list[str]:
    """Return that readings count uncorrected, where the meter needs a temperature and has none."""
    used = meter_typed(job, meter)
    if temp.strip() or used is None or used.corrects != "no":
        return []
    return [say("read.as-read", meter=used.name)]


def corrects_nothing(job: Job, meter: str, temp: str) -> bool:
    """Tell whether a temperature was given that no meter is known to need, or to do without."""
    used = meter_typed(job, meter)
    return bool(temp.strip()) and not (used is not None and used.corrects)


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
        Odd: a number surprises, and nobody said that it is meant.
    """
    told = {"meter": meter, "temp": temp, "note": note}
    return read_rounds(job, [Round(when, dict(values))], by=by, sure=sure, **told)[0]


def read_rounds(
    job: Job,
    rounds: Sequence[Round],
    *,
    by: str,
    sure: bool = False,
    **told: str,
) -> list[list[str]]:
    """Record several rounds as one act: a slip in the last one leaves nothing of the first.

    Args:
        job: the open job.
        rounds: in the order of their moments.
        by: who read.
        sure: whether numbers that surprise are meant.
        **told: meter, temp, note, as for `read_round`.

    Returns:
        What is odd about each round, in sentences.

    Raises:
        WrongUse, Odd: as for `read_round`.
    """
    name = said.person(by)
    every = []
    for one in rounds:
        kept = {point: with_unit(value) for point, value in one.values.items() if value.strip()}
        if not kept:
            raise WrongUse(say("read.none"))
        every.append(Round(one.when, kept, one.lines))
    with job.acting():
        found: list[list[str]] = []
        for one in every:
            if found:
                job.rejudge()  # a round is held against the one before it
            body, odd = _round(job, one, told)
            found.append(odd)
            job.append("read", body, name)
        odd = [one for there in found for one in there]
        if odd and not sure:
            raise Odd(odd)
    return found


def _round(job: Job, typed: Round, told: Mapping[str, str]) -> tuple[dict[str, Any], list[str]]:
    """Return a round as the record holds it, and what is odd about it."""
    ledger = job.board.ledger
    used = meter_typed(job, told.get("meter", ""))
    warm = _wood_warm(told.get("temp", ""))
    at = when_read(job, typed.when) if typed.when.strip() else ""
    read, odd = [], []
    for name, value in typed.values.items():
        point = point_named(job, name)
        percent(value)
        right = _corrected(value, warm, used)
        before = readings_at(ledger, point.name)
        found = odd_value(point, right or value, before, at or times.written(job.clock()))
        odd += [_placed(told, typed.lines.get(name)) for told in found]
        one = {"point": point.name, "value": value}
        read.append(one | ({"corrected": right} if right else {}))
    body = {"round": read, "meter": used.name if used else "", "temp": warm, "when": at}
    body |= {"note": said.note(told.get("note", ""))}
    return {k: v for k, v in body.items() if v}, odd


def _placed(told: str, line: int | None) -> str:
    """Return what is odd about a reading, with the line of the file that it stands in."""
    return say("read.at-cell", line=line, column="value", told=told) if line else told


def moisture_typed(typed: str) -> str:
    """Return a moisture reading as it is understood: 17 is 17 %.

    Raises:
        WrongUse: none, or none that wood can have.
    """
    percent(with_unit(typed))
    return with_unit(typed)


def air_understood(typed: str) -> str:
    """Return a state of air as it is understood: 72F/58 is 72F/58 %.

    Raises:
        WrongUse: no such state, or one that cannot be.
    """
    one = _air(air_typed("affected", typed))
    odd_air([one])
    return f"{one['temp']}/{one['rh']}"


def _air(one: Mapping[str, str]) -> dict[str, str]:
    """Return a reading of the air with its amounts checked."""
    if one["air"] not in AIRS:
        raise WrongUse(say("air.which", value=one["air"], known=", ".join(AIRS)))
    read = {
        "air": one["air"],
        "place": one.get("place", "").strip(),
        "temp": amount(one["temp"], "temperature", say("read.temp")),
        "rh": amount(with_unit(one["rh"]), "ratio", say("read.rh")),
    }
    surface = amount(one.get("surface", ""), "temperature", say("read.surface"))
    return read | ({"surface": surface} if surface else {})


def air_typed(air: str, typed: str, place: str = "", surface: str = "") -> dict[str, str]:
    """Return an air as `read_air` takes it, from a state as people type it: 72F/58%.

    Args:
        air: one of AIRS.
        typed: temperature and humidity.
        place: the room or space that it is of; outdoors has none.
        surface: temperature of the coldest surface beside what is wet, or "".

    Raises:
        WrongUse: no such state.
    """
    temp, slash, rh = typed.partition("/")
    if not slash or not temp.strip() or not rh.strip():
        raise WrongUse(say("air.how", value=typed))
    inside = {"surface": surface} if air == "affected" else {}
    where = "" if air == "outside" else place
    return {"air": air, "temp": temp.strip(), "rh": rh.strip(), "place": where, **inside}


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
        meter: name of a meter of the job, or "".
        when: as people type a moment; "" is now.
        by: who read.
        note: a note.
        sure: whether numbers that surprise are meant.

    Returns:
        What is odd about the numbers, in sentences.

    Raises:
        WrongUse, Odd: as for `read_round`.
    """
    name = said.person(by)
    if not airs:
        raise WrongUse(say("read.none"))
    kept = [_air(one) for one in airs]
    with job.acting(changes_states=False):
        used = meter_typed(job, meter)
        for one in kept:
            ensure_place(job, one["place"])
        odd = odd_air(kept)
        if odd and not sure:
            raise Odd(odd)
        at = when_read(job, when) if when.strip() else ""
        body = {"round": kept, "meter": used.name if used else "", "when": at}
        body |= {"note": said.note(note)}
        job.append("air", {k: v for k, v in body.items() if v}, name)
    return odd
