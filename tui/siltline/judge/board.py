"""The state of every step, from the plan and the words, by one set of rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

from msgspec import Struct, field
from msgspec.structs import replace

from siltline.judge import holding
from siltline.judge.contact import Run, Shows, shows
from siltline.judge.entries import Attached, Word
from siltline.judge.holding import Held, Shown
from siltline.judge.ledger import Ledger
from siltline.judge.measured import readings_at, serving
from siltline.judge.points import Point, PointReading
from siltline.rules.plan import Plan, Step, spoken
from siltline.sentences import say

STATES = ("blocked", "measure", "todo", "done", "documented", "not-done", "not-needed")
OPEN_STATES = ("blocked", "measure", "todo", "done")


class StepView(Struct, frozen=True, gc=False):
    """A step as it stands.

    Attributes:
        step: what is to be done.
        state: one of STATES.
        waiting: ids of the needed steps that are not met.
        left_out: ids of the needed steps that count as met, and that somebody left out.
        wet: its contact times, in order.
        held: its proof, one entry a kind.
        word: the word that stands, or None; of several the one that says least.
        attached: its photos.
        disputed: words that stand side by side, none given in knowledge of the others.
        remarks: what must be said about it, in sentences.
    """

    step: Step
    state: str
    waiting: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    word: Word | None = None
    attached: tuple[Attached, ...] = ()
    remarks: tuple[str, ...] = ()
    disputed: tuple[Word, ...] = ()
    left_out: tuple[str, ...] = ()
    wet: tuple[Run, ...] = ()

    @property
    def over_left_out(self) -> bool:
        """Tell whether it can kill, and something that comes first was left out."""
        deadly = any(caution.word == "DANGER" for caution in self.step.cautions)
        return deadly and bool(self.left_out) and self.state != "not-done"

    @property
    def measure(self) -> str:
        """Return what to measure, after what comes before it if that is not done; "" if nothing."""
        after = self.step.measure_after if self.waiting else ""
        return f"{after} {self.step.measure}".strip()

    @property
    def overridden(self) -> bool:
        """Tell whether a licensed person decided otherwise, where the sources differ."""
        word = self.word
        return bool(self.step.override and word and word.kind == "left-out" and word.licence)

    @property
    def missing(self) -> tuple[Held, ...]:
        """Return the kinds of proof that are not complete."""
        return tuple(held for held in self.held if not held.met)


class Board(Struct, frozen=True):
    """All steps of a job as they stand, in the order of the plan."""

    ledger: Ledger
    plan: Plan
    steps: Mapping[str, StepView] = field(default_factory=dict)

    def with_photos(self, ledger: Ledger) -> Board:
        """Return this board after more photos were taken in, on which no state depends."""
        return Board(ledger, self.plan, self.steps)

    def used_photos(self) -> dict[str, list[str]]:
        """Return photo -> the steps it is attached to."""
        used: dict[str, list[str]] = {}
        for step, attached in self.ledger.attached.items():
            for photo in attached:
                used.setdefault(photo.photo, []).append(step)
        return used

    def unused_photos(self) -> list[str]:
        """Return the photos that nothing uses, in the order of taking in.

        One of the laptop's clock is of use: it tells the error of a camera.
        """
        used = self.used_photos().keys() | self.ledger.clocks.keys() | self.ledger.withheld.keys()
        return [photo for photo in self.ledger.photos if photo not in used]


def _met(view: StepView) -> bool:
    """Tell whether a need is met: a hold point only by a documented step, never by leaving out."""
    if view.overridden:
        return True
    if view.step.hold_point:
        return view.state in ("documented", "not-needed")
    return view.state in ("done", "documented", "not-done", "not-needed")


def _state(step: Step, word: Word | None, waiting: bool, complete: bool) -> str:
    if word is not None and word.kind == "left-out":
        return "not-done"
    if step.asks:
        return "measure"
    if waiting:
        return "blocked"
    if word is None:
        return "todo"
    return "documented" if complete else "done"


def said(word: Word) -> str:
    """Return a word in short: who, and what."""
    by, because = word.by or say("said.somebody"), word.because
    return say(f"said.{word.kind}", by=by, because=because)


def _remarks(view: StepView, disputed: tuple[Word, ...] = ()) -> tuple[str, ...]:
    found: list[str] = []
    word = view.word
    if disputed:
        found.append(say("state.disputed", words=" ".join(map(said, disputed))))
    if word is not None and word.kind == "left-out":
        told = {"by": word.by, "because": word.because}
        if view.overridden:
            found.append(say("state.overridden", licence=word.licence, **told))
        elif word.decided_by:
            found.append(say("state.decided", decided=word.decided_by, **told))
        else:
            found.append(say("state.left-out", **told))
        if view.step.hold_point and not view.overridden:
            found.append(say("state.left-out-hold", reason=view.step.hold_point))
    elif word is None and view.attached:
        found.append(say("state.no-word", n=len(view.attached)))
    elif word is not None and view.state in ("blocked", "measure"):
        found.append(say("state.early", by=word.by))
    if view.over_left_out:
        needs = ", ".join(view.left_out)
        found.append(say("state.over-left-out", n=len(view.left_out), needs=needs))
    found += [held.remark for held in view.held if held.remark]
    return tuple(found)


# How much a state lets others go on; of words that stand side by side the least one counts.
_SAYS = {"not-done": 1, "done": 2, "documented": 3}


class _Judge:
    """Judges steps once each, needs first."""

    def __init__(self, ledger: Ledger, plan: Plan, language: str) -> None:
        self.ledger = ledger
        self.language = language
        self.zone = plan.time_zone
        self.steps = {step.id: step for step in plan.steps}
        self.views: dict[str, StepView] = {}
        self.points = serving(ledger) if ledger.points else {}
        self.measured = {place for place, _ in self.points}  # shown without a word
        self.returns = {step.puts_back: step.id for step in plan.steps if step.puts_back}
        # what decides of a need, so far; one that is in no plan any more is met
        self.unmet = set(self.steps)
        self.met_by_leaving: set[str] = set()
        self.put_back: set[str] = set()  # taken out and put back: met for who began before that
        self.touched = {*ledger.words, *ledger.attached, *ledger.wet, *ledger.readings}
        self.bare: dict[tuple[object, ...], tuple[Held, ...]] = {}

    def ticks(self, step: str) -> list[Word]:
        return [word for word in self.ledger.words.get(step, []) if word.kind == "ticked"]

    def is_back(self, taken_out: str) -> bool:
        """Tell whether what a step took out was put back since (the power is on again)."""
        knew = self.ledger.causes.knew
        out = self.ticks(taken_out)
        return any(
            all(knew(back.event, word.event) for word in out)
            for back in self.ticks(self.returns.get(taken_out, ""))
        )

    def words(self, step: Step) -> tuple[list[Word], str]:
        """Return the words that count, and a remark where one was overtaken.

        Something taken out again after it was put back is not back any more.
        """
        words = self.ledger.words.get(step.id, [])
        if not step.puts_back or self.is_back(step.puts_back):
            return words, ""
        count = [word for word in words if word.kind != "ticked"]
        return count, say("state.out-again") if len(count) < len(words) else ""

    def look(self, step: Step) -> None:
        """Judge a step; what it needs was judged before, except in a ring."""
        if self.untouched(step):
            self.look_at_bare(step)
            return
        words, overtaken = self.words(step)
        attached = tuple(self.ledger.attached.get(step.id, ()))
        begun = any(word.kind == "ticked" for word in words)
        waiting = self.waiting(step, begun)
        left_out = self.left_out(step)
        told: list[Word | None] = [None if w.kind == "unticked" else w for w in words]
        views = []
        for word in told or [None]:
            held = holding.held(step, self.shown(step, word, attached))
            state = _state(step, word, bool(waiting), all(h.met for h in held))
            said = spoken(step, self.language)
            one = StepView(
                said, state, waiting, held, word, attached,
                left_out=left_out, wet=tuple(self.ledger.wet.get(step.id, ())),
            )  # fmt: skip
            views.append(one)
        least = min(views, key=lambda view: _SAYS.get(view.state, 0))
        disputed = tuple(words) if len(words) > 1 else ()
        remarks = (*_remarks(least, disputed), *filter(None, [overtaken]))
        if remarks or disputed:
            least = replace(least, remarks=remarks, disputed=disputed)
        self.keep(least)

    def shown(self, step: Step, word: Word | None, attached: Sequence[Attached]) -> Shown:
        ledger = self.ledger
        return Shown(
            word,
            [one for one in attached if one.photo not in ledger.withheld],
            ledger.readings.get(step.id, []),
            [one.at for one in ledger.rounds.get(step.id, [])],
            bool(step.until and self.ticks(step.until)),
            self.wet(step.id),
            self.zone,
            self.pointed(step) if self.points else {},
        )

    def pointed(self, step: Step) -> dict[str, list[tuple[Point, list[PointReading]]]]:
        """Return what the points of a step's place show, by what is read there."""
        return {
            reads: [(point, readings_at(self.ledger, point.name)) for point in there]
            for (place, reads), there in self.points.items()
            if place == step.place
        }

    def wet(self, step: str) -> Shows:
        runs = self.ledger.wet.get(step)
        return shows(runs, self.ledger.causes.knew) if runs else Shows()

    def waiting(self, step: Step, begun: bool) -> tuple[str, ...]:
        """Return the needs that are not met.

        What a step took out and another put back holds no more for a step nobody has done yet.
        """
        unmet, back = self.unmet, self.put_back
        if begun or not back:
            return tuple([n for n in step.needs if n in unmet])
        return tuple([n for n in step.needs if n in unmet or n in back])

    def left_out(self, step: Step) -> tuple[str, ...]:
        """Return the needs that are met by leaving them out, without a licensed person's word."""
        by_leaving = self.met_by_leaving
        return tuple([n for n in step.needs if n in by_leaving]) if by_leaving else ()

    def keep(self, view: StepView) -> None:
        """Keep a judged step, and what it decides of those that need it."""
        name = view.step.id
        self.views[name] = view
        if not _met(view):
            return
        self.unmet.discard(name)
        if view.state == "not-done" and not view.overridden:
            self.met_by_leaving.add(name)
        if view.step.takes_out and self.is_back(name):
            self.put_back.add(name)

    def untouched(self, step: Step) -> bool:
        """Tell whether nobody said or showed anything of a step that is done but once."""
        return not (step.id in self.touched or step.every or step.place in self.measured)

    def look_at_bare(self, step: Step) -> None:
        """Judge a step that nobody touched: alike proof is lacking alike."""
        key = (step.proof, step.ways)
        held = self.bare.get(key)
        if held is None:
            held = self.bare[key] = holding.held(step, self.shown(step, None, ()))
        waiting, left_out = self.waiting(step, begun=False), self.left_out(step)
        state = _state(step, None, bool(waiting), complete=False)
        view = StepView(spoken(step, self.language), state, waiting, held)
        if left_out:
            view = replace(view, left_out=left_out)
            view = replace(view, remarks=_remarks(view))
        self.views[step.id] = view  # what nobody touched is met for nobody


