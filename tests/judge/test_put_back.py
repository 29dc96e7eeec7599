"""What was taken out is still to put back until somebody put it back, or decided otherwise."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from siltline.judge import Board, Ledger, Word, judge
from siltline.judge.causes import Causes
from siltline.judge.findings import findings
from siltline.judge.planning import Planning, Version
from siltline.judge.put_back import still_to_put_back
from siltline.record import Event, seal
from siltline.rules.plan import Phase, Plan, Proof, Way
from support.boards import board as made
from support.boards import step

OUT = step("out", do="Take it out.", takes_out="Poly")
PHOTO = (Proof("photo", "after"),)
BACK = replace(
    OUT, id="back/house", rule="back", takes_out="", puts_back="out/house", proof=PHOTO,
    order=(0, 1, 0), may_stay_out=("owner",),
)  # fmt: skip


def event(number: int, *parents: Event) -> Event:
    at = f"2026-01-01T00:00:{number:02d}.000Z"
    above = [one.id for one in parents]
    return seal("x", {"n": number}, at=at, device="d", by="Ada", parents=above)


FIRST = event(0)
ONE, OTHER = event(1, FIRST), event(2, FIRST)  # two laptops, unknown to each other
LAST = event(3, ONE, OTHER)


def word(kind: str, of: Event, **more: str) -> Word:
    return Word(kind, of.id, of.at, "Ada", because="r" if kind == "left-out" else "", **more)


def board(out: list[Word], back: list[Word]) -> Board:
    causes = Causes([FIRST, ONE, OTHER, LAST])
    plan = Plan("House", "", "c", (Phase("p", "P"),), (OUT, BACK))
    steps = {step.id: [Version(FIRST.id, step)] for step in plan.steps}
    words = {OUT.id: out, BACK.id: back}
    return judge(Ledger(causes, Planning(causes, plan, steps), words=words))


def told(found: Board) -> list[tuple[str, str]]:
    kinds = ("still-to-put-back", "stays-out", "stays-out-settled")
    return [(one.weight, one.code) for one in findings(found) if one.code in kinds]


@pytest.mark.parametrize(
    ("out", "back", "code"),
    [
        ([], [], []),
        ([word("left-out", ONE)], [], []),
        ([word("ticked", ONE)], [], [("must-fix", "still-to-put-back")]),
        # the word is enough for it to be back, the photo is another finding
        ([word("ticked", ONE)], [word("ticked", LAST)], []),
        ([word("ticked", ONE)], [word("left-out", LAST)], [("decide", "stays-out")]),
        (
            [word("ticked", ONE)],
            [word("left-out", LAST, decided_by="owner")],
            [("note", "stays-out-settled")],
        ),
        (
            [word("ticked", ONE)],
            [word("left-out", LAST, decided_by="neighbour")],
            [("decide", "stays-out")],
        ),
        # the word on putting back did not know that it was out
        ([word("ticked", ONE)], [word("ticked", OTHER)], [("must-fix", "still-to-put-back")]),
    ],
)
def test_what_is_out_is_told_until_it_is_back_or_may_stay_out(
    out: list[Word], back: list[Word], code: list[tuple[str, str]]
) -> None:
    found = board(out, back)
    assert told(found) == code
    settled = {"stays-out", "stays-out-settled"}
    if not code or code[0][1] not in settled:
        assert bool(still_to_put_back(found)) is bool(code)


def test_where_one_laptop_says_it_is_out_and_another_that_it_was_left_in_it_may_be_out() -> None:
    found = board([word("ticked", ONE), word("left-out", OTHER)], [])
    assert [out.step.id for out, _ in still_to_put_back(found)] == [OUT.id]
    assert told(found) == [("must-fix", "still-to-put-back")]


def test_a_way_that_found_nothing_there_took_nothing_out() -> None:
    ways = (Way("none", "There is none.", "", nothing_there=True), Way("out", "It is out.", ""))
    out = replace(OUT, ways=ways)
    for way, debts in (("none", 0), ("out", 1)):
        said = Word("ticked", ONE.id, ONE.at, "Ada", way=way)
        assert len(still_to_put_back(made([out, BACK], {"out/house": said}))) == debts
