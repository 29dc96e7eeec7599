"""The plan: concrete steps for one house, as stored in the job and read back as JSON.

Nothing here reads YAML, so opening a job costs only this.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

SIGNAL_WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")  # ANSI Z535.4, gravest first


@dataclass(frozen=True, slots=True)
class Caution:
    """A signal word of ANSI Z535 and the sentence under it."""

    word: str
    text: str


@dataclass(frozen=True, slots=True)
class Proof:
    """What shows that a step was done.

    Attributes:
        kind: photo, reading or licence.
        name: the photo's role, what is read, or the trade of the licensed person.
        count: how many of them.
        unit: of a reading; "" otherwise.
        at_most: the bound of a reading as written in the rule, or "".
        at_least: likewise.
        hours_apart: how long at least between two readings that count.
    """

    kind: str
    name: str
    count: int = 1
    unit: str = ""
    at_most: str = ""
    at_least: str = ""
    hours_apart: int = 0


@dataclass(frozen=True, slots=True)
class Ask:
    """A fact that is missing: where it belongs in the house sheet, and what to ask for."""

    path: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Because:
    """A fact of the house that made a step appear."""

    fact: str
    value: str
    where: str


@dataclass(frozen=True, slots=True)
class Step:
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


@dataclass(frozen=True, slots=True)
class Phase:
    """A phase of the work."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Dropped:
    """A step of an earlier plan that applies no more, and why."""

    step: Step
    because: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A checklist laid over a house sheet."""

    house: str
    time_zone: str
    checklist: str
    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]
    dropped: tuple[Dropped, ...] = ()


def step_to_json(step: Step) -> dict[str, Any]:
    """Return a step as JSON values, for the record."""
    return asdict(step)


def step_from_json(value: Mapping[str, Any]) -> Step:
    """Return the step that `step_to_json` wrote."""
    fields = dict(value)
    fields["asks"] = tuple(Ask(tuple(a["path"]), a["words"]) for a in fields["asks"])
    fields["proof"] = tuple(Proof(**p) for p in fields["proof"])
    fields["cautions"] = tuple(Caution(**c) for c in fields["cautions"])
    fields["facts"] = tuple(Because(**b) for b in fields["facts"])
    for name in ("needs", "sources", "order"):
        fields[name] = tuple(fields[name])
    return Step(**fields)


def whole_to_json(plan: Plan) -> dict[str, Any]:
    """Return a plan as JSON values, for the first `laid` event of a job."""
    return {
        "house": plan.house,
        "time_zone": plan.time_zone,
        "checklist": plan.checklist,
        "phases": [asdict(phase) for phase in plan.phases],
        "steps": [step_to_json(step) for step in plan.steps],
    }


def whole_from_json(value: Mapping[str, Any]) -> Plan:
    """Return the plan that `whole_to_json` wrote."""
    return Plan(
        value["house"],
        value["time_zone"],
        value["checklist"],
        tuple(Phase(**phase) for phase in value["phases"]),
        tuple(step_from_json(step) for step in value["steps"]),
    )


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
