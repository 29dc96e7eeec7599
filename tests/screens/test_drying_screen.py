"""Points are set up, read and looked at by keys; the list is there before the days are."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import OptionList, Static

from siltline.job import Job
from siltline.job.points import add_point
from siltline.judge.measured import points_of, readings_at
from siltline.screens.card import card
from siltline.screens.drying import DryingScreen
from siltline.screens.forms import Form
from siltline.screens.listing import Listing
from support.crawl import STEP, crawl_job, read_on
from support.desk import Hands, stand, until
from support.screens import picture, text


@pytest.fixture
def crawl(tmp_path: Path) -> Iterator[Job]:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (0, 1, 2, 3, 4, 5, 6, 7, 8)))
    yield job
    job.close()


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_how_dry_looks_as_kept(
    size: tuple[int, int], crawl: Job, on_screen: Callable[..., Any], kept: SnapshotAssertion
) -> None:
    async with on_screen(crawl, size) as pilot:
        await stand(pilot, STEP)
        await pilot.press("G")
        await until(pilot, lambda: getattr(pilot.app.screen, "dated", 0) == 3)
        await pilot.pause(0.1)
        assert picture(pilot.app) == kept


async def test_a_narrow_window_cuts_no_sign_of_the_legend_off(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (60, 24)) as pilot:
        await stand(pilot, STEP)
        await pilot.press("G")
        await until(pilot, lambda: "across: days" in text(pilot.app))


async def test_the_next_point_is_shown_and_enter_goes_to_its_step(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl) as pilot:
        await stand(pilot)
        await pilot.press("G")
        await until(pilot, lambda: isinstance(pilot.app.screen, DryingScreen))
        await pilot.pause()
        await pilot.press("down")
        await until(pilot, lambda: "J2:" in text(pilot.app))
        await pilot.press("enter")
        await until(pilot, lambda: not isinstance(pilot.app.screen, DryingScreen))
        assert pilot.app.screen.here == STEP


async def test_what_was_read_at_points_is_among_the_readings(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (120, 40)) as pilot:
        await stand(pilot)
        await pilot.press("r")
        await until(pilot, lambda: isinstance(pilot.app.screen, Listing))
        await until(pilot, lambda: "36 readings" in text(pilot.app))  # 4 points on 9 days
        assert "11 %" in text(pilot.app)
        assert f"{STEP}  R1, Pin meter, Ada" in text(pilot.app)
        await pilot.press("enter")
        await until(pilot, lambda: not isinstance(pilot.app.screen, Listing))
        assert pilot.app.screen.here == STEP


async def test_a_round_is_read_by_keys_and_an_odd_number_is_asked_about_once(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        hands.app.screen.person = "Ada"
        await hands.press("m")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        labels = [str(row.field.label) for row in hands.app.screen.rows.values()]
        assert labels[0] == "J1, joist 1 from the access (last: 14 %)"
        assert labels[3] == "R1, sill under the porch, never wet, unaffected (last: 11 %)"
        await hands.press(*"29", "ctrl+s")
        await until(pilot, lambda: "wetter" in text(hands.app))
        told = " ".join(text(hands.app).split())
        assert "press Ctrl+S once more" in told
        assert "--sure" not in told
        assert len(readings_at(crawl.board.ledger, "J1")) == 9
        await hands.press("ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
        assert readings_at(crawl.board.ledger, "J1")[-1].value == "29 %"


async def test_a_slip_is_told_under_the_field_it_is_in(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    slips = [
        ("m", "value1", "0.17", "write 17 for 17 %"),
        ("m", "meter", "Prongs", "Pin meter"),
        ("M", "height", "4", "for example 34in"),
        ("H", "value-outside", "72/58", "'72' cannot be the temperature"),
    ]
    async with on_screen(crawl) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        hands.app.screen.person = "Ada"
        for key, field, typed, words in slips:
            await hands.press(key)
            await until(pilot, lambda: isinstance(hands.app.screen, Form))
            await hands.press("ctrl+r")  # the slip before is a draft
            rows = hands.app.screen.rows
            rows[field].put(typed)
            await pilot.pause()
            await hands.press("ctrl+s")
            fault = rows[field].query_one(".fault", Static)
            await until(pilot, lambda fault=fault: fault.display)
            assert words in str(fault.content)
            await hands.press("escape")
            await until(pilot, lambda: not isinstance(hands.app.screen, Form))


async def test_a_point_is_set_up_by_keys(crawl: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(crawl) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        await hands.press("M")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        await hands.press("enter", *"J7", "ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
        assert [one.name for one in points_of(crawl.board.ledger)][-2:] == ["J7", "R1"]
        await hands.press("G")
        await until(pilot, lambda: isinstance(hands.app.screen, DryingScreen))
        await pilot.pause()
        assert hands.app.screen.query_one(OptionList).option_count == 5  # R1 too


async def test_a_point_gets_a_name_that_fits_it_and_is_shown_before_it_is_kept(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (100, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        await hands.press("M")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        rows = hands.app.screen.rows
        await until(pilot, lambda: rows["name"].input.value == "P1")
        await hands.press(*"joist")
        await until(pilot, lambda: rows["name"].input.value == "J4")
        rows["reference"].put("yes")
        await until(pilot, lambda: rows["name"].input.value == "R2")
        rows["reference"].put("no")
        await until(pilot, lambda: rows["name"].input.value == "J4")
        await hands.press("escape")  # a draft of what was typed, not of the name
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
        add_point(crawl, STEP, "J4", where="set up by another")
        await hands.press("M")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        rows = hands.app.screen.rows
        await until(pilot, lambda: rows["name"].input.value == "J5")
        assert rows["material"].input.value == "joist"
        await hands.press(*"J4", "ctrl+s")  # typed in place of what was filled in
        await until(pilot, lambda: "There is a point J4 already" in text(hands.app))
        rows["name"].put("")
        rows["material"].put("stud")
        await until(pilot, lambda: rows["name"].input.value == "S1")
        await hands.press("ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
        found = {one.name: one.material for one in points_of(crawl.board.ledger)}
        assert found["S1"] == "stud"
        assert "J5" not in found
        assert crawl.board.ledger.points[("j4",)][0].where == "set up by another"


async def test_unaffected_wood_stands_last_with_neither_verdict_nor_chart(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    told = card(crawl, crawl.step(STEP)).plain
    assert "Unaffected wood that the goal comes from: R1 11 % (Pin meter)" in told
    async with on_screen(crawl, (120, 40)) as pilot:
        await stand(pilot, STEP)
        await pilot.press("G")
        await until(pilot, lambda: isinstance(pilot.app.screen, DryingScreen))
        await pilot.pause()
        assert "1 of 3 points are dry" in text(pilot.app)
        await pilot.press("end")
        await until(pilot, lambda: "R1: 11 % with Pin meter" in text(pilot.app))
        shown = " ".join(text(pilot.app).split())
        assert "R1 11 % unaffected crawl-space sill under the porch" in shown
        assert "the goal of J1, J2, J3 comes from it" in shown
        assert "nine in ten" not in shown
        await pilot.press("home")  # more is said of it, so its chart has less room
        await until(pilot, lambda: "nine in ten" in text(pilot.app))
        await pilot.press("end", "enter")
        await until(pilot, lambda: not isinstance(pilot.app.screen, DryingScreen))
        assert pilot.app.screen.here == STEP


async def test_the_air_of_the_day_is_taken_by_keys_and_outside_air_judged(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, STEP)
        hands.app.screen.person = "Ada"
        await hands.press("H")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        rows = hands.app.screen.rows
        rows["value-affected"].put("72F/80%")
        rows["value-outside"].put("88F/65%")
        await pilot.pause()
        await hands.press("ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
        assert crawl.board.ledger.airs[-1].temp == "88F"
        await until(pilot, lambda: "WETS" in text(hands.app))
