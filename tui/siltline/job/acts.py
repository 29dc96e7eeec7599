"""The acts on a step: attach, tick, measure, leave out, and taking each back."""

from __future__ import annotations

from collections.abc import Sequence

from siltline.errors import NotNow, WrongUse
from siltline.job.desk import Job
from siltline.job.measuring import found_before, measure, take_back
from siltline.judge import StepView
from siltline.record import Event
from siltline.rules.faults import meant
from siltline.sentences import say
from siltline.text import storable
from siltline.units import UNITS, quantity

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
        raise WrongUse(say("photos.role", role=role, roles=", ".join(known)))
    return role


def attach(
    job: Job, step: str, photo: str, *, role: str | None = None, by: str | None = None
) -> tuple[str, bool]:
    """Attach a photo to a step.

    Args:
        job: the open job.
        step: id of the step.
        photo: first hex digits of its sha256, or its file name.
        role: before, after, ...; the first that the step still misses by default.
        by: who, if told.

    Returns:
        The role, and whether that is new: the same word twice adds nothing.

    Raises:
        WrongUse: no such step, photo or role.
        NotNow: the photo was withheld.
    """
    with job.acting():
        view, sha256 = job.step(step), find_photo(job, photo)
        if sha256 in job.board.ledger.withheld:
            raise NotNow(say("photos.withheld", photo=sha256[:12]))
        chosen = _role(view, role)
        new = all((a.photo, a.role) != (sha256, chosen) for a in view.attached)
        if new:
            job.append("attached", {"step": step, "photo": sha256, "role": chosen}, by)
    return chosen, new


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
        again = found_before(job, step) if typed and not _readings(view) else []
        if not again:
            _must_be_open(view)
        if again or view.step.asks:
            measure(job, view, again or view.step.asks, typed, name, told)
        else:
            for value in typed:
                _wanted(view, value)
            body = {"step": step, "licence": trade, "values": typed, "note": told}
            job.append("ticked", body, name)
    return job.step(step)


def _readings(view: StepView) -> list[str]:
    """Return the units of the readings that a step asks for."""
    return [proof.unit for proof in view.step.proof if proof.kind == "reading"]


def _wanted(view: StepView, value: str) -> None:
    """Refuse a value that the step does not ask for, or that cannot be."""
    read = quantity(value)
    units = _readings(view)
    if read.dimension not in [UNITS[unit].dimension for unit in units]:
        asked = ", ".join(units) or say("acts.no-value")
        raise WrongUse(say("acts.value-not-asked", value=value, asked=asked))
    if read.dimension in ("ratio", "temperature") and read.si < 0:
        raise WrongUse(say("acts.impossible", value=value))


def untick(job: Job, step: str, *, by: str | None = None) -> StepView:
    """Take back the word on a step, ticked or left out, or the fact found out for it.

    Raises:
        WrongUse: no such step, or no word stands on it.
    """
    with job.acting():
        if job.step(step).word is not None:
            job.append("unticked", {"step": step}, by)
        elif not take_back(job, step, by):
            raise WrongUse(say("acts.no-word", step=step))
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

    It stops at a hand-off: what the crew before did is taken back step by step, with a word.

    Raises:
        NotNow: nothing is left to take back.
    """
    with job.acting():
        ledger = job.board.ledger
        if not ledger.acts:
            raise NotNow(say("acts.nothing-to-undo"))
        last = ledger.acts[-1]
        closed = [*ledger.handoffs, *ledger.signoffs]
        if any(ledger.causes.knew(one.event, last.id) for one in closed):
            raise NotNow(say("acts.handed-over", step=last.body["step"]))
        also = [
            e.id for e in job.record.events if e.kind == "laid" and e.body.get("for") == last.id
        ]
        job.append("undone", {"events": [last.id, *also]}, by)
    return last
