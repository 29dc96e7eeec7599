"""A key reckons on the step in hand: filled in, summed up while it is typed, kept, shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Static

from siltline.job import Job
from siltline.screens.forms import Form
from support.desk import Hands, stand, until
from support.screens import picture, text

STEP = "drying-begun/crawl-space"


async def opened(pilot: Any, what: str) -> Hands:
    hands = Hands(pilot)
    await stand(pilot, STEP)
    await hands.press("R")
    await hands.pick(what)
    await until(pilot, lambda: isinstance(pilot.app.screen, Form))
    await pilot.pause()
    return hands


def summed(pilot: Any) -> str:
    return str(pilot.app.screen.query_one("#form-sums", Static).visual)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_how_a_fan_is_reckoned_looks_as_kept(
    size: tuple[int, int], crawl: Job, on_screen: Callable[..., Any], kept: SnapshotAssertion
) -> None:
    async with on_screen(crawl, size) as pilot:
        hands = await opened(pilot, "fan")
        await hands.press("enter", *"out")
        await hands.press("enter", *"300", "space", *"cfm")
        await until(pilot, lambda: "Water carried off" in summed(pilot))
        await pilot.pause(0.1)
        assert picture(pilot.app) == kept


async def test_what_comes_out_is_shown_while_it_is_typed_and_kept_with_a_name(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (120, 40)) as pilot:
        hands = await opened(pilot, "fan")
        assert "Still needed: Which way it blows." in summed(pilot)
        await hands.fill({"blows": "out", "airflow": "300 cfm", "by": "Ada"})
        await until(pilot, lambda: not isinstance(pilot.app.screen, Form))
        (one,) = crawl.board.ledger.reckoned[STEP]
        assert (one.given["inside"], one.given["area"], one.by) == ("65F/85%", "1100 ft2", "Ada")
        assert "Fan (out, 300 cfm, 65F/85%," in " ".join(text(pilot.app).split("\u2502"))


async def test_the_field_that_is_typed_into_comes_into_sight_from_under_the_cautions(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (60, 20)) as pilot:
        hands = await opened(pilot, "fan")
        line = pilot.app.focused
        assert not pilot.app.screen.can_view_entire(line)  # what can hurt is read first
        await hands.press("o")
        await until(pilot, lambda: pilot.app.screen.can_view_entire(line))
        assert line.value == "o"


async def test_a_mix_off_the_label_stays_in_the_form_and_says_why(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (120, 40)) as pilot:
        hands = await opened(pilot, "dose")
        assert "DANGER: Never mix bleach with ammonia" in " ".join(text(pilot.app).split())
        typed = {"strength": "6 %", "label": "500 ppm", "bleach": "1 cup", "water": "1 gal"}
        await hands.fill(typed | {"by": "Ada"})
        assert isinstance(pilot.app.screen, Form)
        assert "500 ppm" in summed(pilot)
        assert STEP not in crawl.board.ledger.reckoned
