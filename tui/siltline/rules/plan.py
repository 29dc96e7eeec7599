"""The plan: concrete steps for one house, as stored in the job and read back as JSON.

Nothing here reads YAML, so opening a job costs only this.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Raw, Struct, convert, field, to_builtins
from msgspec.json import Decoder

SIGNAL_WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")  # ANSI Z535.4, gravest first


class Caution(Struct, frozen=True, gc=False):
    """A signal word of ANSI Z535 and the sentence under it."""

    word: str
    text: str


class Proof(Struct, frozen=True, gc=False, omit_defaults=True):
    """What shows that a step was done.

    Attributes:
        kind: photo, same-spot, reading, quantity, contact-time, licence or label; on a board
            also way, where a way is still to be chosen.
        name: the photo's role, what is read, the least time, the trade, or the product.
        count: how many of them.
        unit: of a reading or a quantity; "" otherwise.
        at_most: the bound of a reading as written in the rule, or "".
        at_least: likewise.
        hours_apart: how long at least between two readings that count.
        roles: of photos of one spot.
    """

    kind: str
    name: str
    count: int = 1
    unit: str = ""
    at_most: str = ""
    at_least: str = ""
    hours_apart: int = 0
    roles: tuple[str, ...] = ()


class Never(Struct, frozen=True, gc=False):
    """A forbidden act, and why."""

    act: str
    because: str


class Way(Struct, frozen=True, gc=False, omit_defaults=True):
    """One of several ways to do a step.

    Attributes:
        id, do: its name, and what is done.
        who: the trade that may choose it, or "".
        proof: what shows that it was done.
        nothing_there: whether nothing was there to take out.
        draws_in: outdoor-air where a fan draws that in; "" otherwise.
    """

    id: str
    do: str
    who: str
    proof: tuple[Proof, ...] = ()
    nothing_there: bool = False
    draws_in: str = ""


class Ask(Struct, frozen=True, gc=False):
    """A fact that is missing: where it belongs in the house sheet, and what to ask for."""

    path: tuple[str, ...]
    words: str


class Because(Struct, frozen=True, gc=False):
    """A fact of the house that made a step appear."""

    fact: str
    value: str
    where: str


class Step(Struct, frozen=True, gc=False):
    """One step at one place.

    Attributes:
        id: rule-id/place-id, the same as long as both keep their names.
        rule, file, line: which rule made it.
        phase: id of its phase.
        place, place_name, place_kind: where.
        do, reason: the act and why it matters, in words.
        measure: what to measure or find out; "" where no fact is missing.
        measure_after: what must be done before that, in words, or "".
        asks: the missing facts.
        needs: ids of the steps that come first.
        hold_point: the sentence why nothing that needs it may go on without its proof; "" if none.
        proof, cautions, sources: as the rule says.
        facts: the facts of the house that made it appear.
        takes_out: what it takes out that must return, or "".
        puts_back: id of the step whose thing it puts back, or "".
        order: phase, rule and place number, for sorting.
        nevers: what is forbidden here.
        ways: of which one must be chosen; () where there is but one.
        every, until: done again after so long, until its readings hold or that step is done.
        override: the trade that may decide otherwise where sources differ; "" if nobody may.
        may_stay_out: who may decide that what was taken out stays out.
        goes_if: what would make this step go away, in sentences.
        reckons: which computations belong to it: fan, dose, machines.
        other: language -> the fields that are sentences, in that language.
    """

    id: str
    rule: str
    file: str
    line: int
    phase: str
    place: str
    place_name: str
    place_kind: str
    do: str
    reason: str
    measure: str
    measure_after: str
    asks: tuple[Ask, ...]
    needs: tuple[str, ...]
    hold_point: str
    proof: tuple[Proof, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[str, ...]
    facts: tuple[Because, ...]
    takes_out: str
    puts_back: str
    order: tuple[int, int, int]
    nevers: tuple[Never, ...] = ()
    ways: tuple[Way, ...] = ()
    every: str = ""
    until: str = ""
    override: str = ""
    may_stay_out: tuple[str, ...] = ()
    goes_if: tuple[str, ...] = ()
    reckons: tuple[str, ...] = ()
    other: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    def way(self, name: str) -> Way | None:
        """Return the way of that name; None where there is none."""
        return next((way for way in self.ways if way.id == name), None)


class Phase(Struct, frozen=True, gc=False):
    """A phase of the work; `other` has its title in other languages."""

    id: str
    title: str
    other: Mapping[str, str] = field(default_factory=dict)


class Dropped(Struct, frozen=True, gc=False):
    """A step of an earlier plan that applies no more, and why."""

    step: Step
    because: str


class Plan(Struct, frozen=True, gc=False):
    """A checklist laid over a house sheet."""

    house: str
    time_zone: str
    checklist: str
    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]
    dropped: tuple[Dropped, ...] = ()


# Fields that came after the first version: left out of the record where they say nothing.
_LATER = (
    "nevers",
    "ways",
    "every",
    "until",
    "override",
    "may_stay_out",
    "goes_if",
    "reckons",
    "other",
)


def step_to_json(step: Step) -> dict[str, Any]:
    """Return a step as JSON values, for the record."""
    value: dict[str, Any] = to_builtins(step)
    for name in _LATER:
        if not value[name]:
            del value[name]
    return value


def step_from_json(value: Mapping[str, Any]) -> Step:
    """Return the step that `step_to_json` wrote; what a later version added is left alone."""
    return convert(value, Step)


def spoken(step: Step, language: str) -> Step:
    """Return a step with its sentences in a language, as far as its rule speaks it."""
    there = step.other.get(language)
    if not there:
        return step
    own = {name: getattr(step, name) for name in step.__struct_fields__}
    return convert({**own, **there}, Step)


def whole_to_json(plan: Plan) -> dict[str, Any]:
    """Return a plan as JSON values, for the first `laid` event of a job."""
    return {
        "house": plan.house,
        "time_zone": plan.time_zone,
        "checklist": plan.checklist,
        "phases": to_builtins(plan.phases),
        "steps": [step_to_json(step) for step in plan.steps],
    }


class _Whole(Struct, frozen=True):
    house: str
    time_zone: str
    checklist: str
    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]

    def plan(self) -> Plan:
        return Plan(self.house, self.time_zone, self.checklist, self.phases, self.steps)


_read_whole = Decoder(_Whole).decode


def whole_from_json(value: Mapping[str, Any]) -> Plan:
    """Return the plan that `whole_to_json` wrote."""
    return convert(value, _Whole).plan()


def whole_from_text(text: bytes | Raw) -> Plan:
    """Return the plan whose JSON values stand in a text; ValueError where they do not."""
    return _read_whole(text).plan()


def difference(old: Plan, new: Plan, because: str) -> dict[str, Any]:
    """Return what laying again changes, for a later `laid` event: steps added, changed, dropped."""
    before = {step.id: step for step in old.steps}
    after = {step.id for step in new.steps}
    return {
        "changed": [step_to_json(s) for s in new.steps if before.get(s.id) != s],
        "dropped": [{"id": s, "because": because} for s in before if s not in after],
    }


def apply_difference(plan: Plan, change: Mapping[str, Any]) -> Plan:
    """Return the plan after a difference; a dropped step keeps its words."""
    steps = {step.id: step for step in plan.steps}
    dropped = {d.step.id: d for d in plan.dropped}
    for gone in change["dropped"]:
        if gone["id"] in steps:
            dropped[gone["id"]] = Dropped(steps.pop(gone["id"]), gone["because"])
    for value in change["changed"]:
        step = step_from_json(value)
        steps[step.id] = step
        dropped.pop(step.id, None)
    ordered = in_order(list(steps.values()))
    return Plan(
        plan.house, plan.time_zone, plan.checklist, plan.phases, ordered, tuple(dropped.values())
    )


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return steps as the crew meets them: by phase, by rule, by place."""
    return tuple(sorted(steps, key=lambda step: (step.order, step.id)))
