"""What matters most now: safety first, then what most others wait for, then the crew's order."""

from __future__ import annotations

from msgspec.structs import replace

from siltline.judge import Board, Ledger, Word, judge
from siltline.judge.causes import Causes
from siltline.judge.next_thing import next_thing, next_things
from siltline.judge.planning import Planning, Version
from siltline.rules.plan import Ask, Caution, Phase, Plan, Proof, Step
from support.boards import EMPTY

PHOTO = (Proof("photo", "after"),)
HOLD = "Nobody passes."


def step(name: str, place: int, *needs: str, **more: object) -> Step:
    return replace(EMPTY, id=name, order=(0, place, 0), needs=needs, **more)  # type: ignore[arg-type]


def caution(word: str) -> tuple[Caution, ...]:
    return (Caution(word, "It can hurt."),)


def board(*steps: Step, ticked: tuple[str, ...] = ()) -> Board:
    causes = Causes(())
    plan = Plan("House", "", "c", (Phase("p", "P"),), steps)
    planning = Planning(causes, plan, {one.id: [Version("laid", one)] for one in steps})
    words = {one: [Word("ticked", "e", "2026-01-01T00:00:00Z", "Ada")] for one in ticked}
    return judge(Ledger(causes, planning, words=words))


def order(*steps: Step, ticked: tuple[str, ...] = ()) -> list[str]:
    return [view.step.id for view in next_things(board(*steps, ticked=ticked))]


def test_without_anything_else_the_order_of_the_crew_decides() -> None:
    assert order(step("b", 2), step("a", 1), step("c", 3)) == ["a", "b", "c"]


def test_what_more_steps_wait_for_comes_first_also_through_others() -> None:
    found = order(
        step("one", 1), step("two", 2), step("after-one", 3, "one"),
        step("after-two", 4, "two"), step("after-that", 5, "after-two"),
    )  # fmt: skip
    assert found == ["two", "one"]


def test_steps_that_wait_for_each_other_over_two_ways_are_counted_once() -> None:
    found = order(
        step("one", 1), step("two", 2),
        step("a", 3, "two"), step("b", 4, "two"), step("c", 5, "a", "b"),
        step("d", 6, "one"), step("e", 7, "d"), step("f", 8, "e"),
    )  # fmt: skip
    assert found == ["one", "two"]  # three each: the order decides


def test_waiters_are_counted_where_needs_stand_against_the_order_of_the_crew_too() -> None:
    found = order(
        step("one", 8), step("two", 9),
        step("a", 1, "b"), step("b", 2, "c"), step("c", 3, "two"),
        step("d", 4, "one"), step("e", 5, "one"),
    )  # fmt: skip
    assert found == ["two", "one"]  # three against two, found out in as many rounds


def test_a_hold_point_comes_first_and_one_with_a_grave_caution_before_all() -> None:
    found = order(
        step("busy", 1), *(step(f"later-{n}", 10 + n, "busy") for n in range(4)),
        step("mild", 2, hold_point=HOLD, cautions=caution("CAUTION")),
        step("after-mild", 20, "mild"),
        step("warned", 3, hold_point=HOLD, cautions=caution("WARNING")),
        step("after-warned", 21, "warned"),
    )  # fmt: skip
    assert found == ["warned", "mild", "busy"]
    deadly = step("deadly", 4, hold_point=HOLD, cautions=caution("DANGER"))
    mild = step("mild", 1, hold_point=HOLD, cautions=caution("NOTICE"))
    found = order(mild, step("after-mild", 5, "mild"), deadly, step("after", 6, "deadly"))
    assert found == ["deadly", "mild"]


def test_a_hold_point_that_nothing_waits_for_has_its_place_in_the_order() -> None:
    last = step("last", 2, hold_point=HOLD, cautions=caution("DANGER"))
    assert order(step("first", 1), last) == ["first", "last"]


def test_new_work_comes_before_a_word_without_its_proof_but_not_before_a_hold_point() -> None:
    done = step("done", 1, proof=PHOTO)
    assert order(done, step("new", 2), ticked=("done",)) == ["new", "done"]
    held = step("held", 1, proof=PHOTO, hold_point=HOLD)
    waits = step("waits", 3, "held")
    assert order(held, step("new", 2), waits, ticked=("held",)) == ["held", "new"]


def test_what_waits_or_is_documented_is_no_next_thing_and_what_asks_is() -> None:
    asks = step("asks", 3, asks=(Ask(("rooms", "den", "floor"), "the floor"),))
    found = order(step("a", 1), step("b", 2, "c"), step("c", 4), asks, ticked=("a",))
    assert found == ["c", "asks"]
    assert next_thing(board(step("a", 1), ticked=("a",))) is None
    first = next_thing(board(step("b", 2), step("a", 1)))
    assert first is not None
    assert first.step.id == "a"
