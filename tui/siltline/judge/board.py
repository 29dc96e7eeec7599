"""The state of every step, from the plan and the words, by one set of rules."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from graphlib import CycleError, TopologicalSorter

from siltline import times
from siltline.errors import WrongUse
from siltline.judge.ledger import Attached, Ledger, Reading, Word
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


def _readings(proof: Proof, readings: Sequence[Reading]) -> Held:
    """Count the readings of this proof's unit that keep its bounds, since the last that did not.

    Two that are nearer in time than the proof wants count as one.
    """
    mine = [read for read in readings if _measures(read.value, proof.unit)]
    run: list[datetime] = []
    remark = ""
    for read in mine:
        at = times.read(read.at)
        remark = within(proof, read.value)
        if remark:
            run = []
        elif not run or at - run[-1] >= timedelta(hours=proof.hours_apart):
            run.append(at)
        else:
            remark = say("proof.too-soon", value=read.value, hours=proof.hours_apart)
    have = min(len(run), proof.count)
    return Held(proof, have, "" if have == proof.count else remark)


def _measures(value: str, unit: str) -> bool:
    try:
        return quantity(value).dimension == UNITS[unit].dimension
    except WrongUse:
        return False


def _held(
    step: Step, word: Word | None, attached: Sequence[Attached], readings: Sequence[Reading]
) -> tuple[Held, ...]:
    found: list[Held] = []
    for proof in step.proof:
        if proof.kind == "photo":
            found.append(Held(proof, sum(a.role == proof.name for a in attached)))
        elif proof.kind == "reading":
            found.append(_readings(proof, readings))
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
        self.returns = {step.puts_back: step.id for step in plan.steps if step.puts_back}

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
        words, overtaken = self.words(step)
        attached = tuple(self.ledger.attached.get(step.id, ()))
        shown = [a for a in attached if a.photo not in self.ledger.withheld]
        readings = self.ledger.readings.get(step.id, [])
        begun = any(word.kind == "ticked" for word in words)
        waiting = tuple(need for need in step.needs if not self.need_met(need, begun))
        told: list[Word | None] = [None if w.kind == "unticked" else w for w in words]
        views = []
        for word in told or [None]:
            held = _held(step, word, shown, readings)
            state = _state(step, word, bool(waiting), all(h.met for h in held))
            views.append(StepView(step, state, waiting, held, word, attached))
        least = min(views, key=lambda view: _SAYS.get(view.state, 0))
        disputed = tuple(words) if len(words) > 1 else ()
        remarks = (*_remarks(least, disputed), *filter(None, [overtaken]))
        self.views[step.id] = replace(least, remarks=remarks, disputed=disputed)

    def need_met(self, need: str, begun: bool) -> bool:
        """Tell whether a need is met: one that is in no plan any more is.

        What a step took out and another put back holds no more for a step nobody has done yet.
        """
        view = self.views.get(need)
        if view is None:
            return need not in self.steps
        return _met(view) and (begun or not view.step.takes_out or not self.is_back(need))


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
