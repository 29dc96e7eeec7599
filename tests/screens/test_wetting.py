"""Contact times on the screen: begun by a key, seen on every screen, rung once, never lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion
from textual.widgets import Input, OptionList

from siltline import config
from siltline.job import Job, open_job
from siltline.job.contact import begin_wet, end_wet, going
from siltline.judge.contact import standing
from siltline.screens.app import SiltlineApp
from siltline.screens.doing import DeskScreen
from siltline.screens.wetline import WetLine
from support.desk import Hands, stand, until
from support.screens import picture, text
from support.wetting import STEP, SetClock, wet_job

SIZES = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])


@pytest.fixture
def clock() -> SetClock:
    return SetClock()


@pytest.fixture
def wet(tmp_path: Path, clock: SetClock) -> Iterator[Job]:
    job = wet_job(tmp_path, clock)
    yield job
    job.close()


@pytest.fixture
def bells(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was rung and told, in order."""
    rung: list[str] = []
    monkeypatch.setattr(SiltlineApp, "bell", lambda _: rung.append("bell"))
    return rung


def desk_of(pilot: Any) -> DeskScreen:
    desk = pilot.app.screen_stack[0]
    assert isinstance(desk, DeskScreen)
    return desk


async def look(pilot: Any) -> None:
    """Let the second pass after which it is looked at again."""
    desk_of(pilot).look_at_wet()
    await pilot.pause()


