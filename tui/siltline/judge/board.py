"""The state of every step, from the plan and the words, by one set of rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter

from siltline.errors import WrongUse
from siltline.judge.ledger import Attached, Ledger, Word
from siltline.rules.plan import Plan, Proof, Step
from siltline.sentences import say
from siltline.units import UNITS, quantity

STATES = ("blocked", "measure", "todo", "done", "documented", "not-done", "not-needed")
OPEN_STATES = ("blocked", "measure", "todo", "done")


@dataclass(frozen=True, slots=True)
class Held:
    """How far one kind of proof is there: `have` of `proof.count`, and why not more."""

    proof: Proof
    have: int
    remark: str = ""

    @property
    def met(self) -> bool:
        """Tell whether this kind of proof is complete."""
        return self.have >= self.proof.count


@dataclass(frozen=True, slots=True)
class StepView:
    """A step as it stands.

    Attributes:
        step: what is to be done.
        state: one of STATES.
        waiting: ids of the needed steps that are not met.
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

    @property
    def measure(self) -> str:
        """Return what to measure, after what comes before it if that is not done; "" if nothing."""
        after = self.step.measure_after if self.waiting else ""
        return f"{after} {self.step.measure}".strip()

    @property
    def missing(self) -> tuple[Held, ...]:
        """Return the kinds of proof that are not complete."""
        return tuple(held for held in self.held if not held.met)


@dataclass(frozen=True, slots=True)
class Board:
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
        """Return the photos that no step uses, in the order of taking in."""
        used = self.used_photos()
        away = self.ledger.withheld
        return [p for p in self.ledger.photos if p not in used and p not in away]


def within(proof: Proof, typed: str) -> str:
    """Return "" where a reading keeps its bounds, else the sentence that says which it breaks."""
    read = quantity(typed)
    if proof.at_most and read.si > quantity(proof.at_most).si:
        return say("proof.too-high", value=typed, bound=proof.at_most, what=proof.name)
    if proof.at_least and read.si < quantity(proof.at_least).si:
        return say("proof.too-low", value=typed, bound=proof.at_least, what=proof.name)
    return ""


def _readings(proof: Proof, values: list[str]) -> Held:
    """Take the values of this proof's unit out of `values` and hold them against its bounds."""
    mine: list[str] = []
    for value in list(values):
        try:
            fits = quantity(value).dimension == UNITS[proof.unit].dimension
        except WrongUse:
            continue
        if fits and len(mine) < proof.count:
            mine.append(value)
            values.remove(value)
    remarks = [told for value in mine if (told := within(proof, value))]
    return Held(proof, len(mine) - len(remarks), " ".join(remarks))


def _held(step: Step, word: Word | None, attached: tuple[Attached, ...]) -> tuple[Held, ...]:
    values = list(word.values) if word else []
    found: list[Held] = []
    for proof in step.proof:
        if proof.kind == "photo":
            found.append(Held(proof, sum(a.role == proof.name for a in attached)))
        elif proof.kind == "reading":
            found.append(_readings(proof, values))
        else:
            found.append(Held(proof, int(bool(word and word.licence))))
    return tuple(found)


def _met(view: StepView) -> bool:
    """Tell whether a need is met: a hold point only by a documented step, never by leaving out."""
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
        found.append(say("state.left-out", by=word.by, because=word.because))
        if view.step.hold_point:
            found.append(say("state.left-out-hold", reason=view.step.hold_point))
    elif word is None and view.attached:
        found.append(say("state.no-word", n=len(view.attached)))
    elif word is not None and view.state in ("blocked", "measure"):
        found.append(say("state.early", by=word.by))
    found += [held.remark for held in view.held if held.remark]
    return tuple(found)


# How much a state lets others go on; of words that stand side by side the least one counts.
_SAYS = {"not-done": 1, "done": 2, "documented": 3}


class _Judge:
    """Judges steps once each, needs first."""

    def __init__(self, ledger: Ledger, plan: Plan) -> None:
        self.ledger = ledger
        self.steps = {step.id: step for step in plan.steps}
        self.views: dict[str, StepView] = {}

    def look(self, step: Step) -> None:
        """Judge a step; what it needs was judged before, except in a ring."""
        words = self.ledger.words.get(step.id, [])
        attached = tuple(self.ledger.attached.get(step.id, ()))
        shown = tuple(a for a in attached if a.photo not in self.ledger.withheld)
        waiting = tuple(need for need in step.needs if not self.need_met(need))
        told: list[Word | None] = [None if w.kind == "unticked" else w for w in words]
        views = []
        for word in told or [None]:
            held = _held(step, word, shown)
            state = _state(step, word, bool(waiting), all(h.met for h in held))
            views.append(StepView(step, state, waiting, held, word, attached))
        least = min(views, key=lambda view: _SAYS.get(view.state, 0))
        disputed = tuple(words) if len(words) > 1 else ()
        self.views[step.id] = replace(least, remarks=_remarks(least, disputed), disputed=disputed)

    def need_met(self, need: str) -> bool:
        """Tell whether a need is met: one that is in no plan any more is."""
        view = self.views.get(need)
        return _met(view) if view is not None else need not in self.steps


def _needs_first(steps: Sequence[Step]) -> Iterable[Step]:
    """Return steps so that what a step needs comes before it; in a ring any order will do.

    `rules check` refuses rings, but laptops whose work is put together could make one.
    """
    by_id = {step.id: step for step in steps}
    sorter = TopologicalSorter({s.id: [n for n in s.needs if n in by_id] for s in steps})
    try:
        return [by_id[name] for name in sorter.static_order()]
    except CycleError:
        return steps


def judge(ledger: Ledger) -> Board:
    """Return the state of every step.

    A step that was left out is `not-done`; one that asks for a fact is `measure`; one whose
    needs are not met is `blocked`; then its word and its proof decide. Steps that apply no
    more are `not-needed` and keep their words and photos.
    """
    plan = ledger.current_plan()
    judging = _Judge(ledger, plan)
    for step in _needs_first(plan.steps):
        judging.look(step)
    found = list(judging.views.values())
    for gone in plan.dropped:
        step = gone.step
        found.append(
            StepView(
                step,
                "not-needed",
                word=next(iter(ledger.words.get(step.id, ())), None),
                attached=tuple(ledger.attached.get(step.id, ())),
                remarks=(gone.because,),
            )
        )
    found.sort(key=lambda view: (view.step.order, view.step.id))
    return Board(ledger, plan, {view.step.id: view for view in found})
