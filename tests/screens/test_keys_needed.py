"""How many keys daily acts take; printed, and kept from growing. Text typed counts as it is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual import events
from textual.widgets import Input

from siltline import config
from siltline.job import Job
from siltline.job.add import add
from support.desk import Hands, stand
from support.pictures import photo

MOST = {
    "a practised tick with a photo": 3,
    "a practised tick with the photo that is offered": 2,
    "a first step documented, from a cold start": 7,
    "a step left out with its reason": 2,
    "ten readings": 30,
}


async def paste(pilot: Any, words: str) -> None:
    """Put words into the field in hand, as from a dictation or the clipboard: no key counted."""
    field = pilot.app.focused
    assert isinstance(field, Input)
    field.post_message(events.Paste(words))
    await pilot.pause()


def kept(figure: Callable[[str], None], what: str, hands: Hands) -> None:
    figure(f"keys for {what}: {hands.presses}")
    assert hands.presses <= MOST[what]


async def practised(
    job: Job, folder: Path, on_screen: Callable[..., Any], *attaching: str
) -> Hands:
    """Document a step by somebody who is known: attach its photo by those keys, and tick it."""
    config.remember_person("Ada Lovelorn")
    add(job, [photo(folder)])
    async with on_screen(job) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        for key in attaching:
            await hands.press(key)
            await hands.settle_form()
        await hands.press("enter")
        await hands.settle()
    assert job.step("gear-on/house").state == "documented"
    return hands


async def test_a_practised_tick_with_a_photo(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any], figure: Callable[[str], None]
) -> None:
    hands = await practised(job, tmp_path, on_screen, "a", "enter")
    kept(figure, "a practised tick with a photo", hands)


async def test_a_practised_tick_with_the_photo_that_is_offered(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any], figure: Callable[[str], None]
) -> None:
    hands = await practised(job, tmp_path, on_screen, "A")
    kept(figure, "a practised tick with the photo that is offered", hands)


async def test_a_first_step_from_a_cold_start(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any], figure: Callable[[str], None]
) -> None:
    card = tmp_path / "card"
    card.mkdir()
    photo(card)
    async with on_screen(job) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("f")
        await hands.settle_form()
        await paste(pilot, str(card))
        await hands.press("enter")
        await hands.settle()
        await hands.press("a")
        await hands.settle_form()
        await hands.press("enter")
        await hands.settle_form()
        await hands.press("enter")
        await hands.settle_form()
        await paste(pilot, "Ada Lovelorn")
        await hands.press("enter", "enter")
        await hands.settle_form()
    assert job.step("gear-on/house").state == "documented"
    kept(figure, "a first step documented, from a cold start", hands)


async def test_leave_out_with_its_reason(
    job: Job, on_screen: Callable[..., Any], figure: Callable[[str], None]
) -> None:
    config.remember_person("Ada Lovelorn")
    async with on_screen(job) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("x")
        await hands.settle_form()
        await paste(pilot, "No crew comes today.")
        await hands.press("enter")
        await hands.settle_form()
    assert job.step("gear-on/house").state == "not-done"
    kept(figure, "a step left out with its reason", hands)


async def test_ten_readings(
    new_job: Callable[..., Job],
    tmp_path: Path,
    on_screen: Callable[..., Any],
    figure: Callable[[str], None],
) -> None:
    config.remember_person("Ada Lovelorn")
    checklist = tmp_path / "readings"
    checklist.mkdir()
    (checklist / "checklist.yaml").write_text(
        "checklist: readings\ntitle: Readings\nphases: [one.yaml]\n", encoding="utf-8"
    )
    (checklist / "one.yaml").write_text(
        "phase: one\ntitle: One\nsteps:\n  - step: read\n    do: Read the wood.\n    why: W.\n"
        "    proof: [{reading: wood, unit: '%', count: 9, hours-apart: 1}]\n"
        "    source: common practice\n",
        encoding="utf-8",
    )
    job = new_job(checklist=str(checklist), name="readings")
    async with on_screen(job) as pilot:
        await pilot.pause()
        hands = Hands(pilot)
        for number in range(10):
            await hands.press("enter")
            await hands.settle_form()
            field = pilot.app.screen.query_one("#field-value0-0", Input)
            pilot.app.screen.set_focus(field)
            await pilot.pause()
            await paste(pilot, f"{20 - number}%")
            await hands.press("enter", "enter")
            await hands.settle_form()
    assert len(job.board.ledger.readings["read/house"]) == 10
    kept(figure, "ten readings", hands)
