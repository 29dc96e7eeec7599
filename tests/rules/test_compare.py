"""What a plan laid anew changes: each step that came, went or reads otherwise, and about what."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from siltline.rules.compare import compare
from siltline.rules.plan import Caution, Never, Phase, Plan, Proof, Step, Way
from support.boards import step

STEP = step("a")


def plan(*steps: Step) -> Plan:
    return Plan("House", "", "c", (Phase("p", "P"),), steps)


@pytest.mark.parametrize(
    ("field", "value", "about"),
    [
        ("do", "Do that.", "do"),
        ("reason", "Else.", "why"),
        ("measure", "Measure.", "measure"),
        ("measure_after", "After.", "measure"),
        ("needs", ("b/house",), "needs"),
        ("hold_point", "Nobody passes.", "needs"),
        ("proof", (Proof("photo", "after"),), "proof"),
        ("ways", (Way("w", "Do.", ""),), "proof"),
        ("every", "24 h", "proof"),
        ("until", "b/house", "proof"),
        ("cautions", (Caution("DANGER", "It kills."),), "cautions"),
        ("nevers", (Never("Run.", "Slippery."),), "cautions"),
        ("sources", ("A list",), "source"),
        ("override", "electrician", "source"),
        ("takes_out", "Poly", "put-back"),
        ("puts_back", "b/house", "put-back"),
        ("may_stay_out", ("owner",), "put-back"),
        ("phase", "q", "phase"),
    ],
)
def test_whatever_reads_otherwise_is_told_under_its_name(
    field: str, value: Any, about: str
) -> None:
    (change,) = compare(plan(STEP), plan(replace(STEP, **{field: value})))
    assert (change.kind, change.about) == ("changed", (about,))
    assert str(change)


def test_where_a_rule_stands_in_its_file_is_no_change() -> None:
    assert not compare(plan(STEP), plan(replace(STEP, line=9, file="g", order=(1, 2, 3))))


def test_steps_that_went_are_told_before_those_that_came_and_those_that_changed() -> None:
    gone, came = replace(STEP, id="gone/house"), replace(STEP, id="came/house")
    found = compare(plan(STEP, gone), plan(came, replace(STEP, do="Do that.")))
    assert [(change.kind, change.step.id) for change in found] == [
        ("gone", "gone/house"),
        ("came", "came/house"),
        ("changed", "a/house"),
    ]
