"""The likeliest photo is attached with one key, a run with one key each, and nothing in silence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from siltline import config
from siltline.job import Job
from siltline.job.acts import attach, find_photo
from siltline.job.add import add
from siltline.screens.app import SiltlineApp
from support.desk import Hands, stand
from support.pictures import photo

ROOM = "room-as-found/kitchen"


def taken_in(job: Job, folder: Path, stamps: list[str]) -> list[str]:
    """Take photos of one camera in; return their hashes."""
    paths = [
        photo(folder, f"IMG_{n:04d}.JPG", n, stamp=f"2026:03:12 {stamp}:00")
        for n, stamp in enumerate(stamps, 1)
    ]
    add(job, paths)
    return [find_photo(job, path.name) for path in paths]


def shown(pilot: Any) -> str:
    """What is told at the moment, whole."""
    return " ".join(notification.message for notification in pilot.app.said)


def of(job: Job, step: str) -> list[tuple[str, str]]:
    return [(one.photo, one.role) for one in job.step(step).attached]


async def test_one_key_attaches_the_clear_offer_says_why_and_u_takes_it_back(
    job: Job, tmp_path: Path
) -> None:
    config.remember_person("Ada Lovelorn")
    photos = taken_in(job, tmp_path / "card", ["07:30", "07:32", "07:50"])
    attach(job, ROOM, photos[0])
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot, ROOM)
        hands = Hands(pilot)
        await hands.press("A")
        await hands.settle()
        assert of(job, ROOM) == [(photos[0], "corner"), (photos[1], "corner")]
        assert "IMG_0002.JPG attached as corner: next in the row after IMG_0001.JPG" in shown(pilot)
        await hands.press("u")
        assert of(job, ROOM) == [(photos[0], "corner")]
        assert hands.presses == 2


async def test_where_no_offer_is_clear_the_list_opens_and_nothing_was_attached(
    job: Job, tmp_path: Path
) -> None:
    taken_in(job, tmp_path / "card", [f"07:{n:02d}" for n in range(10, 30)])
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot, "poly-out/crawl-space")
        hands = Hands(pilot)
        await hands.press("A")
        await hands.settle_form()
        assert of(job, "poly-out/crawl-space") == []
        assert "No photo is clearly the one: pick." in shown(pilot)
        assert pilot.app.screen.query("#pick-list")
        await hands.press("escape")


@pytest.mark.parametrize(
    ("attached", "told"),
    [([], "No photos were taken in yet"), ([ROOM], "Every photo is at a step already")],
)
async def test_the_key_says_why_it_attaches_nothing(
    attached: list[str], told: str, job: Job, tmp_path: Path
) -> None:
    if attached:
        attach(job, ROOM, taken_in(job, tmp_path / "card", ["07:30"])[0])
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot, "gear-on/house")
        await Hands(pilot).press("A")
        await pilot.pause(0.1)
        assert told in shown(pilot)
        assert of(job, "gear-on/house") == []


async def test_a_step_that_lacks_no_photo_gets_none_by_that_key(job: Job, tmp_path: Path) -> None:
    photos = taken_in(job, tmp_path / "card", ["07:30", "07:31"])
    attach(job, "gear-on/house", photos[0])
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot)
        await Hands(pilot).press("A")
        await pilot.pause(0.1)
        assert "No photo is missing here" in shown(pilot)
        assert len(of(job, "gear-on/house")) == 1


async def test_a_run_is_attached_a_key_each_until_none_is_left(job: Job, tmp_path: Path) -> None:
    config.remember_person("Ada Lovelorn")
    photos = taken_in(job, tmp_path / "card", ["07:30", "07:31", "07:32"])
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot, ROOM)
        hands = Hands(pilot)
        await hands.press("N")
        await pilot.pause(0.1)
        assert "No photo is at this step yet" in shown(pilot)
        attach(job, ROOM, photos[0])
        await hands.press("N", "N")
        assert [one for one, _ in of(job, ROOM)] == photos
        pilot.app.clear_notifications()
        await hands.press("N")
        await pilot.pause(0.1)
        assert "No photo at no step is left in the row after IMG_0003.JPG." in shown(pilot)


async def test_attach_and_enter_take_the_likeliest_and_its_whole_reason_is_told(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    photos = taken_in(job, tmp_path / "card", ["07:30", "07:31", "07:32"])
    attach(job, ROOM, photos[1])
    async with on_screen(job) as pilot:
        await stand(pilot, ROOM)
        hands = Hands(pilot)
        await hands.press("a")
        await hands.settle_form()
        rows = pilot.app.screen.query_one("#pick-list", OptionList)
        assert rows.options[-1].id == photos[1]
        told = str(pilot.app.screen.query_one("#pick-told").render())
        assert told == "next in the row after IMG_0002.JPG, of this step; 1 min after it"
        await hands.press("enter")
        await hands.settle_form()
    assert of(job, ROOM)[-1] == (photos[2], "corner")


async def test_a_photo_at_no_step_is_offered_its_steps_by_ctrl_g_and_enter_attaches_it(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    photos = taken_in(job, tmp_path / "card", ["07:30", "07:31"])
    attach(job, ROOM, photos[0])
    async with on_screen(job) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("p")
        await hands.settle_form()
        await hands.press("ctrl+g")
        await hands.settle_form()
        rows = pilot.app.screen.query_one("#pick-list", OptionList)
        assert rows.options[0].id == ROOM
        await hands.press("enter")
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.id == ROOM
    assert of(job, ROOM) == [(photos[0], "corner"), (photos[1], "corner")]
