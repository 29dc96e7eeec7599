"""The large clock can be photographed at any size, and a photo of it is marked on the spot."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Input

from siltline.job import Job
from siltline.job.add import add
from siltline.job.clock import code_of
from siltline.job.pictures import describe
from siltline.moments import MONTHS
from siltline.screens.app import SiltlineApp
from siltline.screens.bigtype import HEIGHT, SIGNS, large, stacked
from siltline.screens.clock_face import ClockScreen
from siltline.screens.forms import Form
from siltline.screens.themes import PALETTES
from support.desk import Hands, stand, until
from support.pictures import photo
from support.screens import picture, text

SIZES = pytest.mark.parametrize(
    "size", [(80, 24), (120, 40), (60, 20)], ids=["80x24", "120x40", "60x20"]
)
NOW = datetime(2026, 11, 29, 14, 3, 27, tzinfo=ZoneInfo("America/Chicago"))


@pytest.fixture
def held(sample: Job) -> Job:
    """The sample job, at a time that does not go on."""
    sample.clock = lambda: NOW
    return sample


@SIZES
async def test_the_clock_looks_as_kept(
    size: tuple[int, int], held: Job, on_screen: Callable[..., Any], kept: SnapshotAssertion
) -> None:
    async with on_screen(held, size) as pilot:
        await stand(pilot, "prove-dead/circuit-4")
        await Hands(pilot).press("C")
        await until(pilot, lambda: isinstance(pilot.app.screen, ClockScreen))
        pilot.app.clear_notifications()
        await pilot.pause()
        await pilot.pause()
        for look in PALETTES:
            pilot.app.theme = look
            await pilot.pause()
            await pilot.pause()
            assert picture(pilot.app) == kept(name=look)


async def test_a_terminal_of_ascii_shows_the_same_digits(
    held: Job, monkeypatch: pytest.MonkeyPatch, kept: SnapshotAssertion
) -> None:
    monkeypatch.setenv("SILTLINE_ASCII", "1")
    app = SiltlineApp(held)
    async with app.run_test(size=(80, 24)) as pilot:
        await stand(pilot, "prove-dead/circuit-4")
        await Hands(pilot).press("C")
        await until(pilot, lambda: isinstance(app.screen, ClockScreen))
        app.clear_notifications()
        await pilot.pause()
        await pilot.pause()
        assert picture(app) == kept


async def test_the_form_that_marks_a_photo_looks_as_kept(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any], kept: SnapshotAssertion
) -> None:
    add(job, [photo(tmp_path, "OLD.JPG", 1), photo(tmp_path, "CLOCK.JPG", 2)])
    async with on_screen(job) as pilot:
        await stand(pilot)
        await Hands(pilot).press("C", "m")
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        pilot.app.screen.query_one("#field-shown", Input).value = "12 Mar 2026 07:29:00"
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await pilot.pause()
        await pilot.pause()
        assert picture(pilot.app) == kept


async def test_the_newest_unused_photo_is_offered_and_marked_and_taken_back(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    add(job, [photo(tmp_path, "OLD.JPG", 1), photo(tmp_path, "CLOCK.JPG", 2)])
    async with on_screen(job) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("C", "m")
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        assert pilot.app.screen.query_one("#field-photo", Input).value == "CLOCK.JPG"
        assert "= Invented T1, 2026:03:12" in text(pilot.app)
        typed = {"shown": "12 Mar 2026 07:29:00", "code": code_of(job)}
        await hands.fill(typed)
        await hands.settle()
        assert [p["error_s"] for p in describe(job)] == [60, 60]
        assert "1 photo at no step" in text(pilot.app)
        await hands.press("u")
        assert [p["error_s"] for p in describe(job)] == [None, None]


async def test_another_code_is_refused_in_the_form_and_escape_leads_back_to_the_clock(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any]
) -> None:
    add(job, [photo(tmp_path, "CLOCK.JPG", 2)])
    async with on_screen(job) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("C", "m")
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        await hands.fill({"shown": "12 Mar 2026 07:29:00", "code": "QQQQ"})
        assert "not the code of this job" in " ".join(text(pilot.app).split())
        await hands.press("escape")
        await until(pilot, lambda: isinstance(pilot.app.screen, ClockScreen))
        await hands.press("escape")
        await hands.settle()
    assert not job.board.ledger.clocks


async def test_the_clock_goes_on(job: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(job) as pilot:
        await stand(pilot)
        await Hands(pilot).press("C")
        await until(pilot, lambda: isinstance(pilot.app.screen, ClockScreen))
        first = text(pilot.app)
        await until(pilot, lambda: text(pilot.app) != first)


def test_every_sign_that_a_clock_shows_can_be_drawn_and_no_two_are_alike() -> None:
    shown = set("0123456789:+- UTC" + "".join(MONTHS).upper() + "ACEFHJKLNPRTUXYZ")
    assert shown <= SIGNS.keys()
    for sign, rows in SIGNS.items():
        assert len(rows) == HEIGHT, sign
        assert len({len(row) for row in rows}) == 1, sign
    letters = {sign: tuple(rows) for sign, rows in SIGNS.items() if sign.isalpha()}
    digits = {sign: tuple(rows) for sign, rows in SIGNS.items() if sign.isdigit()}
    assert len(set(letters.values())) == len(letters)
    assert len(set(digits.values())) == len(digits)


@pytest.mark.parametrize(("wide", "rows"), [(58, 15), (78, 20), (118, 36), (198, 56)])
def test_the_clock_takes_the_room_that_there_is_and_no_more(wide: int, rows: int) -> None:
    lines = stacked(["23:58:48", "28 MAR 2026", "UTC+05:45 HKRZ"], wide, rows)
    assert len(lines) <= rows
    assert max(map(len, lines)) <= wide
    assert len(large("8", wide, 2)) == 2 * HEIGHT
