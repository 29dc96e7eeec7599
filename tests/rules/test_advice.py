"""What checklist research advises: how many steps before a pause, how long a sentence."""

from __future__ import annotations

import pytest

from siltline.rules.advice import MOST_ITEMS, MOST_WORDS, advice
from siltline.rules.files import checklist_from

REST = "why: W., caution: [{NOTICE: Mind it.}], source: common practice"


def told(steps: list[str]) -> list[int]:
    """Return the lines of a phase file that something is advised against on."""
    lines = ["phase: a", "title: A", "steps:", *(f"  - {{{step}, {REST}}}" for step in steps)]
    top = "checklist: c\ntitle: C\nphases: [a.yaml]\n"
    found = advice(checklist_from({"checklist.yaml": top, "a.yaml": "\n".join(lines)}))
    return [one.line - 3 for one in found]


def items(many: int, name: str = "s") -> list[str]:
    return [f"step: {name}-{n}, do: Do it." for n in range(many)]


PAUSE = ["step: pause, do: Stop., hold-point: Nobody passes."]


@pytest.mark.parametrize(
    ("before", "after", "lines"),
    [
        (MOST_ITEMS - 1, 0, []),
        (MOST_ITEMS + 1, 0, [MOST_ITEMS + 1]),
        (MOST_ITEMS + 5, 0, [MOST_ITEMS + 1]),  # once a run
        (MOST_ITEMS - 1, MOST_ITEMS, []),  # the pause is the last of its run
        (MOST_ITEMS, MOST_ITEMS, [MOST_ITEMS + 1]),
        (0, MOST_ITEMS + 1, [MOST_ITEMS + 2]),  # counted anew behind the pause
    ],
)
def test_more_than_nine_steps_before_a_pause_are_advised_against(
    before: int, after: int, lines: list[int]
) -> None:
    assert told([*items(before), *PAUSE, *items(after, "t")]) == lines


@pytest.mark.parametrize(("words", "long"), [(MOST_WORDS, False), (MOST_WORDS + 1, True)])
def test_a_sentence_of_more_than_twenty_words_is_advised_against(words: int, long: bool) -> None:
    one = " ".join(["word"] * words)
    assert bool(told([f"step: a, do: {one}."])) is long
    assert bool(told([f'step: a, do: "Go. {one}. Stop."'])) is long


@pytest.mark.parametrize(
    ("proof", "advised"),
    [
        ("{licence: electrician}", True),
        ("{photo: after}", False),
        ("{same-spot: [before, after]}", False),
        ("{reading: wood, unit: '%'}", False),
        ("{quantity: carpet, unit: ft2}", False),
        ("{contact-time: 10 min}", False),
        ("{label: disinfectant}", False),
    ],
)
def test_a_check_wants_something_that_is_observed(proof: str, advised: bool) -> None:
    assert bool(told([f"step: a, do: Check it., proof: [{proof}]"])) is advised
