"""Twelve invented houses, each with what its plan must and must not hold; `houses/*.yaml`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from siltline.judge import fold, judge
from siltline.judge.board import STATES
from siltline.record import seal
from siltline.rules.plan import Plan, whole_to_json
from siltline.rules.yamltext import load
from support.trade import NAMES, Data, before, plan_of

FOLDER = Path(__file__).parent / "houses"
HOUSES: dict[str, Data] = {
    path.stem: load(path.read_text("utf-8"), path.name).data
    for path in sorted(FOLDER.glob("*.yaml"))
}
EACH = pytest.mark.parametrize("name", HOUSES)


@cache
def plan(name: str) -> Plan:
    return plan_of(HOUSES[name]["house"], HOUSES[name]["checklist"])


def states(found: Plan) -> Counter[str]:
    """Return how many steps of a plan that was just laid are in each state."""
    stamp = {"at": "2026-03-12T08:00:00.000Z", "device": "aa", "by": None}
    laid = seal("laid", {"plan": whole_to_json(found)}, parents=(), **stamp)
    return Counter(view.state for view in judge(fold([laid])).steps.values())


def test_there_are_twelve_and_every_checklist_has_one() -> None:
    assert len(HOUSES) == 12
    assert {house["checklist"] for house in HOUSES.values()} == set(NAMES)


@EACH
def test_a_house_has_what_it_must_and_nothing_that_it_must_not(name: str) -> None:
    ids = {step.id for step in plan(name).steps}
    rules = {step.rule for step in plan(name).steps}
    assert set(HOUSES[name]["must"]) - ids == set()
    assert set(HOUSES[name]["must-not"]) & (ids | rules) == set()


@EACH
def test_a_house_is_marked_as_invented(name: str) -> None:
    assert HOUSES[name]["about"].startswith("INVENTED. ")
    assert "(invented)" in HOUSES[name]["house"]["house"]


@EACH
def test_a_house_asks_only_for_what_its_sheet_leaves_out(name: str) -> None:
    """What was told is never asked for again."""
    for step in plan(name).steps:
        for ask in step.asks:
            told: object = HOUSES[name]["house"]
            for key in ask.path:
                told = told.get(key) if isinstance(told, dict) else None
            assert told is None or told == "none", (step.id, ask)


@EACH
def test_no_step_of_a_house_says_what_another_says_of_the_same_place(name: str) -> None:
    said = Counter((step.place_kind, step.place, step.do) for step in plan(name).steps)
    assert {key: n for key, n in said.items() if n > 1} == {}


@EACH
def test_a_step_of_a_house_comes_after_what_it_waits_for_or_in_a_later_phase(name: str) -> None:
    """A crew that goes down the list is sent back as seldom as can be."""
    at = {step.id: n for n, step in enumerate(plan(name).steps)}
    back = [(s.id, need) for s in plan(name).steps for need in s.needs if at[need] > at[s.id]]
    assert back == []


@EACH
def test_the_plan_of_a_house_begins_with_safety_and_ends_with_what_comes_back(name: str) -> None:
    order = [step.id for step in plan(name).steps]
    first = before(plan(name))
    for gate in ("placard-obeyed/house", "structure-seen/house", "power-off/house"):
        assert all(order.index(gate) < order.index(s) for s in order if gate in first[s])
    assert order.index("power-off/house") < order.index("power-back/house")


def test_the_steps_of_each_house_are_counted(figure: Callable[[str], None]) -> None:
    for name in HOUSES:
        counts = states(plan(name))
        assert counts.keys() <= set(STATES)
        told = ", ".join(f"{state} {counts[state]}" for state in STATES if counts[state])
        figure(f"{name} ({HOUSES[name]['checklist']}): {counts.total()} steps: {told}")


def test_a_house_of_which_nothing_is_known_has_the_most_to_ask() -> None:
    asking = {name: sum(bool(s.asks) for s in plan(name).steps) for name in HOUSES}
    assert max(asking, key=lambda name: asking[name]) == "nothing-known"
    assert asking["nothing-known"] > 60