async def test_a_key_begins_it_and_it_runs_on_when_the_program_was_closed(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        await hands.press("W")
        shown = text(pilot.app)
        for caution in ("Never mix it with ammonia", "Gloves and eye", "Air the room", "The label"):
            assert caution in shown
        await hands.fill({"by": "Ada", "product": "Sudsless (invented)", "minutes": "12"})
        await until(pilot, lambda: "WET sanitise, den: 12:00 left" in text(pilot.app))
        assert "Must stay wet until 08:12:00; 12 min wanted." in " ".join(text(pilot.app).split())
    path = wet.record.path
    wet.close()
    clock.on(3)
    again = open_job(path, clock, "00000000000000aa")
    async with on_screen(again) as pilot:
        await until(pilot, lambda: "WET sanitise, den: 9:00 left" in text(pilot.app))
    again.close()


async def test_the_same_key_says_seen_wet_wetted_again_and_ended(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Ada")
    begin_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        clock.on(4)
        for row in ("seen", "goes-on", "again"):
            await hands.press("W")
            await hands.pick(row)
        clock.on(5)
        await hands.press("W")
        await hands.pick("seen")
        clock.on(5)
        await hands.press("W")
        assert pilot.app.screen.rows[0][0] == "end"  # the likeliest first
        await hands.pick("end")
        (run,) = wet.step(STEP).wet
        one = standing(run, clock())
        assert [mark.kind for mark in run.marks[1:]] == [
            "wet-seen", "wet-again", "wet-again", "wet-seen", "wet-ended",
        ]  # fmt: skip
        assert (one.state, one.watched, one.counted_s) == ("whole", True, 600)
        await pilot.pause()
        assert not pilot.app.screen.query(WetLine)
        await hands.press("enter")  # nothing more is asked: a clock tells the time
        assert wet.step(STEP).state == "documented"


async def test_what_ends_it_is_not_one_key_from_where_one_begins(
    wet: Job, on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Ada")
    begin_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        await hands.press("W", "up", "up")
        rows = pilot.app.screen.query_one(OptionList)
        assert rows.highlighted_option.id == "seen"
        await hands.press("end", "down")
        assert rows.highlighted_option.id == "end"
        await hands.press("home", "up", "enter")
        await hands.settle()
        (run,) = wet.step(STEP).wet
        assert [mark.kind for mark in run.marks] == ["wet-begun", "wet-seen"]


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_while_it_runs_takes_one_key_more_and_tells_until_when(
    key: str, wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    begin_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        await pilot.press(key)
        await until(pilot, lambda: bool(pilot.app.said))
        (said,) = pilot.app.said
        assert said.message == (
            "sanitise, den: the surface must stay wet until 08:10:00. "
            "The time goes on counting while siltline is closed. q again leaves."
        )
        pilot.app.clear_notifications()  # it was long ago
        clock.on(11)
        await pilot.press(key)
        await until(pilot, lambda: len(pilot.app.said) == 1)
        assert pilot.app.is_running
        assert "over since 08:10:00, and nobody said how it ended" in pilot.app.said[0].message
        await pilot.press(key)
        await until(pilot, lambda: pilot.app._exit)


async def test_leaving_where_nothing_runs_takes_one_key(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    begin_wet(wet, STEP, by="Ada")
    clock.on(11)
    end_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        await pilot.press("q")
        await until(pilot, lambda: pilot.app._exit)


async def test_every_screen_shows_what_runs(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Ada")
    begin_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        for key in ("v", "question_mark", "x", "colon", "C", "y", "slash", "a"):
            await hands.press(key)
            await look(pilot)
            assert "WET sanitise, den: 10:00 left" in text(pilot.app).splitlines()[0], key
            await hands.press("escape")
        await until(pilot, lambda: pilot.app.screen is desk_of(pilot))


async def test_it_asks_without_taking_a_key_and_rings_once_when_it_is_over(
    wet: Job, clock: SetClock, bells: list[str], on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Ada")
    begin_wet(wet, STEP, by="Ada")
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        hands = Hands(pilot)
        clock.on(4)
        await hands.press("x")
        await until(pilot, lambda: "STILL WET? sanitise, den: 6:00 left" in text(pilot.app))
        await hands.press(*"typed on".replace(" ", ""))
        assert [field.value for field in pilot.app.screen.query(Input)][-1] == "typedon"
        assert bells == []
        clock.on(6)
        await until(pilot, lambda: "TIME OVER since 08:10:00" in text(pilot.app))
        await look(pilot)
        await look(pilot)
        assert bells == ["bell"]
        await hands.press("escape", "W")
        await hands.pick("again")
        clock.on(10)
        await until(pilot, lambda: len(bells) == 2)  # a time that counts anew rings anew


async def test_nothing_is_painted_where_nothing_runs_and_once_a_second_where_something_does(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    async with on_screen(wet) as pilot:
        await stand(pilot, STEP)
        desk = desk_of(pilot)
        desk.changed()
        assert desk.wets is None
        begin_wet(wet, STEP, by="Ada")
        desk.changed()
        await pilot.pause()
        line = pilot.app.screen.query_one(WetLine)
        painted: list[object] = []
        monkeypatch.setattr(line, "update", painted.append)
        for _ in range(20):
            await look(pilot)
        assert painted == []  # no clock went on, so no line is told anew
        clock.on(1)
        await look(pilot)
        assert len(painted) == 1
        assert desk.wets is not None
        assert desk.wets._timer is not None
        end_wet(wet, STEP, by="Ada")
        desk.changed()
        assert desk.wets._timer is None


async def test_what_another_program_began_is_seen(
    wet: Job, clock: SetClock, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(wet) as pilot:
        await stand(pilot, "pump/house")
        other = open_job(wet.record.path, clock, "00000000000000aa")
        begin_wet(other, STEP, by="Ben")
        other.close()
        await until(pilot, lambda: "WET sanitise, den" in text(pilot.app))
        config.remember_person("Ada")
        desk_of(pilot).person = "Ada"
        hands = Hands(pilot)
        await hands.press("W")  # nothing to be wetted here, so the key is for what runs
        await hands.pick("end")
        assert desk_of(pilot).in_hand.step.id == STEP
        assert going(wet) == []


async def test_a_step_that_waits_takes_none(
    wet: Job, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(DeskScreen, "notify", lambda _, text, **__: told.append(text))
    async with on_screen(wet) as pilot:
        await stand(pilot, "close/low")
        await Hands(pilot).press("W")
        await until(pilot, lambda: bool(told))
        assert "It waits for cable, low." in told[0]
        assert wet.board.ledger.wet == {}


@SIZES
@pytest.mark.parametrize("shown", ["begins", "runs", "asks", "is-answered", "is-over", "was-early"])
async def test_a_contact_time_looks_as_kept(
    shown: str,
    size: tuple[int, int],
    wet: Job,
    clock: SetClock,
    on_screen: Callable[..., Any],
    kept: SnapshotAssertion,
) -> None:
    config.remember_person("Ada")
    minutes, keys = {
        "begins": (None, ["W"]),
        "runs": (1, []),
        "asks": (4, []),
        "is-answered": (4, ["W"]),
        "is-over": (11, ["v"]),
        "was-early": (3, []),
    }[shown]
    if minutes is not None:
        begin_wet(wet, STEP, by="Ada", product="Sudsless (invented)")
        clock.on(minutes)
    if shown == "was-early":
        end_wet(wet, STEP, by="Ada")
    async with on_screen(wet, size) as pilot:
        await stand(pilot, STEP)
        await Hands(pilot).press(*keys)
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await look(pilot)
        await pilot.pause()
        assert picture(pilot.app) == kept
