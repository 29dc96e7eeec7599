"""The plan after every laying: a newer one replaces what it knew of; of two that did not know of
each other neither wins, what stood before both is shown again."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from siltline.judge import fold
from siltline.judge.ledger import Ledger
from siltline.record import Event, seal
from siltline.rules.plan import Phase, Plan, Step, step_to_json, whole_to_json
from support.boards import step

STEP = step("a", do="Ask.")
WET, DRY = replace(STEP, do="It is wet."), replace(STEP, do="It is damp.")
GONE = {"dropped": [{"id": STEP.id, "because": "It is dry."}], "changed": []}


def laid(body: dict[str, Any], *parents: Event, device: str = "d") -> Event:
    at = "2026-01-01T00:00:00.000Z"
    return seal("laid", body, at=at, device=device, by="Ada", parents=[one.id for one in parents])


def change(step: Step) -> dict[str, Any]:
    return {"change": {"changed": [step_to_json(step)], "dropped": []}}


FIRST = laid({"plan": whole_to_json(Plan("House", "", "c", (Phase("p", "P"),), (STEP,)))})


def stands(*events: Event) -> tuple[list[Step], list[str]]:
    plan = fold([FIRST, *events]).current_plan()
    return list(plan.steps), [gone.because for gone in plan.dropped]


def test_a_newer_laying_replaces_what_it_knew_of() -> None:
    one = laid(change(WET), FIRST)
    assert stands(one) == ([WET], [])
    assert stands(one, laid(change(DRY), one)) == ([DRY], [])
    assert stands(one, laid({"change": GONE}, one)) == ([], ["It is dry."])


def test_two_layings_that_agree_stand_and_two_that_do_not_show_what_stood_before_both() -> None:
    one = laid(change(WET), FIRST)
    assert stands(one, laid(change(WET), FIRST, device="e")) == ([WET], [])
    other = laid(change(DRY), FIRST, device="e")
    assert stands(one, other) == ([STEP], [])
    assert stands(other, one) == ([STEP], [])
    assert stands(one, laid({"change": GONE}, FIRST, device="e")) == ([STEP], [])


def test_a_laying_that_knew_of_both_settles_it() -> None:
    one, other = laid(change(WET), FIRST), laid(change(DRY), FIRST, device="e")
    assert stands(one, other, laid(change(DRY), one, other)) == ([DRY], [])


def test_of_a_step_that_two_laptops_laid_new_one_is_shown_the_same_whoever_came_first() -> None:
    new = replace(STEP, id="b/house")
    one = laid(change(replace(new, do="One.")), FIRST)
    other = laid(change(replace(new, do="Other.")), FIRST, device="e")
    first = min((one, other), key=lambda event: event.id)
    shown = [step.do for step in stands(one, other)[0] if step.id == new.id]
    assert shown == [first.body["change"]["changed"][0]["do"]]
    assert stands(one, other) == stands(other, one)


def test_a_step_that_is_dropped_twice_is_told_with_the_newer_reason() -> None:
    one = laid({"change": GONE}, FIRST)
    again = {"dropped": [{"id": STEP.id, "because": "It has gone."}], "changed": []}
    assert stands(one, laid({"change": again}, one)) == ([], ["It has gone."])
    assert fold([FIRST, one]).current_plan().dropped[0].step == STEP


def test_before_the_first_laying_there_is_no_plan() -> None:
    assert Ledger().plan is None
    with pytest.raises(LookupError, match=r"^no plan$"):
        Ledger().current_plan()


def test_a_need_that_two_layings_disagree_on_stands_again_and_only_once() -> None:
    """One laptop found that the needed step is not there; the other says that it is."""
    after = replace(STEP, id="b/house", needs=(STEP.id,), order=(0, 1, 0))
    start = laid(change(after), FIRST)
    without = {"change": {**GONE, "changed": [step_to_json(replace(after, needs=()))]}}
    gone = laid(without, start)
    kept = laid(change(WET), start, device="e")
    (first, second), dropped = stands(start, gone, kept)
    assert (first.id, second.id, dropped) == (STEP.id, after.id, [])
    assert second.needs == (STEP.id,)
    (alone,), _ = stands(start, gone)
    assert alone.needs == ()
