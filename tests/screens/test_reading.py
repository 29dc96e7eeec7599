"""A round of readings by keys counts as the same round by command: meter, temperature, time."""

from __future__ import annotations

from typing import Any

import pytest

from siltline.job import Job
from siltline.job.points import add_meter
from siltline.job.rounds import read_round
from siltline.judge.measured import readings_at
from siltline.screens.app import SiltlineApp
from siltline.screens.forms import Form
from support.crawl import STEP
from support.desk import Hands, refused, stand, until
from support.screens import text


@pytest.fixture
def pins(crawl: Job) -> Job:
    """The same job, with a meter that does not correct for the temperature of the wood."""
    add_meter(crawl, "Old pins", corrects="no")
    return crawl


def screen_of(job: Job) -> Any:
    return SiltlineApp(job).run_test(size=(120, 50), notifications=True)


async def form(hands: Hands, key: str) -> Any:
    await stand(hands.pilot, STEP)
    hands.app.screen.person = "Ada"
    await hands.press(key)
    await until(hands.pilot, lambda: isinstance(hands.app.screen, Form))
    return hands.app.screen.rows


async def send(hands: Hands) -> str:
    """Send the form; return what the desk says then."""
    await hands.pilot.pause()
    await hands.press("ctrl+s")
    await until(hands.pilot, lambda: not isinstance(hands.app.screen, Form))
    await hands.pilot.pause()
    return " ".join(text(hands.app).replace("\u258c", " ").split())  # less the edge of a toast


async def test_the_temperature_of_the_wood_corrects_a_round_as_it_does_by_command(
    pins: Job,
) -> None:
    read_round(pins, {"J2": "15"}, meter="Old pins", temp="55F", by="Ada", sure=True)
    async with screen_of(pins) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value0"].put("15")
        rows["meter"].put("Old pins")
        rows["temp"].put("55F")
        await pilot.pause()
        assert "= 55 F = 12.8 C" in text(pilot.app)
        await hands.press("ctrl+s")
        await pilot.pause()  # 15 after more surprises
        told = await send(hands)
    by_key, by_command = (readings_at(pins.board.ledger, name)[-1] for name in ("J1", "J2"))
    assert by_key.value == by_command.value != "15 %"
    assert (by_key.temp, by_key.typed) == ("55F", "15 %")
    assert "Counted as read" not in told


async def test_a_round_without_the_temperature_says_that_it_counts_as_read(pins: Job) -> None:
    async with screen_of(pins) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value3"].put("11.5")
        rows["meter"].put("Old pins")
        told = await send(hands)
        assert "Counted as read: Old pins does not correct" in told
        assert "in cold wood the true value is higher" in told
    assert readings_at(pins.board.ledger, "R1")[-1].value == "11.5 %"


async def test_a_temperature_that_corrects_nothing_is_told_with_the_key_that_helps(
    crawl: Job,
) -> None:
    add_meter(crawl, "Pins")  # nobody said whether it corrects
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value3"].put("11.5")
        rows["meter"].put("Pins")
        rows["temp"].put("55F")
        told = await send(hands)
        assert "corrected nothing" in told
        assert "key K" in told


async def test_where_every_meter_corrects_no_temperature_is_asked_for(crawl: Job) -> None:
    async with screen_of(crawl) as pilot:
        assert "temp" not in await form(Hands(pilot), "m")


@pytest.mark.parametrize(
    ("typed", "words"),
    [("55", "for example 18C, 64F"), ("500F", "no temperature of wood")],
)
async def test_a_slip_in_the_temperature_is_told_under_it(
    typed: str, words: str, pins: Job
) -> None:
    async with screen_of(pins) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value3"].put("11.5")
        rows["temp"].put(typed)
        assert words in await refused(hands, rows, "temp")


async def test_what_cannot_be_corrected_is_told_under_the_temperature(pins: Job) -> None:
    async with screen_of(pins) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value3"].put("11.5")
        rows["meter"].put("Old pins")
        rows["temp"].put("-20C")  # wood can be as cold; no table corrects there
        assert "cannot be corrected at '-20C'" in await refused(hands, rows, "temp")


async def test_a_round_and_the_air_may_have_been_read_before_now(crawl: Job) -> None:
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["value3"].put("11.5")
        rows["when"].put("yesterday 9:30 pm")
        await pilot.pause()
        assert "= Sun 15 Mar 2026 21:30 (9:30 pm)" in text(pilot.app)
        await send(hands)
        rows = await form(hands, "H")
        rows["value-affected"].put("64F/70%")
        rows["when"].put("15 Mar 2026 7:00")
        await send(hands)
    at = readings_at(crawl.board.ledger, "R1")[-2].at  # the newest is of today
    assert at == "2026-03-15T21:30:00.000-05:00"
    assert crawl.board.ledger.airs[-1].at == "2026-03-15T07:00:00.000-05:00"


@pytest.mark.parametrize("key", ["m", "H"])
@pytest.mark.parametrize(
    ("typed", "words"), [("yesterday", "has no time of the day"), ("1 Jan 2999 8:00", "ahead")]
)
async def test_a_time_that_cannot_be_is_told_under_it(
    key: str, typed: str, words: str, crawl: Job
) -> None:
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, key)
        rows["when"].put(typed)
        assert words in await refused(hands, rows, "when")


async def test_the_depth_of_the_pins_belongs_to_a_point(crawl: Job) -> None:
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "M")
        rows["name"].put("J7")
        rows["depth"].put("1/2 in")
        await send(hands)
    assert crawl.board.ledger.points[("j7",)][0].depth == "1/2 in"


async def test_undo_names_the_points_of_a_round_that_was_taken_back(crawl: Job) -> None:
    read_round(crawl, {"J1": "20", "R1": "11.5"}, by="Ada", sure=True)
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        await hands.press("u")
        await hands.settle()
        told = " ".join(text(hands.app).replace("\u258c", " ").split())
        assert "Taken back: round of readings, J1, R1, by Ada." in told


async def test_the_air_that_was_recorded_is_told_of_and_not_the_newest(crawl: Job) -> None:
    async with screen_of(crawl) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "H")
        rows["value-affected"].put("64F/50%")
        rows["value-outside"].put("88F/80%")
        rows["when"].put("15 Mar 2026 7:00")
        told = await send(hands)
    assert "Outside air (88F/80%" in told
    assert "WETS it (64F/50%)" in told
