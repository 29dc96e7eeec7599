"""Boards made by hand: steps, words and attachments, judged as those of a job are."""

from __future__ import annotations

from msgspec.structs import replace

from siltline.judge import Board, Ledger, Word, judge
from siltline.judge.causes import Causes
from siltline.judge.entries import Attached, Reading
from siltline.judge.planning import Planning, Version
from siltline.rules.plan import Phase, Plan, Step

EMPTY = Step(
    id="", rule="r", file="f", line=1, phase="p", place="house", place_name="House",
    place_kind="house", do="Do it.", reason="Because.", measure="", measure_after="", asks=(),
    needs=(), hold_point="", proof=(), cautions=(), sources=(), facts=(), takes_out="",
    puts_back="", order=(0, 0, 0),
)  # fmt: skip


def step(name: str, **how: object) -> Step:
    return replace(EMPTY, id=f"{name}/house", rule=name, **how)  # type: ignore[arg-type]


def board(
    steps: list[Step],
    words: dict[str, Word] | None = None,
    attached: dict[str, list[Attached]] | None = None,
) -> Board:
    plan = Plan("House", "", "c", (Phase("p", "P"),), tuple(steps))
    causes = Causes(())
    planning = Planning(causes, plan, {s.id: [Version("laid", s)] for s in steps})
    told = {step: [word] for step, word in (words or {}).items()}
    read = {
        step: [Reading(value, word.at, word.event) for value in word.values]
        for step, word in (words or {}).items()
    }
    return judge(Ledger(causes, planning, words=told, readings=read, attached=attached or {}))
