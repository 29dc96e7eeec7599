"""The acts on a step: attach, tick, measure, leave out, and taking each back."""

from __future__ import annotations

from collections.abc import Sequence

from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.acted import about
from siltline.job.desk import Job
from siltline.job.measuring import found_before, measure, take_back
from siltline.judge import StepView
from siltline.judge.proofs import roles, spare_roles, wanted_roles
from siltline.record import Event
from siltline.rules.faults import meant
from siltline.sentences import say
from siltline.text import storable

# Roles that any step may use besides those that its proof names.
COMMON_ROLES = ("before", "after", "during", "detail", "other")


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
        told = say("photos.several", photo=named, n=len(found), photos=listed)
        raise WrongUse(told, about="photo")
    names = [taken.name for taken in photos.values()]
    hint = meant(wanted, names) if names else ""
    told = say("photos.unknown", photo=named) + (hint if len(names) < 12 else "")  # noqa: PLR2004
    raise WrongUse(told, about="photo")


def _role(view: StepView, role: str | None) -> str:
    wanted = wanted_roles(view)
    if role is None:
        missing = [r for h in view.missing for r in roles(h.proof)]
        return (missing or [*wanted, "other"])[0]
    known = list(dict.fromkeys([*wanted, *spare_roles(view), *COMMON_ROLES]))
    if role not in known:
        raise WrongUse(say("photos.role", role=role, roles=", ".join(known)))
    return role


def attach(
    job: Job,
    step: str,
    photo: str,
    *,
    role: str | None = None,
    spot: str = "",
    by: str | None = None,
) -> tuple[str, bool]:
    """Attach a photo to a step.

    Args:
        job: the open job.
        step: id of the step.
        photo: first hex digits of its sha256, or its file name.
        role: before, after, ...; the first that the step still misses by default.
        spot: what several photos show alike, so that a before finds its after.
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
        chosen, place = _role(view, role), said.text(say("acts.spot"), spot, said.LONGEST_NAME)
        there = [(a.photo, a.role, a.spot) for a in view.attached]
        new = (sha256, chosen, place) not in there
        if new:
            body = {"step": step, "photo": sha256, "role": chosen}
            job.append("attached", {**body, "spot": place} if place else body, by)
    return chosen, new


def detach(job: Job, step: str, photo: str, *, by: str | None = None) -> None:
    """Take a photo off a step; it stays in the job.

    Raises:
        WrongUse: no such step or photo, or it is not attached there.
    """
    with job.acting():
        view, sha256 = job.step(step), find_photo(job, photo)
        if all(a.photo != sha256 for a in view.attached):
            raise WrongUse(say("photos.not-there", photo=photo, step=job.called(step)))
        job.append("detached", {"step": step, "photo": sha256}, by)


def must_apply(job: Job, view: StepView) -> None:
    """Refuse an act on a step that applies no more."""
    if view.state == "not-needed":
        step = job.called(view.step.id)
        raise NotNow(say("acts.not-needed", step=step, because=" ".join(view.remarks)))


def must_be_open(job: Job, view: StepView) -> None:
    """Refuse a word on a step that applies no more or waits for others."""
    must_apply(job, view)
    if view.waiting:
        needs = "; ".join(map(job.called, view.waiting))
        raise NotNow(say("acts.blocked", do=view.step.do, n=len(view.waiting), needs=needs))


def tick(
    job: Job,
    step: str,
    *,
    by: str,
    values: Sequence[str] = (),
    **told: str,
) -> StepView:
    """Give a person's word that a step is done; return the step as it stands then.

    On a step that asks for a fact the values answer what is asked, and the plan is laid again.

    Args:
        job: the open job.
        step: id of the step.
        by: whose word it is.
        values: readings and quantities with their units, as typed; `name=value` where several
            of one kind are asked for.
        **told: licence, note, way, registration: what else was said, "" where nothing was.

    Raises:
        WrongUse: no such step, no name, or something that the step does not ask for.
        NotNow: the step waits for another one, applies no more, or a fact must be measured first.
    """
    name = said.person(by)
    typed = [said.text(say("acts.value"), value, said.LONGEST_NAME) for value in values]
    with job.acting():
        view = job.step(step)
        again = found_before(job, step) if typed and not said.measured(view) else []
        if not again:
            must_be_open(job, view)
        if again or view.step.asks:
            asks = again or view.step.asks
            measure(job, view, asks, typed, name, said.note(told.get("note", "")))
        else:
            body = said.body_of_tick(view, typed, told, called=job.called(step))
            _ensure_dry_air(job, view, body.get("way", ""))
            job.append("ticked", body, name)
    return job.step(step)


def _ensure_dry_air(job: Job, view: StepView, chosen: str) -> None:
    """Refuse a way that draws in air which, by the airs read last, wets the place."""
    way = view.step.way(chosen)
    if way is None or not way.draws_in:
        return
    from siltline.judge.airs import against  # noqa: PLC0415 - reckons, where a fan is to run

    held = against(job.board.ledger, view.step.place)
    if held is None or held.found.verdict != "wets":
        return
    airs = {"inside": held.inside.typed, "outside": held.outside.typed}
    at, place = job.shown(held.outside.at), view.step.place_name
    raise NotNow(say("acts.air-wets", place=place, at=at, **airs))


def untick(job: Job, step: str, *, by: str | None = None) -> StepView:
    """Take back the word on a step, ticked or left out, or the fact found out for it.

    Raises:
        WrongUse: no such step, or no word stands on it.
    """
    with job.acting():
        if job.step(step).word is not None:
            job.append("unticked", {"step": step}, by)
        elif not take_back(job, step, by):
            raise WrongUse(say("acts.no-word", step=job.called(step)))
    return job.step(step)


def leave_out(
    job: Job, step: str, *, by: str, because: str, licence: str = "", decided_by: str = ""
) -> StepView:
    """Record that a step is left out, by whom and why.

    Args:
        job: the open job.
        step: id of the step.
        by: whose word it is.
        because: why.
        licence: of a licensed person who decides otherwise, where the sources differ.
        decided_by: who decided that something stays out, one of those who may.

    Raises:
        WrongUse: no such step, no name, no reason, or somebody who has no say.
        NotNow: the step applies no more.
    """
    name = said.person(by)
    with job.acting():
        view = job.step(step)
        must_apply(job, view)
        called = job.called(step)
        body = said.body_of_leaving(view, because, licence, decided_by, called=called)
        job.append("left-out", body, name)
    return job.step(step)


def undo(job: Job, *, by: str | None = None) -> Event:
    """Take back the newest act that stands; return it. Undoing again goes further back.

    It stops at a hand-off: what the crew before did is taken back step by step, with a word. It
    stops where a photo was withheld, which nothing takes back.

    Raises:
        NotNow: nothing is left to take back, or the newest act cannot be.
    """
    with job.acting():
        ledger = job.board.ledger
        for photo, gone in ledger.withheld.items():
            if all(ledger.causes.knew(gone.event, act.id) for act in ledger.acts[-1:]):
                raise NotNow(say("acts.withheld-last", photo=photo[:12]))
        if not ledger.acts:
            raise NotNow(say("acts.nothing-to-undo"))
        last = ledger.acts[-1]
        closed = [*ledger.handoffs, *ledger.signoffs]
        if any(ledger.causes.knew(one.event, last.id) for one in closed):
            raise NotNow(say("acts.handed-over", step=about(job, last)))
        also = [
            e.id for e in job.record.events if e.kind == "laid" and e.body.get("for") == last.id
        ]
        job.append("undone", {"events": [last.id, *also]}, by)
    return last
