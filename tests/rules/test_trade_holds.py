"""A safety step that was left out holds all that stands behind it; and what no step ever says."""

from __future__ import annotations

import re
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siltline.judge import Board, Ledger, Word, judge
from siltline.judge.causes import Causes
from siltline.judge.ledger import Attached, Reading
from siltline.judge.planning import Planning, Version
from siltline.rules.check import spoken_texts
from siltline.rules.plan import Plan, Proof, Step
from siltline.units import quantity
from support.random_houses import houses
from support.sheets import Data
from support.trade import NAMES, before, checklist, plan_of

MANY = settings(max_examples=30, deadline=None)
EVERY = st.sampled_from(NAMES)

# a safety step that is left out


DAY = "2026-03-{:02}T08:00:00.000Z"


def values_of(proofs: tuple[Proof, ...]) -> list[str]:
    """Return values that keep the bounds of all that is measured."""
    found = []
    for proof in proofs:
        if proof.kind in ("reading", "quantity"):
            found.append(f"{proof.name} = {proof.at_most or proof.at_least or f'1 {proof.unit}'}")
        elif proof.kind == "contact-time":
            found.append("10 min")
    return found


def done(step: Step) -> tuple[Word, list[Reading], list[Attached]]:
    """Return everything that documents a step: a word, its readings of several days, its photos."""
    proofs = (*step.proof, *(step.ways[0].proof if step.ways else ()))
    values = values_of(proofs)
    word = Word("ticked", step.id, DAY.format(9), "Ada", licence="X-1", values=tuple(values))
    way = step.ways[0].id if step.ways else ""
    readings = [Reading(value, DAY.format(day), step.id) for day in range(1, 9) for value in values]
    photos = [
        Attached("f" * 64, proof.name, step.id, DAY.format(9))
        for proof in proofs
        if proof.kind == "photo"
        for _ in range(proof.count)
    ]
    return replace(word, way=way), readings, photos


def board(plan: Plan, left: str = "") -> Board:
    """Return the board where everything is documented, but one step that was left out."""
    causes = Causes(())
    planning = Planning(causes, plan, {s.id: [Version("laid", s)] for s in plan.steps})
    shown = {step.id: done(step) for step in plan.steps if not step.puts_back}
    words = {key: [word] for key, (word, _, _) in shown.items()}
    if left:
        words[left] = [Word("left-out", left, DAY.format(9), "Ada", because="no time")]
    return judge(
        Ledger(
            causes,
            planning,
            words=words,
            readings={key: readings for key, (_, readings, _) in shown.items()},
            attached={key: photos for key, (_, _, photos) in shown.items()},
        )
    )


def certain(plan: Plan) -> Plan:
    """Return a plan as if every question was answered, so that nothing waits for an answer."""
    return replace(plan, steps=tuple(replace(s, asks=(), measure="") for s in plan.steps))


@given(houses(), EVERY)
@settings(max_examples=25, deadline=None)
def test_a_day_on_which_all_is_shown_documents_all(house: Data, name: str) -> None:
    """The ground of the next law: what it blocks is blocked by the step left out alone."""
    plan = certain(plan_of(house, name))
    views = board(plan).steps
    returning = {step.id for step in plan.steps if step.puts_back}
    behind = {step for step, first in before(plan).items() if first & returning}
    for key, view in views.items():
        if key not in returning | behind:
            assert view.state == "documented", (key, view.state, view.missing)


@given(houses(), EVERY, st.data())
@MANY
def test_a_safety_step_that_is_left_out_holds_all_behind_it(
    house: Data, name: str, draw: st.DataObject
) -> None:
    plan = certain(plan_of(house, name))
    left = draw.draw(st.sampled_from([s for s in plan.steps if s.hold_point]))
    found, first = board(plan, left.id).steps, before(plan)
    assert found[left.id].state == "not-done"
    for step in plan.steps:
        if left.id in first[step.id]:
            assert found[step.id].state == "blocked", (left.id, step.id)
            assert left.id not in step.needs or left.id in found[step.id].waiting


@pytest.mark.parametrize("name", NAMES)
def test_every_hold_point_holds_something(name: str) -> None:
    """One that no step waits for stands at the end of its road: said here, one by one."""
    ends = {"going-down-safe", "heater-replaced", "motor-replaced", "equipment-judged",
            "insulation-back", "room-above-dry"}  # fmt: skip
    rules = [placed.rule for placed in checklist(name).rules]
    phases = {placed.rule.step: placed.phase for placed in checklist(name).rules}
    needed = {need.step or need.everywhere for rule in rules for need in rule.needs}
    whole = {need.phase for rule in rules for need in rule.needs if need.phase}
    for rule in rules:
        if rule.hold_point and rule.step not in ends:
            assert rule.step in needed or phases[rule.step] in whole, rule.step


# what no step ever says

NEVER_SAID = {
    "a dose of bleach, which the label decides": re.compile(r"\b(bleach|ppm)\b", re.IGNORECASE),
    "that a part is dried and tried": re.compile(r"\bdry and (try|test|use)\b", re.IGNORECASE),
    "that a basement is pumped at once": re.compile(r"pump .*\b(all at once|in one go)\b"),
    "that anybody vents with a fan that blows in": re.compile(r"\bfan[^.]*\bblow(s|ing)? in\b"),
    "that holes are drilled at the floor line": re.compile(r"drain(age)? holes? at the floor"),
}


@cache
def said(name: str) -> tuple[str, ...]:
    """Return every sentence of a checklist that tells somebody to do something."""
    return tuple(
        text
        for placed in checklist(name).rules
        for path, text in spoken_texts(placed)
        if path[0] in ("do", "ways", "measure", "hold-point")
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("what", NEVER_SAID)
def test_no_step_says(name: str, what: str) -> None:
    assert not [text for text in said(name) if NEVER_SAID[what].search(text)]


@pytest.mark.parametrize("name", NAMES)
def test_no_bound_on_board_stands_anywhere_and_wood_is_never_closed_above_fifteen(
    name: str,
) -> None:
    """A meter cannot show board too wet: Gypsum Association, questions on floods (read, cut)."""
    for placed in checklist(name).rules:
        for proof in placed.rule.proof:
            if proof.reading and proof.at_most:
                assert "board" not in proof.reading
                if "moisture" in proof.reading:
                    assert quantity(proof.at_most).si <= quantity("15 %").si