def _needs_first(steps: Sequence[Step]) -> Iterable[Step]:
    """Return steps so that what a step needs comes before it; in a ring any order will do.

    Checklists are mostly written in that order, and then there is nothing to sort.

    `rules check` refuses rings, but laptops whose work is put together could make one.
    """
    by_id = {step.id: step for step in steps}
    place = {step.id: number for number, step in enumerate(steps)}
    if all(place.get(need, -1) < n for n, step in enumerate(steps) for need in step.needs):
        return steps
    sorter = TopologicalSorter({s.id: [n for n in s.needs if n in by_id] for s in steps})
    try:
        return [by_id[name] for name in sorter.static_order()]
    except CycleError:
        return steps


def judge(ledger: Ledger, language: str = "") -> Board:
    """Return the state of every step, in a language as far as its rules speak it.

    A step that was left out is `not-done`; one that asks for a fact is `measure`; one whose
    needs are not met is `blocked`; then its word and its proof decide. Steps that apply no
    more are `not-needed` and keep their words and photos.
    """
    plan = ledger.current_plan()
    judging = _Judge(ledger, plan, language)
    for step in _needs_first(plan.steps):
        judging.look(step)
    found = list(judging.views.values())
    for gone in plan.dropped:
        step = spoken(gone.step, language)
        found.append(
            StepView(
                step,
                "not-needed",
                word=next(iter(ledger.words.get(step.id, ())), None),
                attached=tuple(ledger.attached.get(step.id, ())),
                remarks=(gone.because,),
                wet=tuple(ledger.wet.get(step.id, ())),
            )
        )
    found.sort(key=lambda view: (view.step.order, view.step.id))
    return Board(ledger, plan, {view.step.id: view for view in found})
