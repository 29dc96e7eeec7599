"""Folds the events of a job into what stands now: the plan, the words, the photos."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from msgspec import Struct, field

from siltline.judge.causes import Causes, in_order, is_chain, lone
from siltline.judge.clocks import ClockShown
from siltline.judge.contact import KINDS, Run, take
from siltline.judge.entries import (
    Attached,
    HandedOver,
    Measured,
    Noted,
    Reading,
    TakenPhoto,
    Withheld,
    Word,
)
from siltline.judge.planning import Planning
from siltline.judge.points import (
    AirReading,
    Meter,
    Point,
    PointReading,
    fold_air,
    fold_meter,
    fold_point,
    fold_read,
)
from siltline.judge.reckoned import Reckoned, fold_reckoned
from siltline.judge.register import Key, Person, Product, key_of
from siltline.record import Event
from siltline.rules.plan import Plan

# Acts that may be taken back. Photos stay (nothing taken in is lost); a hand-off and a
# sign-off happened between people.
UNDOABLE = frozenset(
    {
        "attached",
        "detached",
        "ticked",
        "unticked",
        "left-out",
        "measured",
        "corrected",
        "noted",
        "person",
        "product",
        "laid",
        "clock-shown",
        "point",
        "meter",
        "read",
        "air",
        "reckoned",
        *KINDS,
    }
)


def undoable(event: Event) -> bool:
    """Tell whether an act may be taken back by itself.

    Of layings only those with another checklist: the first one made the job, and the others go
    with the fact that they were laid for.
    """
    if event.kind == "laid":
        return "checklist" in event.body and "plan" not in event.body
    return event.kind in UNDOABLE


class Ledger(Struct):
    """What stands after all events.

    A word, an attachment or a measured fact replaces those that its writer knew of. What two
    laptops wrote without each other stands side by side.

    Attributes:
        causes: who knew of what.
        planning: the plan, as often as it was laid.
        words: step id -> the words that stand; more than one where nobody knew of the other.
        readings: step id -> values given with its ticks since it was last taken back, in order.
        ticks: step id -> events that ever ticked it.
        rounds: step id -> its ticks since it was last taken back, in order.
        attached: step id -> photos, in the order of attaching.
        photos: sha256 -> photo, in the order of taking in.
        notes: sha256 -> the notes on a photo that stand.
        withheld: sha256 -> who erased its bytes, and why.
        lost: id or sha256 -> name of the damaged file that it could not be brought over from; it
            may have come from another file since.
        measured: path -> the values that stand.
        people: name and trade -> who that is, more than one where nobody knew of the other.
        products: name -> which that is, as for people.
        points: name -> the measuring point, as for people; `meters` likewise.
        point_readings: name of a point -> what was read there, in the order of recording.
        airs: readings of the air, in the order of recording.
        clocks: photo of the laptop's clock -> what that shows, as for people.
        wet: step id -> its contact times, in order.
        reckoned: step id -> what was reckoned there, as for words; each fan and mixture by itself.
        handoffs, signoffs: in order.
        acts: undoable events that stand, oldest first.
        lone: pairs of one laptop's events of which the later did not know the earlier.
    """

    causes: Causes = field(default_factory=lambda: Causes(()))
    planning: Planning | None = None
    words: dict[str, list[Word]] = field(default_factory=dict)
    readings: dict[str, list[Reading]] = field(default_factory=dict)
    ticks: dict[str, list[str]] = field(default_factory=dict)
    rounds: dict[str, list[Reading]] = field(default_factory=dict)
    attached: dict[str, list[Attached]] = field(default_factory=dict)
    photos: dict[str, TakenPhoto] = field(default_factory=dict)
    notes: dict[str, list[Noted]] = field(default_factory=dict)
    withheld: dict[str, Withheld] = field(default_factory=dict)
    lost: dict[str, str] = field(default_factory=dict)
    measured: dict[tuple[str, ...], list[Measured]] = field(default_factory=dict)
    people: dict[Key, list[Person]] = field(default_factory=dict)
    products: dict[Key, list[Product]] = field(default_factory=dict)
    points: dict[Key, list[Point]] = field(default_factory=dict)
    meters: dict[Key, list[Meter]] = field(default_factory=dict)
    point_readings: dict[Key, list[PointReading]] = field(default_factory=dict)
    airs: list[AirReading] = field(default_factory=list)
    clocks: dict[str, list[ClockShown]] = field(default_factory=dict)
    wet: dict[str, list[Run]] = field(default_factory=dict)
    reckoned: dict[str, list[Reckoned]] = field(default_factory=dict)
    handoffs: list[HandedOver] = field(default_factory=list)
    signoffs: list[HandedOver] = field(default_factory=list)
    acts: list[Event] = field(default_factory=list)
    lone: list[tuple[Event, Event]] = field(default_factory=list)
    changed_after_signoff: bool = False

    @property
    def plan(self) -> Plan | None:
        """Return the plan as it was last laid; None only while a job is being made."""
        return self.planning.plan() if self.planning else None

    def current_plan(self) -> Plan:
        """Return the plan.

        Raises:
            LookupError: nothing was laid yet.
        """
        plan = self.plan
        if plan is None:
            raise LookupError("no plan")
        return plan

    def laid_upon(self) -> Mapping[str, Any]:
        """Return the sheet, and the checklist as it was last laid, that the plan comes from."""
        return self.planning.upon if self.planning else {}

    def facts(self) -> dict[tuple[str, ...], str | bool | None]:
        """Return the measured facts that nobody disputes, to lay the plan again with."""
        return {
            path: found[0].value
            for path, found in self.measured.items()
            if all(one.value == found[0].value for one in found)
        }

    def disputed(self) -> list[list[Measured]]:
        """Return the facts of which two people, unknown to each other, found different values."""
        facts = self.facts()
        return [found for path, found in self.measured.items() if found and path not in facts]


def _laid(ledger: Ledger, event: Event) -> None:
    if ledger.planning is None:
        ledger.planning = Planning(ledger.causes)
    ledger.planning.lay(event)


def _photo(ledger: Ledger, event: Event) -> None:
    body = event.body
    taken = TakenPhoto(body["sha256"], body["name"], body["bytes"], event.at, event.by)
    ledger.photos.setdefault(taken.sha256, taken)


def _noted(ledger: Ledger, event: Event) -> None:
    here = ledger.notes.setdefault(event.body["photo"], [])
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    here.append(Noted(event.body["note"], event.id, event.at, event.by or ""))


def _withheld(ledger: Ledger, event: Event) -> None:
    told = Withheld(event.id, event.at, event.by or "", event.body["because"])
    ledger.withheld.setdefault(event.body["photo"], told)


def _salvaged(ledger: Ledger, event: Event) -> None:
    ledger.lost.update(dict.fromkeys(event.body["lost"], event.body["from"]))


def _known(ledger: Ledger, event: Event, earlier: str) -> bool:
    return ledger.causes.knew(event.id, earlier)


def _attached(ledger: Ledger, event: Event) -> None:
    body = event.body
    _detached(ledger, event)
    here = ledger.attached.setdefault(body["step"], [])
    here.append(Attached(body["photo"], body["role"], event.id, event.at, body.get("spot", "")))


def _detached(ledger: Ledger, event: Event) -> None:
    photo, here = event.body["photo"], ledger.attached.get(event.body["step"], [])
    here[:] = [a for a in here if a.photo != photo or not _known(ledger, event, a.event)]


def _say(ledger: Ledger, event: Event, word: Word) -> None:
    """Let a word stand in place of those that its writer knew of."""
    here = ledger.words.setdefault(event.body["step"], [])
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    here.append(word)


def _ticked(ledger: Ledger, event: Event) -> None:
    body = event.body
    told = body["licence"], tuple(body["values"]), body["note"], ""
    later = body.get("way", ""), body.get("registration", "")
    _say(ledger, event, Word("ticked", event.id, event.at, event.by or "", *told, *later))
    ledger.rounds.setdefault(body["step"], []).append(Reading("", event.at, event.id))
    ledger.ticks.setdefault(body["step"], []).append(event.id)
    read = [Reading(value, event.at, event.id) for value in body["values"]]
    ledger.readings.setdefault(body["step"], []).extend(read)


def _unticked(ledger: Ledger, event: Event) -> None:
    _say(ledger, event, Word("unticked", event.id, event.at, event.by or ""))
    for kept in (ledger.readings, ledger.rounds):
        read = kept.get(event.body["step"], [])
        read[:] = [one for one in read if not _known(ledger, event, one.event)]


def _left_out(ledger: Ledger, event: Event) -> None:
    body = event.body
    told = {name: body.get(name.replace("_", "-"), "") for name in ("licence", "decided_by")}
    word = Word("left-out", event.id, event.at, event.by or "", because=body["because"], **told)
    _say(ledger, event, word)


def _found_again(ledger: Ledger, path: tuple[str, ...]) -> list[Measured]:
    """Return what stands at a path, which comes last now: facts are put into the sheet in order."""
    here = ledger.measured[path] = ledger.measured.pop(path, [])
    return here


def _measured(ledger: Ledger, event: Event) -> None:
    path = tuple(event.body["path"])
    here = _found_again(ledger, path)
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    body = event.body
    told = event.id, event.at, event.by or "", body.get("words", path[-1])
    here.append(Measured(body["step"], path, body["value"], *told))


def _corrected(ledger: Ledger, event: Event) -> None:
    for fact in event.body["facts"]:
        path = tuple(fact["path"])
        here = _found_again(ledger, path)
        here[:] = [other for other in here if not _known(ledger, event, other.event)]
        told = event.id, event.at, event.by or "", path[-1]
        here.append(Measured("", path, fact["value"], *told))


def _person(ledger: Ledger, event: Event) -> None:
    body = event.body
    here = ledger.people.setdefault(key_of(body["name"], body["trade"]), [])
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    here.append(Person(body["name"], body["trade"], body["licence"], event.id))


def _product(ledger: Ledger, event: Event) -> None:
    body = event.body
    here = ledger.products.setdefault(key_of(body["name"]), [])
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    here.append(Product(body["name"], body["registration"], body.get("photo", ""), event.id))


def _clock_shown(ledger: Ledger, event: Event) -> None:
    body = event.body
    here = ledger.clocks.setdefault(body["photo"], [])
    here[:] = [other for other in here if not _known(ledger, event, other.event)]
    told = event.id, event.at, event.by or ""
    here.append(ClockShown(body["photo"], body["shown"], *told))


def _wet(ledger: Ledger, event: Event) -> None:
    take(ledger.wet, event, ledger.causes.knew)


def _handed_off(ledger: Ledger, event: Event) -> None:
    ledger.handoffs.append(HandedOver(event.id, event.at, event.by or "", event.body["to"]))


def _signed_off(ledger: Ledger, event: Event) -> None:
    ledger.signoffs.append(HandedOver(event.id, event.at, event.by or ""))
    ledger.changed_after_signoff = False  # of what it knew; `fold` looks at the rest


_FOLDS: Mapping[str, Callable[[Ledger, Event], None]] = {
    "laid": _laid,
    "photo": _photo,
    "noted": _noted,
    "withheld": _withheld,
    "salvaged": _salvaged,
    "attached": _attached,
    "detached": _detached,
    "ticked": _ticked,
    "unticked": _unticked,
    "left-out": _left_out,
    "measured": _measured,
    "corrected": _corrected,
    "person": _person,
    "product": _product,
    "clock-shown": _clock_shown,
    "point": lambda ledger, event: fold_point(ledger.points, event, ledger.causes.knew),
    "meter": lambda ledger, event: fold_meter(ledger.meters, event, ledger.causes.knew),
    "read": lambda ledger, event: fold_read(ledger.point_readings, event),
    "air": lambda ledger, event: fold_air(ledger.airs, event),
    "reckoned": lambda ledger, event: fold_reckoned(ledger.reckoned, event, ledger.causes.knew),
    **dict.fromkeys(KINDS, _wet),
    "handed-off": _handed_off,
    "signed-off": _signed_off,
}
# What changes no step: a register says who somebody is, and a word names its licence itself.
_NO_CHANGE = frozenset({"handed-off", "signed-off", "person", "product", "meter"})


def fold(events: Sequence[Event]) -> Ledger:
    """Return what stands after events: the same for the same set, in whatever order it came.

    An event of an unknown kind changes nothing here: a later version wrote it, and it stays
    in the record.
    """
    ordered = list(events) if is_chain(events) else in_order(events)
    ledger = Ledger(Causes(ordered))
    if ledger.causes.forked:
        ledger.lone = lone(ledger.causes, ordered)
    _apply(ledger, ordered)
    if ledger.signoffs:
        last = ledger.signoffs[-1].event
        ledger.changed_after_signoff = any(
            event.kind not in _NO_CHANGE and not ledger.causes.knew(last, event.id)
            for event in ordered
        )
    return ledger


def extend(ledger: Ledger, events: Sequence[Event]) -> bool:
    """Fold events onto what stood before; False where all must be folded again.

    That is so where an event did not know of all before it, or takes others back.
    """
    if "undone" in [event.kind for event in events] or not ledger.causes.extend(events):
        return False
    _apply(ledger, events)
    return True


def _apply(ledger: Ledger, events: Sequence[Event]) -> None:
    undone = {target for e in events if e.kind == "undone" for target in e.body["events"]}
    for event in events:
        if event.id in undone:
            continue
        if ledger.signoffs and event.kind not in _NO_CHANGE:
            ledger.changed_after_signoff = True
        apply = _FOLDS.get(event.kind)
        if apply is not None:
            apply(ledger, event)
        if undoable(event):
            ledger.acts.append(event)
