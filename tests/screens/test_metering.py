"""A meter comes into the register by keys, and the round of readings names the key that does it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Static

from siltline.job import Job
from siltline.job.points import add_meter
from siltline.judge.measured import meter_named
from siltline.judge.points import Meter
from siltline.screens.deeds import DEEDS
from siltline.screens.forms import Form
from support.crawl import STEP, crawl_job
from support.desk import Hands, refused, stand, until
from support.screens import text


@pytest.fixture
def crawl(tmp_path: Path) -> Iterator[Job]:
    job, _ = crawl_job(tmp_path)
    yield job
    job.close()


async def form(hands: Hands, key: str) -> Any:
    await stand(hands.pilot, STEP)
    await hands.press(key)
    await until(hands.pilot, lambda: isinstance(hands.app.screen, Form))
    return hands.app.screen.rows


def named(job: Job, name: str) -> Meter:
    found = meter_named(job.board.ledger, name)
    assert found is not None
    return found


async def test_a_meter_is_registered_by_keys_with_all_that_the_command_takes(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (100, 40)) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "K")
        assert "Pin meter  tolerance 1%" in text(pilot.app)  # it is there already
        typed = {"name": "Old pins", "tolerance": "2", "resolution": "0.5 %",
                 "checked": "1 Mar 2026", "corrects": "No"}  # fmt: skip
        for key, value in typed.items():
            rows[key].put(value)
        await pilot.pause()
        assert "= Sun 1 Mar 2026" in text(pilot.app)
        await hands.press("ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
    found = named(crawl, "Old pins")
    assert (found.tolerance, found.resolution, found.checked) == ("2 %", "0.5 %", "2026-03-01")
    assert found.corrects == "no"


async def test_of_a_meter_that_is_there_what_is_left_empty_stays(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (100, 40)) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "K")
        rows["name"].put("pin meter")
        rows["corrects"].put("sí")
        await pilot.pause()
        await hands.press("ctrl+s")
        await until(pilot, lambda: not isinstance(hands.app.screen, Form))
    found = named(crawl, "Pin meter")
    assert (found.tolerance, found.resolution, found.corrects) == ("1%", "0.5%", "yes")


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("tolerance", "0.01%", "cannot be the tolerance"),
        ("resolution", "40", "cannot be the step of the display"),
        ("checked", "1 Jan 2999", "lies ahead"),
        ("corrects", "perhaps", "yes, no"),
    ],
)
async def test_a_slip_stands_under_the_field_it_is_in(
    field: str, typed: str, words: str, crawl: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(crawl, (100, 40)) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "K")
        rows["name"].put("Pins")
        rows[field].put(typed)
        assert words in await refused(hands, rows, field)
    assert meter_named(crawl.board.ledger, "Pins") is None


async def test_the_round_names_the_key_that_registers_a_meter(
    crawl: Job, on_screen: Callable[..., Any]
) -> None:
    assert next(deed.key for deed in DEEDS if deed.says == "meter") == "K"
    async with on_screen(crawl, (100, 40)) as pilot:
        hands = Hands(pilot)
        rows = await form(hands, "m")
        rows["by"].put("Ada")
        rows["meter"].put("Prongs")
        await pilot.pause()
        await hands.press("ctrl+s")
        fault = rows["meter"].query_one(".fault", Static)
        await until(pilot, lambda: fault.display)
        told = str(fault.content)
        assert "There is no meter Prongs in the register (key K on the desk puts one in)" in told
        assert "the command" not in told


async def test_where_no_meter_is_registered_the_round_says_how(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    from siltline.screens.measuring import round_fields  # noqa: PLC0415

    meter = next(field for field in round_fields(job, []) if field.key == "meter")
    assert "key K on the desk" in meter.label
    add_meter(job, "Pins")
    meter = next(field for field in round_fields(job, []) if field.key == "meter")
    assert "key K" not in meter.label
