"""Words and values that laptops gave without each other are told side by side, to be decided."""

from __future__ import annotations

from typing import Any

from siltline.judge import fold, judge
from siltline.judge.finding import Finding
from siltline.judge.findings import findings
from siltline.record import Event, seal
from siltline.rules.plan import Phase, Plan, whole_to_json
from support.boards import step

STEP = step("a")
PLAN = {"plan": whole_to_json(Plan("House", "", "c", (Phase("p", "P"),), (STEP,)))}
PATH = ["rooms", "den", "floor"]


def event(kind: str, by: str, body: dict[str, Any], *parents: Event, device: str = "") -> Event:
    above = [one.id for one in parents]
    at = "2026-01-01T00:00:00.000Z"
    return seal(kind, body, at=at, device=device or by, by=by, parents=above)


FIRST = event("laid", "Ada", PLAN)
TICK = {"step": STEP.id, "licence": "", "values": [], "note": ""}
LEAVE = {"step": STEP.id, "because": "no time"}


def floor(value: str) -> dict[str, Any]:
    return {"step": STEP.id, "path": PATH, "value": value, "note": ""}


def told(code: str, *events: Event) -> list[Finding]:
    return [one for one in findings(judge(fold([FIRST, *events]))) if one.code == code]


def test_two_words_on_one_step_are_to_be_decided_until_somebody_says_it_again() -> None:
    one = event("ticked", "Ada", TICK, FIRST)
    other = event("left-out", "Ben", LEAVE, FIRST)
    (found,) = told("two-words", one, other)
    assert (found.weight, found.step) == ("decide", STEP.id)
    for word in ("Ada", "Ben", "no time"):
        assert word in found.text
    assert not told("two-words", one)
    assert not told("two-words", one, other, event("ticked", "Cay", TICK, one, other))
    view = judge(fold([FIRST, one, other])).steps[STEP.id]
    assert view.state == "not-done"  # the least counts
    assert len(view.disputed) == 2
    assert "Ada" in view.remarks[0]
    assert "Ben" in view.remarks[0]


def test_two_values_of_one_fact_are_to_be_decided_until_somebody_measures_again() -> None:
    one = event("measured", "Ada", floor("oak"), FIRST)
    other = event("measured", "Ben", floor("carpet"), FIRST)
    (found,) = told("two-values", one, other)
    assert (found.weight, found.step) == ("decide", STEP.id)
    for word in ("rooms / den / floor", "oak (Ada)", "carpet (Ben)"):
        assert word in found.text
    elsewhere = event("measured", "Ben", floor("carpet") | {"step": "b/house"}, FIRST)
    first = fold([FIRST, one, elsewhere]).disputed()[0][0].step
    assert [one.step for one in told("two-values", one, elsewhere)] == [first]
    again = event("measured", "Cay", floor("oak"), one, other)
    assert not told("two-values", one, other, again)


def test_a_laptop_that_did_not_know_its_own_words_was_copied() -> None:
    one = event("ticked", "Ada", TICK, FIRST, device="d")
    other = event("ticked", "Ben", TICK, FIRST, device="d")
    (found,) = told("copied-laptop", one, other)
    assert (found.weight, found.step) == ("note", None)
    assert "d" in found.text
    assert not told("copied-laptop", one, event("ticked", "Ben", TICK, FIRST, device="e"))
