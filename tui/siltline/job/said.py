"""What a person says with a word: names, reasons, values, the way chosen, a label's number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from siltline.errors import WrongUse
from siltline.judge import StepView
from siltline.judge.holding import MEASURED, answers, dimension, split
from siltline.rules.faults import meant
from siltline.rules.plan import Proof
from siltline.sentences import say
from siltline.text import storable
from siltline.units import quantity

LONGEST_NAME = 120
LONGEST_TEXT = 4000
# Company and product number, and a distributor's, as a label gives them after "EPA Reg. No.":
# EPA Label Review Manual, chapter 14; 40 CFR 156.10(e). The establishment number that stands
# beside it says where the product was made, not what it is.
_REGISTRATION = re.compile(
    r"(?:EPA\s+Reg(?:\.|istration)\s*No\.?\s*)?(\d{1,6}-\d{1,5}(?:-\d{1,6})?)", re.IGNORECASE
)
_BELOW_NOUGHT = ("ratio", "temperature", "time", "area")


def text(what: str, typed: str, longest: int = LONGEST_TEXT) -> str:
    """Return a text as it is recorded.

    Raises:
        WrongUse: too long.
    """
    kept = storable(typed).strip()
    if len(kept) > longest:
        raise WrongUse(say("acts.too-long", what=what, n=len(kept), longest=longest))
    return kept


def person(name: str) -> str:
    """Return a name as it is recorded.

    Raises:
        WrongUse: empty, or too long.
    """
    kept = text(say("acts.name"), name, LONGEST_NAME)
    if not kept:
        raise WrongUse(say("acts.who"))
    return kept


def reason(because: str) -> str:
    """Return a reason as it is recorded.

    Raises:
        WrongUse: empty, or too long.
    """
    kept = text(say("acts.reason"), because)
    if not kept:
        raise WrongUse(say("acts.why"))
    return kept


def licence(typed: str) -> str:
    """Return a licence as it is recorded; "" where none was given."""
    return text(say("acts.licence"), typed, LONGEST_NAME)


def measured(view: StepView, way: str = "") -> list[Proof]:
    """Return what a step wants measured, by the way that was chosen."""
    chosen = view.step.way(way)
    proofs = (*view.step.proof, *(chosen.proof if chosen else ()))
    return [proof for proof in proofs if proof.kind in MEASURED]


def _value(view: StepView, way: str, typed: str) -> None:
    """Refuse a value that the step does not ask for, that cannot be, or that could be several."""
    name, amount = split(typed)
    read, wanted = quantity(amount), measured(view, way)
    fits = [proof for proof in wanted if answers(proof, typed)]
    if not fits:
        units = [proof.unit or "min" for proof in wanted]
        names = [proof.name for proof in wanted if name]
        asked = ", ".join(names or units) or say("acts.no-value")
        raise WrongUse(say("acts.value-not-asked", value=typed, asked=asked))
    if len(fits) > 1:
        names = [f"{proof.name}={amount}" for proof in fits]
        raise WrongUse(say("acts.value-of-which", value=typed, names=", ".join(names)))
    if dimension(fits[0]) in _BELOW_NOUGHT and read.si < 0:
        raise WrongUse(say("acts.impossible", value=typed))


def registration(view: StepView, typed: str, called: str) -> str:
    """Return the registration number of a product as its label gives it.

    Raises:
        WrongUse: the step asks for none, or it is no such number.
    """
    if not typed.strip():
        return ""
    if all(proof.kind != "label" for proof in view.step.proof):
        raise WrongUse(say("acts.no-label", step=called), about="registration")
    return registration_number(typed)


def registration_number(typed: str) -> str:
    """Return a registration number as a label gives it.

    Raises:
        WrongUse: it is no such number.
    """
    kept = text(say("acts.registration"), typed, LONGEST_NAME)
    found = _REGISTRATION.fullmatch(kept)
    if found is None:
        raise WrongUse(say("acts.no-registration", text=kept), about="registration")
    return found[1]


def chosen_way(view: StepView, typed: str, called: str) -> str:
    """Return the way that was chosen; "" where none was.

    Raises:
        WrongUse: the step has no such way.
    """
    ways = [way.id for way in view.step.ways]
    if typed and typed not in ways:
        raise WrongUse(say("acts.no-way", way=typed, step=called) + meant(typed, ways), about="way")
    return typed


def body_of_tick(
    view: StepView, values: Sequence[str], told: dict[str, str], *, called: str
) -> dict[str, Any]:
    """Return the body of a `ticked` event.

    Args:
        view: the step.
        values: as typed, without blanks around.
        told: licence, note, way, registration, as typed.
        called: how the step is called where something is refused.

    Raises:
        WrongUse: a value, a way or a number that the step does not ask for.
    """
    way = chosen_way(view, told.get("way", "").strip(), called)
    for value in values:
        _value(view, way, value)
    body: dict[str, Any] = {"step": view.step.id, "values": list(values)}
    body |= {"licence": licence(told.get("licence", "")), "note": note(told.get("note", ""))}
    number = registration(view, told.get("registration", ""), called)
    later = {"way": way, "registration": number}
    return body | {name: what for name, what in later.items() if what}


def note(typed: str) -> str:
    """Return a note as it is recorded."""
    return text(say("acts.note"), typed)


def body_of_leaving(
    view: StepView, because: str, typed: str, decided_by: str, *, called: str
) -> dict[str, Any]:
    """Return the body of a `left-out` event; `called` as for a tick.

    Raises:
        WrongUse: no reason; a licence where nobody may decide otherwise; or somebody who has
            no say over this step.
    """
    body: dict[str, Any] = {"step": view.step.id, "because": reason(because)}
    kept, who = licence(typed), text(say("acts.name"), decided_by, LONGEST_NAME)
    if kept and not view.step.override:
        raise WrongUse(say("acts.no-override", step=called), about="licence")
    if who and who not in view.step.may_stay_out:
        known = list(view.step.may_stay_out)
        told = say("acts.no-say", who=who, step=called) + meant(who, known)
        raise WrongUse(told, about="decided_by")
    return body | {k: v for k, v in {"licence": kept, "decided-by": who}.items() if v}
