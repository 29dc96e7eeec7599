"""Contact times: begun, seen wet, wetted again, ended; how long yet; and in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from siltline import times
from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.acts import must_be_open
from siltline.job.desk import Job
from siltline.judge import StepView
from siltline.judge.contact import (
    AGAIN,
    BEGUN,
    DRIED,
    ENDED,
    GOES_ON,
    SEEN,
    Mark,
    Run,
    Standing,
    clock_face,
    ended,
    running,
    standing,
)
from siltline.judge.holding import BY_THE_LABEL
from siltline.rules.plan import Proof
from siltline.sentences import say
from siltline.units import bare_in, quantity

LONGEST_S = 86_400  # a label that wants a surface wet for days is not meant to be waited for


def cautions() -> list[str]:
    """Return what is said wherever a contact time begins: who decides, and what can hurt."""
    return [say("wet.never-mix"), say("wet.gear"), say("wet.label-decides")]


def asked(view: StepView) -> Proof | None:
    """Return the contact time that a step asks for; None where it asks for none."""
    return next((h.proof for h in view.held if h.proof.kind == "contact-time"), None)


def minutes_of(view: StepView) -> str:
    """Return the contact time that the step itself names; "" where the label must say it."""
    proof = asked(view)
    return "" if proof is None or proof.name == BY_THE_LABEL else proof.name


def minutes_read(view: StepView, typed: str) -> str:
    """Return a contact time as it is recorded: a bare number is minutes, as on a label.

    Raises:
        WrongUse: it is no time, none at all, longer than a day, or shorter than the step asks.
    """
    kept = bare_in(said.text(say("acts.value"), typed, said.LONGEST_NAME), "min")
    if not kept:
        raise WrongUse(say("wet.which-minutes"))
    read = quantity(kept, "time")
    least = minutes_of(view)
    if not 0 < read.si <= LONGEST_S:
        raise WrongUse(say("wet.odd-minutes", value=kept))
    if least and read.si < quantity(least).si:
        raise WrongUse(say("wet.too-short", value=kept, bound=least))
    return kept


def minutes_typed(job: Job, view: StepView, product: str = "") -> list[str]:
    """Return times that were typed for this product, then for this step, the newest first."""
    runs = [run for here in job.board.ledger.wet.values() for run in here]
    runs.sort(key=lambda run: job.board.ledger.causes.place[run.begun.event], reverse=True)
    name = product.strip().casefold()
    same = [run.minutes for run in runs if name and run.product.casefold() == name]
    here = [run.minutes for run in runs if run.step == view.step.id]
    return list(dict.fromkeys([*same, *here]))


def going(job: Job) -> list[Standing]:
    """Return the contact times that run, the one that matters most first."""
    wet = job.board.ledger.wet
    return running(wet, job.clock()) if wet else []  # asks no clock where there is nothing


def wet_now(job: Job) -> datetime | None:
    """Return the time, for the contact times that run; None where nothing was ever wetted."""
    return job.clock() if job.board.ledger.wet else None


def ensure_may_begin(job: Job, view: StepView) -> None:
    """Refuse a contact time at a step that applies no more, waits, or may not be needed.

    Raises:
        NotNow: says why.
    """
    must_be_open(job, view)
    if view.step.asks:
        raise NotNow(say("wet.measure-first", measure=view.measure))


def begin_wet(job: Job, step: str, *, by: str, minutes: str = "", product: str = "") -> Standing:
    """Record that a surface was wetted, and from now on must stay wet.

    Args:
        job: the open job.
        step: id of the step.
        by: who wetted it.
        minutes: how long its label wants it wet; "" where the step itself says that.
        product: with what, if told.

    Raises:
        WrongUse: no such step, no name, no time or one that cannot be.
        NotNow: one runs at this step, or the step waits, applies no more or asks for a fact.
    """
    name, kept = said.person(by), said.text(say("acts.product"), product, said.LONGEST_NAME)
    with job.acting():
        view = job.step(step)
        ensure_may_begin(job, view)
        if _open(view):
            raise NotNow(say("wet.runs-already", do=view.step.do, step=job.called(step)))
        body = {"step": step, "minutes": minutes_read(view, minutes or minutes_of(view))}
        job.append(BEGUN, body | ({"product": kept} if kept else {}), name)
    return _newest(job, step)


def wet_again(job: Job, step: str, *, by: str, goes_on: bool = False) -> Standing:
    """Record that a surface had dried and was wetted again.

    Args:
        job: the open job.
        step: id of the step.
        by: who wetted it.
        goes_on: the label lets the time before count, as far as it was seen wet; else the time
            counts anew.

    Raises:
        WrongUse: no such step, or no name.
        NotNow: nothing runs at this step.
    """
    return _say(job, step, AGAIN, by, GOES_ON if goes_on else "")


def seen_wet(job: Job, step: str, *, by: str) -> Standing:
    """Record that somebody looked, and the surface was wet.

    Raises:
        WrongUse: no such step, or no name.
        NotNow: nothing runs at this step.
    """
    return _say(job, step, SEEN, by)


def end_wet(job: Job, step: str, *, by: str, dried: bool = False) -> Standing:
    """Record the end of a contact time: whole where its time is over, else early.

    Args:
        job: the open job.
        step: id of the step.
        by: who ends it.
        dried: it was found dry: it counts as wet until it was last seen so.

    Raises:
        WrongUse: no such step, or no name.
        NotNow: nothing runs at this step.
    """
    return _say(job, step, ENDED, by, DRIED if dried else "")


def _open(view: StepView) -> list[Run]:
    return [run for run in view.wet if ended(run) is None]


def _say(job: Job, step: str, kind: str, by: str, how: str = "") -> Standing:
    name = said.person(by)
    with job.acting():
        if not _open(job.step(step)):
            raise NotNow(say("wet.none-here", step=job.called(step)))
        job.append(kind, {"step": step} | ({"how": how} if how else {}), name)
    return _newest(job, step)


def _newest(job: Job, step: str) -> Standing:
    """Return the run that the last event of the job was said of, as it stands at its time."""
    last = job.record.events[-1]
    runs = [run for run in job.step(step).wet if run.marks[-1].event == last.id]
    return as_last_said(runs[-1])


# in sentences


def _where(job: Job, one: Standing) -> str:
    view = job.board.steps.get(one.run.step)
    return f"{view.step.rule.replace('-', ' ')}, {view.step.place}" if view else one.run.step


def goes_on(job: Job) -> list[str]:
    """Return what is to be known of what runs before the program is closed, in sentences."""
    found = going(job)
    told = [
        say(
            "wet.leave-over" if one.state == "over" else "wet.leave-until",
            where=_where(job, one),
            at=hour(job, one.over_at),
        )
        for one in found
    ]
    return [*told, say("wet.leave")] if found else []


def line(job: Job, one: Standing) -> str:
    """Return a run that goes on in a few words: where, how long yet, what to do."""
    where = _where(job, one)
    if one.set_back:
        return say("wet.line-clock", where=where)
    if one.state == "over":
        return say("wet.line-over", where=where, at=hour(job, one.over_at))
    left = clock_face(one.left_s)
    return say("wet.line-asks" if one.asks else "wet.line", where=where, left=left)


def hour(job: Job, moment: datetime) -> str:
    """Return a time of the day at the house, to the second."""
    return f"{moment.astimezone(job.zone) if job.zone else moment:%H:%M:%S}"


def told(job: Job, one: Standing) -> str:
    """Return how a run stands, as a sentence."""
    run = one.run
    about = {"for": clock_face(one.counted_s), "of": run.minutes, "at": hour(job, one.over_at)}
    first = say(f"wet.{one.state}", **about)
    what = {"with": run.product or say("wet.no-product"), "by": run.begun.by}
    begun = say("wet.begun", at=job.shown(run.begun.at), **what)
    return " ".join([first, begun, *_marks(job, one), *_doubts(one)])


def _marks(job: Job, one: Standing) -> Iterator[str]:
    """Yield what was said of a run since it began."""
    for mark in one.run.marks[1:]:
        what = {"by": mark.by, "at": hour(job, times.read(mark.at))}
        yield say(_MARKS[mark.kind, mark.how], **what)
    if one.state == "whole":
        yield say("wet.watched" if one.watched else "wet.not-watched")


_MARKS = {
    (AGAIN, ""): "wet.mark-again",
    (AGAIN, GOES_ON): "wet.mark-goes-on",
    (SEEN, ""): "wet.mark-seen",
    (ENDED, ""): "wet.mark-ended",
    (ENDED, DRIED): "wet.mark-dried",
}


def _doubts(one: Standing) -> Iterator[str]:
    if one.set_back:
        yield say("wet.set-back")
    if one.laptops > 1:
        yield say("wet.two-laptops", n=one.laptops)


def as_last_said(run: Run) -> Standing:
    """Return how a run stood when something was last said of it; of an ended one, how it ended."""
    return standing(run, times.read(run.marks[-1].at))


def tells(one: Standing) -> dict[str, Any]:
    """Return a run as plain values, flat: times in RFC 3339, lengths in whole seconds."""
    run, end = one.run, one.end
    return {
        "step": run.step,
        "state": one.state,
        "minutes": run.minutes,
        "product": run.product,
        "begun": run.begun.at,
        "by": run.begun.by,
        "wanted_s": int(one.wanted_s),
        "counted_s": int(one.counted_s),
        "left_s": int(one.left_s),
        "over_at": times.written(one.over_at),
        "asks": one.asks,
        "seen_wet": len(one.looks),
        "wetted_again": sum(mark.kind == AGAIN for mark in run.marks),
        "watched": one.watched,
        "ended": _of(end, "at"),
        "ended_by": _of(end, "by"),
        "ended_dry": end is not None and end.how == DRIED,
        "clock_set_back": one.set_back,
        "laptops": one.laptops,
    }


def _of(mark: Mark | None, what: str) -> str | None:
    return None if mark is None else str(getattr(mark, what))
