"""The section on the screen: the place of the step in hand, in the size of the window."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.pilot import Pilot
from textual.widgets import Static

from siltline.job import Job
from siltline.job.points import add_point
from siltline.job.rounds import read_round
from siltline.screens.sectioning import SectionScreen
from support.screens import picture, text

SIZES = [(80, 24), (120, 40), (60, 20)]


async def shown(pilot: Pilot[Any], screen: SectionScreen) -> None:
    await pilot.pause()
    pilot.app.push_screen(screen)
    await pilot.pause()
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(
    "step",
    ["weep-holes-open/north-wall", "breaker-replaced/breaker-4", "poly-out/crawl-space"],
    ids=lambda step: step.replace("/", "-"),
)
async def test_a_section_looks_as_kept(
    step: str,
    size: tuple[int, int],
    sample: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(sample, size) as pilot:
        await shown(pilot, SectionScreen(sample, step))
        assert picture(pilot.app) == kept


async def test_it_is_drawn_again_when_the_window_changes(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (120, 40)) as pilot:
        await shown(pilot, SectionScreen(sample, "weep-holes-open/north-wall"))
        assert "outlet over the counter" in text(pilot.app)
        for size in ((60, 20), (44, 18), (200, 60), (120, 40)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            await pilot.pause()
            lines = text(pilot.app).splitlines()
            assert "Section: the north wall" in lines[1]
            assert "wetted" in lines[1]
            assert max(map(len, lines)) <= size[0]


async def test_a_window_too_small_says_so_and_comes_back(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (30, 8)) as pilot:
        await shown(pilot, SectionScreen(sample, "weep-holes-open/north-wall"))
        assert "A section needs 40" in text(pilot.app)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        await pilot.pause()
        assert "waterline 31 in" in text(pilot.app)


async def test_keys_go_round_the_places_and_back(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await shown(pilot, SectionScreen(sample, "weep-holes-open/north-wall"))
        names = []
        for _ in range(8):
            names.append(text(pilot.app).splitlines()[1].strip())
            await pilot.press("right")
            await pilot.pause()
        assert len(set(names)) == 8
        assert text(pilot.app).splitlines()[1].strip() == names[0]
        await pilot.press("left")
        await pilot.pause()
        assert "Crawl space" in text(pilot.app).splitlines()[1]
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(pilot.app.screen, SectionScreen)


async def test_points_stand_at_the_place_of_the_step_alone(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    add_point(sample, "studs-dry/north-wall", "stud bay 2", height="12 in")
    read_round(sample, {"stud bay 2": "19"}, by="Ada")
    async with on_screen(sample, (120, 40)) as pilot:
        await shown(pilot, SectionScreen(sample, "weep-holes-open/north-wall"))
        assert "12 in (30 cm) 19 % stud bay 2" in text(pilot.app)
        await pilot.press("right")
        await pilot.pause()
        assert "stud bay 2" not in text(pilot.app)


async def test_a_terminal_without_line_characters_gets_ascii(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await shown(pilot, SectionScreen(sample, "weep-holes-open/north-wall", ascii_only=True))
        assert str(pilot.app.screen.query_one("#section", Static).content).isascii()
