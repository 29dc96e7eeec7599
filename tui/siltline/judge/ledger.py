"""Folds the events of a job into what stands now: the plan, the words, the photos."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from siltline.record import Event
from siltline.rules.plan import Plan, apply_difference, whole_from_json

# Acts that may be taken back. Photos stay (nothing taken in is lost); a hand-off and a
# sign-off happened between people.
UNDOABLE = frozenset({"attached", "detached", "ticked", "unticked", "left-out", "measured"})


@dataclass(frozen=True, slots=True)
class Word:
    """A person's word on a step: `ticked` or `left-out`; `number` is its event's place."""

    kind: str
    event: str
    at: str
    by: str
    number: int = 0
    licence: str = ""
    values: tuple[str, ...] = ()
    note: str = ""
    because: str = ""


@dataclass(frozen=True, slots=True)
class Attached:
    """A photo attached to a step, in a role."""

    photo: str
    role: str
    event: str
    at: str


@dataclass(frozen=True, slots=True)
class TakenPhoto:
    """A photo that was taken in."""

    sha256: str
    name: str
    bytes: int
    at: str
    by: str | None


@dataclass(frozen=True, slots=True)
class HandedOver:
    """A hand-off or a sign-off: its event, when, from whom, to whom ("" for a sign-off)."""

    event: str
    at: str
    by: str
    to: str = ""


@dataclass(slots=True)
class Ledger:
    """What stands after all events.

    Attributes:
        plan: the plan as it was last laid; None only while a job is being made.
        words: step id -> the word that stands.
        first_word: step id -> number of the event that first ticked it.
        attached: step id -> photos, in the order of attaching.
        photos: sha256 -> photo, in the order of taking in.
        measured: facts found out since the sheet was written: path -> value as typed.
        handoffs, signoffs: in order.
        acts: undoable events that stand, oldest first.
        last_number: how many events there are.
    """

    plan: Plan | None = None
    words: dict[str, Word] = field(default_factory=dict)
    first_word: dict[str, int] = field(default_factory=dict)
    attached: dict[str, list[Attached]] = field(default_factory=dict)
    photos: dict[str, TakenPhoto] = field(default_factory=dict)
    measured: dict[tuple[str, ...], str | bool] = field(default_factory=dict)
    handoffs: list[HandedOver] = field(default_factory=list)
    signoffs: list[HandedOver] = field(default_factory=list)
    acts: list[Event] = field(default_factory=list)
    changed_after_signoff: bool = False
    last_number: int = 0

    def current_plan(self) -> Plan:
        """Return the plan.

        Raises:
            LookupError: nothing was laid yet.
        """
        if self.plan is None:
            raise LookupError("no plan")
        return self.plan


def _laid(ledger: Ledger, event: Event) -> None:
    body = event.body
    if "plan" in body:
        ledger.plan = whole_from_json(body["plan"])
    else:
        ledger.plan = apply_difference(ledger.current_plan(), body["change"])


def _photo(ledger: Ledger, event: Event) -> None:
    body = event.body
    taken = TakenPhoto(body["sha256"], body["name"], body["bytes"], event.at, event.by)
    ledger.photos.setdefault(taken.sha256, taken)


def _attached(ledger: Ledger, event: Event) -> None:
    body = event.body
    here = ledger.attached.setdefault(body["step"], [])
    here[:] = [a for a in here if a.photo != body["photo"]]
    here.append(Attached(body["photo"], body["role"], event.id, event.at))


def _detached(ledger: Ledger, event: Event) -> None:
    here = ledger.attached.get(event.body["step"], [])
    here[:] = [a for a in here if a.photo != event.body["photo"]]


def _ticked(ledger: Ledger, event: Event) -> None:
    body = event.body
    ledger.words[body["step"]] = Word(
        "ticked",
        event.id,
        event.at,
        event.by or "",
        ledger.last_number,
        body["licence"],
        tuple(body["values"]),
        body["note"],
    )
    ledger.first_word.setdefault(body["step"], ledger.last_number)


def _unticked(ledger: Ledger, event: Event) -> None:
    ledger.words.pop(event.body["step"], None)


def _left_out(ledger: Ledger, event: Event) -> None:
    body = event.body
    ledger.words[body["step"]] = Word(
        "left-out",
        event.id,
        event.at,
        event.by or "",
        ledger.last_number,
        because=body["because"],
    )


def _measured(ledger: Ledger, event: Event) -> None:
    ledger.measured[tuple(event.body["path"])] = event.body["value"]


def _handed_off(ledger: Ledger, event: Event) -> None:
    ledger.handoffs.append(HandedOver(event.id, event.at, event.by or "", event.body["to"]))


def _signed_off(ledger: Ledger, event: Event) -> None:
    ledger.signoffs.append(HandedOver(event.id, event.at, event.by or ""))
    ledger.changed_after_signoff = False


_FOLDS: Mapping[str, Callable[[Ledger, Event], None]] = {
    "laid": _laid,
    "photo": _photo,
    "attached": _attached,
    "detached": _detached,
    "ticked": _ticked,
    "unticked": _unticked,
    "left-out": _left_out,
    "measured": _measured,
    "handed-off": _handed_off,
    "signed-off": _signed_off,
}
_NO_CHANGE = frozenset({"handed-off", "signed-off"})


def fold(events: Iterable[Event], onto: Ledger | None = None) -> Ledger:
    """Return what stands after events, given in an order where parents come first.

    An event of an unknown kind changes nothing here: a later version wrote it, and it stays
    in the record.

    Args:
        events: all events, or those that came since `onto` was folded.
        onto: what stood before; it is changed in place. Events that undo others need all
            events, and `onto` left out.
    """
    listed = list(events)
    undone = {target for e in listed if e.kind == "undone" for target in e.body["events"]}
    ledger = onto or Ledger()
    for event in listed:
        ledger.last_number += 1
        if event.id in undone:
            continue
        if ledger.signoffs and event.kind not in _NO_CHANGE:
            ledger.changed_after_signoff = True
        apply = _FOLDS.get(event.kind)
        if apply is not None:
            apply(ledger, event)
        if event.kind in UNDOABLE:
            ledger.acts.append(event)
    return ledger
