"""The foot of a screen: what its keys do now, for eyes, a mouse and any width."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from siltline.job import Job
from siltline.screens.helping import HelpScreen
from siltline.screens.keys import Keys
from siltline.sentences import say
from support.desk import Hands, stand, until
from support.screens import text


def foot(app: Any) -> str:
    return text(app).splitlines()[-1]


@pytest.mark.parametrize("width", [80, 120])
async def test_it_tells_the_keys_in_the_order_in_which_they_are_listed(
    width: int, job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (width, 24)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: say("key.help") in foot(pilot.app))
        assert foot(pilot.app).split() == ["Enter", "Tick", "a", "Attach", "photo", "g", "Next",
                                           "thing", "v", "Review", "?", "Help"]  # fmt: skip


async def test_what_does_not_fit_ends_in_dots(job: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(job, (40, 24)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: "Tick" in foot(pilot.app))
        assert foot(pilot.app).rstrip().endswith("\u2026")
        assert "Help" not in foot(pilot.app)


async def test_a_click_on_a_key_presses_it_and_a_click_beside_them_nothing(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (80, 24)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: say("key.help") in foot(pilot.app))
        desk, at = pilot.app.screen, foot(pilot.app).index("Help")
        await pilot.click(Keys, offset=(79, 0))
        assert pilot.app.screen is desk
        await pilot.click(Keys, offset=(at, 0))
        await until(pilot, lambda: isinstance(pilot.app.screen, HelpScreen))


async def test_a_key_that_is_possible_only_now_is_told_now(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (80, 24)) as pilot:
        await stand(pilot)
        await Hands(pilot).press("question_mark")
        await until(pilot, lambda: say("key.back") in foot(pilot.app))
        await Hands(pilot).press("escape")
        await until(pilot, lambda: say("key.tick") in foot(pilot.app))
