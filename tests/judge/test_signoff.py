"""Whether anything changed after a sign-off: by what was known, not by what the clocks say."""

from __future__ import annotations

from typing import Any

import pytest

from siltline.judge import Ledger, extend, fold, judge
from siltline.judge.findings import findings
from siltline.record import Event, seal
from siltline.rules.plan import Phase, Plan, whole_to_json

PLAN = {"plan": whole_to_json(Plan("House", "", "c", (Phase("p", "P"),), ()))}
TICK = {"step": "a/house", "licence": "", "values": [], "note": ""}
HAND = {"to": "Ben", "states": {}, "open": [], "findings": []}
SIGN = {"states": {}, "open": [], "findings": []}
BODIES: dict[str, dict[str, Any]] = {
    "ticked": TICK, "handed-off": HAND, "signed-off": SIGN, "unknown-kind": {},
}  # fmt: skip


def chain(*kinds: str, upon: list[Event] | None = None) -> list[Event]:
    found = list(upon or [])
    for kind in kinds:
        body = PLAN if kind == "laid" else {**BODIES[kind], "n": len(found)}
        parents = [found[-1].id] if found else []
        at = f"2026-01-01T00:00:{len(found):02d}.000Z"
        found.append(seal(kind, body, at=at, device="d", by="Ada", parents=parents))
    return found


@pytest.mark.parametrize(
    ("kinds", "changed"),
    [
        (("ticked",), False),
        (("ticked", "signed-off"), False),
        (("signed-off", "ticked"), True),
        (("signed-off", "handed-off"), False),
        (("signed-off", "signed-off"), False),
        (("signed-off", "ticked", "signed-off"), False),  # the newer one knew of it
        (("signed-off", "ticked", "handed-off"), True),
        (("signed-off", "unknown-kind"), True),  # a later version may have changed what counts
    ],
)
def test_what_came_after_a_signoff_counts_but_handing_over_does_not(
    kinds: tuple[str, ...], changed: bool
) -> None:
    events = chain("laid", *kinds)
    assert fold(events).changed_after_signoff is changed
    ledger = Ledger()
    assert all(extend(ledger, [event]) for event in events)
    assert ledger.changed_after_signoff is changed


def test_what_another_laptop_did_unknown_to_the_signoff_counts_whatever_its_clock_says() -> None:
    base = chain("laid")
    signed = chain("ticked", "signed-off", upon=base)
    other = seal(
        "ticked", TICK, at="2025-01-01T00:00:00.000Z", device="e", by="Ben", parents=[base[-1].id]
    )
    assert fold([*signed, other]).changed_after_signoff
    known = seal(
        "signed-off", SIGN, at="2026-01-02T00:00:00.000Z", device="d", by="Ada",
        parents=[signed[-1].id, other.id],
    )  # fmt: skip
    assert not fold([*signed, other, known]).changed_after_signoff


def test_the_review_notes_it() -> None:
    def noted(*kinds: str) -> list[tuple[str, str | None]]:
        found = findings(judge(fold(chain("laid", *kinds))))
        return [(one.weight, one.step) for one in found if one.code == "changed-after-signoff"]

    assert noted("signed-off", "ticked") == [("note", None)]
    assert not noted("ticked", "signed-off")
