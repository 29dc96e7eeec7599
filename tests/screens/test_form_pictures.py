"""What the forms, the house sheet and the start look like, kept as text at 80x24 and 120x40."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Input, OptionList

from siltline.job import Job
from siltline.job.drafts import draft_of
from siltline.job.recent import remember
from siltline.screens.forms import Form
from siltline.screens.sheeting import SheetScreen
from siltline.screens.starting import StartApp
from support.desk import Hands, stand, until
from support.screens import picture, text
from support.ticking import TickingClock

SIZES = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
TYPED = {
    "people": ("i", {"name": "Ben Volt (invented)", "trade": "electrician"}),
    "product": ("k", {"name": "Invented cleaner", "registration": "12345-67"}),
    "thing": ("t", {"name": "A box of slides", "kind": "Photographs", "height": "2'10"}),
}


async def still(pilot: Any) -> None:
    for field in pilot.app.screen.query(Input):
        field.cursor_blink = False
    await pilot.pause()
    await pilot.pause()


@SIZES
@pytest.mark.parametrize("name", TYPED)
async def test_a_form_looks_as_kept(
    name: str,
    size: tuple[int, int],
    job: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    key, typed = TYPED[name]
    async with on_screen(job, size) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press(key)
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        for field, value in typed.items():
            pilot.app.screen.query_one(f"#field-{field}", Input).value = value
        last = pilot.app.screen.query_one(f"#field-{field}", Input)
        pilot.app.screen.set_focus(last, scroll_visible=False)  # as the form does, which scrolls
        await still(pilot)
        assert picture(pilot.app) == kept


@SIZES
@pytest.mark.parametrize("name", ["sections", "text", "broken"])
async def test_the_house_sheet_looks_as_kept(
    name: str,
    size: tuple[int, int],
    job: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(job, size) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("j")
        await until(pilot, lambda: isinstance(pilot.app.screen, SheetScreen))
        screen: Any = pilot.app.screen
        if name == "broken":
            screen.keep(screen.text.replace("waterline: 31 in", "waterlin: [31"))
        if name != "sections":
            await hands.press("t")
            await until(pilot, lambda: "as text" in text(pilot.app))
        await still(pilot)
        assert picture(pilot.app) == kept
    draft_of(job, "sheet").throw_away()


@SIZES
@pytest.mark.parametrize("name", ["empty", "full"])
async def test_the_start_looks_as_kept(
    name: str, size: tuple[int, int], kept: SnapshotAssertion
) -> None:
    if name == "full":
        clock = TickingClock()
        for number in range(3):
            remember(
                Path(f"/invented/house-{number}.siltline"), f"Invented house {number}", clock()
            )
    app = StartApp()
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: bool(app.screen.query_one(OptionList).options))
        await still(pilot)
        assert picture(app) == kept
