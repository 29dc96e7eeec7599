"""What the main screens look like, kept as text at 80x24 and 120x40."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Input

from siltline import config
from siltline.job import Job
from siltline.screens.app import SiltlineApp
from siltline.screens.themes import PALETTES
from support.desk import Hands, stand
from support.house import HOUSE
from support.screens import picture, text

SIZES = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
OTHER_LOOKS = [look for look in PALETTES if look != "night"]  # which each app starts with
SCREENS: dict[str, tuple[str, ...]] = {
    "first-open-step": (),
    "attach": ("a",),
    "leave-out": ("x",),
    "tick-needs-a-name": ("enter",),
    "review": ("v",),
    "help": ("question_mark",),
    "search": ("slash", "d", "r", "y"),
    "steps-for-a-photo": ("p", "ctrl+g"),
    "readings": ("r",),
    "to-put-back": ("b",),
    "by-place": ("l",),
    "why": ("y",),
    "palette": ("colon",),
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
        for look in OTHER_LOOKS:
            pilot.app.theme = look
            await pilot.pause()
            await pilot.pause()
            assert picture(pilot.app) == kept(name=look)


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
        for look in OTHER_LOOKS:
            pilot.app.theme = look
            await pilot.pause()
            await pilot.pause()
            assert picture(pilot.app) == kept(name=look)


@pytest.mark.parametrize("look", PALETTES)
async def test_a_job_with_nothing_in_it_looks_as_kept(
    look: str, job: Job, kept: SnapshotAssertion, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_THEME", look)
    app = SiltlineApp(job)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("a")  # there is no photo to attach, and that is said
        await pilot.pause(0.1)
        assert "No photos were taken in yet" in text(app)
        assert picture(app) == kept


@pytest.mark.parametrize("look", PALETTES)
async def test_a_file_that_was_pulled_away_looks_as_kept(
    look: str, job: Job, kept: SnapshotAssertion, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_THEME", look)
    config.remember_person("Ines Valdkamp")
    app = SiltlineApp(job)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot)
        job.record.path.rename(job.record.path.with_suffix(".away"))
        app.screen.look()  # type: ignore[attr-defined]
        await pilot.pause(0.1)
        app.clear_notifications()  # what it told names a folder of this run
        await pilot.pause(0.1)
        await Hands(pilot).press("enter")
        await pilot.pause(0.1)
        assert "nothing was recorded" in " ".join(text(app).split())
        assert picture(app) == kept


@pytest.mark.parametrize("look", PALETTES)
async def test_a_job_with_very_many_steps_looks_as_kept(
    look: str, new_job: Callable[..., Job], kept: SnapshotAssertion, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_THEME", look)
    rooms = "".join(
        f"  room-{n}: {{name: Room {n} with a name as long as names of rooms get}}\n"
        for n in range(150)
    )
    job = new_job(HOUSE.replace("rooms:\n", f"rooms:\n{rooms}"))
    assert len(job.board.steps) > 300
    app = SiltlineApp(job)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("end")
        await pilot.pause()
        await pilot.pause()
        assert picture(app) == kept


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
