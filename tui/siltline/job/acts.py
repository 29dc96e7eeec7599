"""The acts on a step: attach, tick, measure, leave out, and taking each back."""

from __future__ import annotations

from collections.abc import Sequence

from siltline import __version__
from siltline.errors import NotNow, WrongUse
from siltline.job.desk import Job
from siltline.judge import StepView
from siltline.record import Event
from siltline.rules.faults import meant
from siltline.rules.plan import Ask, difference
from siltline.sentences import say
from siltline.text import storable
from siltline.units import quantity

LONGEST_NAME = 120
LONGEST_TEXT = 4000
# Roles that any step may use besides those that its proof names.
COMMON_ROLES = ("before", "after", "during", "detail", "other")


def _text(what: str, text: str, longest: int = LONGEST_TEXT) -> str:
    kept = storable(text).strip()
    if len(kept) > longest:
        raise WrongUse(say("acts.too-long", what=what, n=len(kept), longest=longest))
    return kept


def person(name: str) -> str:
    """Return a name as it is recorded.

    Raises:
        WrongUse: empty, or too long.
    """
    kept = _text(say("acts.name"), name, LONGEST_NAME)
    if not kept:
        raise WrongUse(say("acts.who"))
    return kept


def reason(because: str) -> str:
    """Return a reason as it is recorded.

    Raises:
        WrongUse: empty, or too long.
    """
    kept = _text(say("acts.reason"), because)
    if not kept:
        raise WrongUse(say("acts.why"))
    return kept


def find_photo(job: Job, named: str) -> str:
    """Return the sha256 of a photo named by its first hex digits or by its file name.

    Raises:
        WrongUse: no such photo, or several.
    """
    photos = job.board.ledger.photos
    wanted = storable(named)
    found = [p for p, taken in photos.items() if taken.name == wanted]
    found = found or [p for p in photos if named and p.startswith(named.lower())]
    if len(found) == 1:
        return found[0]
    if found:
        listed = ", ".join(p[:12] for p in found[:6])
        raise WrongUse(say("photos.several", photo=named, n=len(found), photos=listed))
    names = [taken.name for taken in photos.values()]
    hint = meant(wanted, names) if names else ""
    raise WrongUse(say("photos.unknown", photo=named) + (hint if len(names) < 12 else ""))  # noqa: PLR2004


def _role(view: StepView, role: str | None) -> str:
    wanted = [proof.name for proof in view.step.proof if proof.kind == "photo"]
    if role is None:
        missing = [h.proof.name for h in view.missing if h.proof.kind == "photo"]
        return (missing or [*wanted, "other"])[0]
    known = list(dict.fromkeys([*wanted, *COMMON_ROLES]))
    if role not in known:
        raise WrongUse(say("photos.role", role=role) + meant(role, known))
    return role


def attach(
    job: Job, step: str, photo: str, *, role: str | None = None, by: str | None = None
) -> str:
    """Attach a photo to a step; return the role it got.

    Args:
        job: the open job.
        step: id of the step.
        photo: first hex digits of its sha256, or its file name.
        role: before, after, ...; the first that the step still misses by default.
        by: who, if told.

    Raises:
        WrongUse: no such step, photo or role.
    """
    with job.acting():
        view, sha256 = job.step(step), find_photo(job, photo)
        chosen = _role(view, role)
        if any((a.photo, a.role) == (sha256, chosen) for a in view.attached):
            return chosen  # said before: the same word twice adds nothing
        job.append("attached", {"step": step, "photo": sha256, "role": chosen}, by)
    return chosen


def detach(job: Job, step: str, photo: str, *, by: str | None = None) -> None:
    """Take a photo off a step; it stays in the job.

    Raises:
        WrongUse: no such step or photo, or it is not attached there.
    """
    with job.acting():
        view, sha256 = job.step(step), find_photo(job, photo)
        if all(a.photo != sha256 for a in view.attached):
            raise WrongUse(say("photos.not-there", photo=photo, step=step))
        job.append("detached", {"step": step, "photo": sha256}, by)


def _must_be_open(view: StepView) -> None:
    """Refuse a word on a step that applies no more or waits for others."""
    if view.state == "not-needed":
        raise NotNow(say("acts.not-needed", step=view.step.id, because=" ".join(view.remarks)))
    if view.waiting:
        needs = ", ".join(view.waiting)
        raise NotNow(say("acts.blocked", do=view.step.do, n=len(view.waiting), needs=needs))


