"""Deadlines on the screen: the nearest in the head line, all of them under a key."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import OptionList

from siltline.job import Job
from siltline.job.deadlines import deadlines_of, site_zone
from siltline.job.laying import correct
from siltline.judge.due_words import title, until_briefly
from siltline.screens import desk
from siltline.screens.due_list import DueListing
from siltline.sentences import languages
from support.desk import Hands, stand, until
from support.screens import picture, text

# The water left the sample house on 12 March 2026 at 05:00 in Chicago, which is 10:00 UTC.
OUT = datetime(2026, 3, 12, 10, 0, tzinfo=UTC)
SIZES = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])


def at(job: Job, now: datetime) -> Job:
    job.clock = lambda: now
    return job


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the desk read the sheet for deadlines at once, and look again all the time."""
    monkeypatch.setattr(desk, "DUE_AFTER_S", 0.01)
    monkeypatch.setattr(desk, "DUE_EVERY_S", 0.05)


def head(pilot: Any) -> str:
    return text(pilot.app).splitlines()[0].strip()


@SIZES
@pytest.mark.parametrize("row", ["mould", "proof-of-loss"])
async def test_the_list_looks_as_kept(
    row: str,
    size: tuple[int, int],
    sample: Job,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    async with on_screen(at(sample, OUT + timedelta(hours=30)), size) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("D")
        await hands.press(*["down"] * (0 if row == "mould" else 3))
        assert picture(pilot.app) == kept


@SIZES
@pytest.mark.usefixtures("soon")
async def test_the_head_line_looks_as_kept(
    size: tuple[int, int], sample: Job, on_screen: Callable[..., Any], kept: SnapshotAssertion
) -> None:
    async with on_screen(at(sample, OUT + timedelta(hours=30)), size) as pilot:
        await stand(pilot)
        await until(pilot, lambda: head(pilot).startswith("Mould window"))
        assert picture(pilot.app) == kept


@pytest.mark.parametrize(
    ("now", "told"),
    [
        (OUT + timedelta(hours=1), "Mould window: mould can begin in 23 h 0 min"),
        (OUT + timedelta(hours=47, minutes=30), "Mould window: mould can begin now, 30 min left"),
        (OUT + timedelta(hours=50), "Mould window: past for 2 h 0 min"),
        (datetime(2026, 5, 2, 12, tzinfo=UTC), "Proof of loss: 7 days left"),
        (datetime(2026, 5, 9, 12, tzinfo=UTC), "Proof of loss: today is the last day"),
        (datetime(2026, 5, 11, 12, tzinfo=UTC), "Proof of loss: past for 2 days"),
    ],
)
@pytest.mark.usefixtures("soon")
async def test_the_nearest_deadline_leads_the_head_line(
    now: datetime, told: str, sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(at(sample, now), (160, 50)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: head(pilot).startswith(told))


@pytest.mark.parametrize("now", [datetime(2026, 4, 20, 12, tzinfo=UTC),
                                 datetime(2026, 11, 1, tzinfo=UTC)])  # fmt: skip
@pytest.mark.usefixtures("soon")
async def test_nothing_near_leaves_the_head_line_as_it_is(
    now: datetime, sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(at(sample, now)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: pilot.app.screen.due is not None)
        assert "documented" in head(pilot).split("   ")[0]


@pytest.mark.usefixtures("soon")
async def test_time_that_passes_and_a_fact_that_is_recorded_change_the_head_line(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(at(sample, datetime(2026, 5, 8, 12, tzinfo=UTC))) as pilot:
        await stand(pilot)
        await until(pilot, lambda: head(pilot).startswith("Proof of loss: 1 day left"))
        at(sample, datetime(2026, 5, 9, 12, tzinfo=UTC))
        await until(pilot, lambda: head(pilot).startswith("Proof of loss: today"))
        correct(sample, ["loss.proof-sent=2026-05-09"], by="Lead", take=True)
        pilot.app.screen.changed()
        await until(pilot, lambda: "Proof of loss" not in head(pilot))


async def test_a_row_goes_to_the_step_that_meets_it_by_key_and_by_mouse(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(at(sample, OUT), (120, 40)) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("D", "down", "enter")
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.rule == "wet-photos-frozen"
        await hands.press("D")
        await pilot.click("#listing", offset=(3, 2))
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.rule == "insurer-told"
        await hands.press("D")
        assert isinstance(pilot.app.screen, DueListing)
        await hands.press("down", "down", "down", "enter")  # no step sends a proof of loss
        assert isinstance(pilot.app.screen, DueListing)
        await hands.press("escape")
        assert not isinstance(pilot.app.screen, DueListing)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("hours", [6, 30, 60, 24 * 58, 24 * 60])
@pytest.mark.parametrize("width", [60, 80, 120])
async def test_a_row_tells_the_date_whole_and_what_is_left_where_it_fits(
    width: int,
    hours: int,
    language: str,
    sample: Job,
    on_screen: Callable[..., Any],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("SILTLINE_LANGUAGE", language)
    now = OUT + timedelta(hours=hours)
    async with on_screen(at(sample, now), (120, 20)) as pilot:
        await stand(pilot)
        await Hands(pilot).press("D")
        await pilot.resize_terminal(width, 20)
        await pilot.pause()
        await pilot.pause()
        rows = text(pilot.app).splitlines()[1:8]
        dated = [one for one in deadlines_of(sample, now) if one.due is not None]
        assert [one.id for one in dated] == ["mould", "freezer", "proof-of-loss"]
        for one in dated:
            (row,) = (row for row in rows if row.strip().startswith(title(one)))
            told = row.strip().removeprefix(title(one)).strip()
            assert until_briefly(one, site_zone(sample)) in told
            assert "\u2026" not in told
            assert not told.startswith(until_briefly(one, site_zone(sample))), "what is left"


@pytest.mark.parametrize("size", [(60, 20), (44, 14)])
async def test_in_a_low_window_what_is_told_is_paged_through(
    size: tuple[int, int], sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(at(sample, OUT), size) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("D", "down", "down", "down")
        shown = [text(pilot.app)]
        for _ in range(8):
            await hands.press("pagedown")
            await pilot.pause()
            shown.append(text(pilot.app))
        assert "summary)" in shown[-1]
        assert pilot.app.screen.query_one(OptionList).highlighted == 3
        assert shown[0] != shown[-1]


async def test_a_house_of_which_nothing_is_known_asks(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (120, 40)) as pilot:
        await stand(pilot)
        await Hands(pilot).press("D")
        shown = " ".join(text(pilot.app).split())
        assert "Ask when the water left Test house (loss.water-out)." in shown
        assert "Ask: it stands in the policy. No number is taken for it here." in shown


async def test_the_hand_off_tells_the_deadlines(sample: Job, on_screen: Callable[..., Any]) -> None:
    async with on_screen(at(sample, OUT), (120, 40)) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("h")
        await hands.fill({"giver": "One", "taker": "Other"})
        await until(pilot, lambda: "Deadlines:" in text(pilot.app))
        assert "Proof of loss: Sat 9 May 2026, until the day ends (58 days left)" in text(pilot.app)


@pytest.mark.usefixtures("soon")
async def test_a_practice_job_alarms_nobody(sample: Job, on_screen: Callable[..., Any],
                                            monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setattr(Job, "is_practice", True)
    async with on_screen(at(sample, OUT)) as pilot:
        await stand(pilot)
        await until(pilot, lambda: pilot.app.screen.due is not None)
        assert "Mould" not in head(pilot)
