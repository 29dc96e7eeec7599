"""What the main screens look like, kept as text at 80x24 and 120x40."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Input

from siltline.job import Job
from support.desk import Hands
from support.screens import picture, text

SIZES = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
SCREENS: dict[str, tuple[str, ...]] = {
    "first-open-step": (),
    "attach": ("a",),
    "leave-out": ("x",),
    "tick-needs-a-name": ("enter",),
    "review": ("v",),
    "help": ("question_mark",),
    "search": ("slash", "d", "r", "y"),
    "photos": ("p",),
    "readings": ("r",),
    "to-put-back": ("b",),
    "by-place": ("l",),
    "why": ("y",),
}


@SIZES
@pytest.mark.parametrize("name", SCREENS)
async def test_the_main_screens_look_as_kept(
    name: str,
    size: tuple[int, int],
    sample: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(sample, size) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.press(*SCREENS[name])
        await pilot.pause()
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await pilot.pause()
        assert picture(pilot.app) == kept


STEPS = (
    "prove-dead/circuit-4",
    "outlet-replaced/range-outlet",
    "outlet-replaced/hall-outlet",
    "power-back/house",
    "wet-photos-frozen/slide-box",
)


@SIZES
@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.replace("/", "-"))
async def test_a_step_in_each_state_looks_as_kept(
    step: str,
    size: tuple[int, int],
    sample: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(sample, size) as pilot:
        await pilot.pause()
        pilot.app.screen.stand_on(step)
        await pilot.pause()
        await pilot.pause()
        assert picture(pilot.app) == kept


async def test_the_footer_holds_at_most_five_keys_and_all_fit_80_columns(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await pilot.pause()
        footer = text(pilot.app).splitlines()[-1]
    shown = ["Enter Tick", "a Attach photo", "g Next thing", "v Review", "? Help"]
    assert [words for words in shown if words in footer] == shown
    assert len(footer.replace(" ", "")) == len("".join(shown).replace(" ", ""))


async def test_caution_stands_above_the_act(sample: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(sample) as pilot:
        await pilot.pause()
        pilot.app.screen.stand_on("prove-dead/circuit-4")
        await pilot.pause()
        await pilot.pause()
        shown = text(pilot.app)
    assert 0 < shown.index("DANGER") < shown.index("Have a licensed")