def tick(
    job: Job,
    step: str,
    *,
    by: str,
    licence: str = "",
    values: Sequence[str] = (),
    note: str = "",
) -> StepView:
    """Give a person's word that a step is done; return the step as it stands then.

    On a step that asks for a fact the values answer what is asked, and the plan is laid again.

    Raises:
        WrongUse: no such step, no name, or a value without a unit.
        NotNow: the step waits for another one, applies no more, or a fact must be measured first.
    """
    name = person(by)
    typed = [_text(say("acts.value"), value, LONGEST_NAME) for value in values]
    told = _text(say("acts.note"), note)
    trade = _text(say("acts.licence"), licence, LONGEST_NAME)
    with job.acting():
        view = job.step(step)
        _must_be_open(view)
        if view.step.asks:
            _measure(job, view, typed, name, told)
        else:
            for value in typed:
                quantity(value)
            body = {"step": step, "licence": trade, "values": typed, "note": told}
            job.append("ticked", body, name)
    return job.step(step)


def untick(job: Job, step: str, *, by: str | None = None) -> StepView:
    """Take back the word on a step, whether it was ticked or left out.

    Raises:
        WrongUse: no such step, or no word stands on it.
    """
    with job.acting():
        if job.step(step).word is None:
            raise WrongUse(say("acts.no-word", step=step))
        job.append("unticked", {"step": step}, by)
    return job.step(step)


def leave_out(job: Job, step: str, *, by: str, because: str) -> StepView:
    """Record that a step is left out, by whom and why.

    Raises:
        WrongUse: no such step, no name or no reason.
        NotNow: the step applies no more.
    """
    name, told = person(by), reason(because)
    with job.acting():
        view = job.step(step)
        if view.state == "not-needed":
            raise NotNow(say("acts.not-needed", step=step, because=" ".join(view.remarks)))
        job.append("left-out", {"step": step, "because": told}, name)
    return job.step(step)


def undo(job: Job, *, by: str | None = None) -> Event:
    """Take back the newest act that stands; return it. Undoing again goes further back.

    Raises:
        NotNow: nothing is left to take back.
    """
    with job.acting():
        acts = job.board.ledger.acts
        if not acts:
            raise NotNow(say("acts.nothing-to-undo"))
        last = acts[-1]
        also = [
            e.id for e in job.record.events if e.kind == "laid" and e.body.get("for") == last.id
        ]
        job.append("undone", {"events": [last.id, *also]}, by)
    return last


def _answer(ask: Ask, value: str) -> str | bool:
    """Return a measured fact as the house sheet would hold it."""
    yes_no = {say("fact.yes"): True, "true": True, say("fact.no"): False, "false": False}
    if ask.path[-1] in ("wet", "outer", "flooded"):
        if value.lower() not in yes_no:
            raise WrongUse(say("acts.yes-or-no", value=value))
        return yes_no[value.lower()]
    return value


def _measure(job: Job, view: StepView, values: Sequence[str], by: str, note: str) -> None:
    """Record the facts that a step asked for and lay the plan again with them."""
    asks = view.step.asks
    if not values:
        raise NotNow(say("acts.measure-first", do=view.step.do, measure=view.measure))
    if len(values) > len(asks):
        raise WrongUse(say("acts.too-many", n=len(asks)))
    from siltline.rules import files  # noqa: PLC0415 - reads YAML, only here and to begin

    sheet = next(e for e in job.record.events if e.kind == "laid" and "sheet" in e.body).body
    measured = job.board.ledger.facts()
    for ask, value in zip(asks, values, strict=False):
        answer = _answer(ask, value)
        measured[ask.path] = answer
        body = {"step": view.step.id, "path": list(ask.path), "value": answer, "note": note}
        event = job.append("measured", body, by)
        plan = files.plan_from(
            sheet["checklist"]["texts"],
            sheet["sheet"]["text"],
            sheet["sheet"]["name"],
            measured.items(),
        )
        told = say("plan.dropped", what=ask.words, value=value, by=by)
        change = difference(job.board.plan, plan, told)
        laid = {"engine": __version__, "for": event.id, "change": change}
        job.append("laid", laid, by)
        job.rejudge()
