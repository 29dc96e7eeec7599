"""A job that stays open: its file goes away and comes back, the laptop sleeps, clocks jump."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.widgets import Input, OptionList

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job, open_job
from siltline.job.acts import leave_out, tick
from siltline.job.add import add
from siltline.record.audit import faults
from siltline.record.connect import BUSY_MS
from siltline.screens.app import SiltlineApp
from siltline.screens.living import Seen, Watch, clock_behind, steady
from support.desk import Hands, stand
from support.pictures import photo
from support.screens import text
from support.ticking import TickingClock

NIGHT_S = 8 * 3600 + 12 * 60


class Clocks:
    """The clock that people set, and the one that nobody sets."""

    def __init__(self) -> None:
        self.wall, self.even = 1_773_300_000.0, 5000.0

    def pass_by(self, seconds: float, *, set_by: float = 0.0) -> None:
        self.even += seconds
        self.wall += seconds + set_by

    def watch(self, job: Job) -> Watch:
        return Watch(job, lambda: self.wall, lambda: self.even)


def told(watch: Watch) -> list[str]:
    return [sentence for sentence, _ in watch.look().told]


def test_nothing_is_told_of_a_quiet_day(job: Job) -> None:
    clocks = Clocks()
    watch = clocks.watch(job)
    for _ in range(50):
        clocks.pass_by(0.5, set_by=0.02)  # as a time server moves it
        assert watch.look().told == ()


def test_a_night_asleep_is_told_once(job: Job) -> None:
    clocks = Clocks()
    watch = clocks.watch(job)
    clocks.pass_by(NIGHT_S)
    (sentence,) = told(watch)
    assert "asleep or stopped for 8 h 12 min" in sentence
    clocks.pass_by(0.5)
    assert told(watch) == []


@pytest.mark.parametrize(("by", "words"), [(-3720, "set back by 1 h 2 min"), (60, "set on by 1 m")])
def test_a_clock_that_is_set_is_told_once(job: Job, by: int, words: str) -> None:
    clocks = Clocks()
    watch = clocks.watch(job)
    clocks.pass_by(0.5, set_by=by)
    (sentence,) = told(watch)
    assert words in sentence
    clocks.pass_by(0.5)
    assert told(watch) == []


def test_a_clock_set_back_in_the_night_is_told_apart_from_the_sleep(job: Job) -> None:
    clocks = Clocks()
    watch = clocks.watch(job)
    clocks.pass_by(NIGHT_S, set_by=-86_400)
    slept, moved = told(watch)
    assert "asleep" in slept
    assert "set back by 24 h 0 min" in moved


def test_the_steady_clock_goes_on() -> None:
    before = steady()
    assert steady() >= before > 0


def test_the_record_keeps_its_order_whatever_the_clock_does(job: Job, clock: TickingClock) -> None:
    tick(job, "gear-on/house", by="Ada")
    clock.time -= timedelta(days=400)
    leave_out(job, "gear-on/house", by="Ben", because="reason")
    assert job.step("gear-on/house").state == "not-done"
    assert faults(job.record.path) == []


def test_a_clock_behind_the_record_is_told_when_the_job_is_opened(
    job: Job, clock: TickingClock
) -> None:
    assert clock_behind(job) == ""
    clock.time -= timedelta(days=2)
    assert "48 h 0 min later. Set the clock" in clock_behind(job)


# the file

Away = Callable[[Path], object]


def moved(path: Path) -> None:
    path.rename(path.with_suffix(".elsewhere"))


def moved_with_its_folder(path: Path) -> None:
    path.parent.rename(path.parent.with_name("another"))


def back(path: Path) -> None:
    elsewhere = path.with_suffix(".elsewhere")
    if path.parent.exists():
        elsewhere.rename(path)
    else:
        path.parent.with_name("another").rename(path.parent)


@pytest.fixture
def drive(job: Job, tmp_path: Path) -> Any:
    """The job on a drive of its own, open."""
    job.close()
    folder = tmp_path / "drive"
    folder.mkdir()
    path = Path(shutil.copy(job.record.path, folder / "job.siltline"))
    opened = open_job(path, job.clock, job.device)
    yield opened
    opened.close()


@pytest.mark.parametrize("away", [moved, moved_with_its_folder])
def test_a_file_that_is_away_is_told_once_and_acts_are_refused_until_it_is_back(
    drive: Job, away: Away
) -> None:
    path = drive.record.path
    watch = Watch(drive)
    before = len(drive.record.events)
    away(path)
    (sentence,) = told(watch)
    assert f"{path.name} is no longer in {path.parent}" in sentence
    assert watch.trouble == sentence
    assert told(watch) == []
    with pytest.raises(Refusal, match="nothing was"):
        tick(drive, "gear-on/house", by="Ada")
    assert len(drive.record.events) == before
    back(path)
    seen = [watch.look() for _ in range(3)]
    (sentence,) = (words for one in seen for words, _ in one.told)
    assert "is back" in sentence
    assert not any(one.by_others for one in seen), "nobody wrote to it"
    tick(drive, "gear-on/house", by="Ada")
    assert faults(path) == []
    assert len(drive.record.events) == before + 1


def test_a_drive_that_comes_back_as_another_is_opened_again(drive: Job) -> None:
    """Plugged in again, the same file has another device and number."""
    path = drive.record.path
    tick(drive, "gear-on/house", by="Ada")
    watch = Watch(drive)
    moved(path)
    watch.look()
    shutil.copy(path.with_suffix(".elsewhere"), path)
    other = open_job(path)
    leave_out(other, "power-off/house", by="Ben", because="reason")
    other.close()
    sentences = [s for _ in range(3) for s in told(watch)]
    assert [s for s in sentences if "is back" in s] == sentences
    assert len(sentences) == 1
    assert drive.step("power-off/house").state == "not-done"
    assert drive.step("gear-on/house").word is not None
    tick(drive, "gear-on/house", by="Cleo")
    assert faults(path) == []
    again = open_job(path)
    assert again.step("gear-on/house").word.by == "Cleo"  # type: ignore[union-attr]
    again.close()


def test_an_older_copy_under_the_name_is_refused_and_left_as_it_is(drive: Job) -> None:
    path = drive.record.path
    old = path.with_suffix(".old")
    shutil.copy(path, old)
    tick(drive, "gear-on/house", by="Ada")
    watch = Watch(drive)
    moved(path)
    shutil.copy(old, path)
    kept = path.read_bytes()
    sentences = [s for _ in range(4) for s in told(watch)]
    assert "lacks 1 entry" in sentences[-1]
    assert len(sentences) == 2  # away, then another
    with pytest.raises(Refusal):
        tick(drive, "gear-on/house", by="Ben")
    assert path.read_bytes() == kept
    path.unlink()
    back(path)
    assert any("is back" in s for s in told(watch))


def test_a_file_that_is_no_job_yet_is_waited_for(drive: Job) -> None:
    path = drive.record.path
    watch = Watch(drive)
    moved(path)
    path.write_bytes(path.with_suffix(".elsewhere").read_bytes()[:20_000])  # half copied
    for _ in range(4):
        watch.look()
    assert "is no longer in" in watch.trouble
    shutil.copy(path.with_suffix(".elsewhere"), path)
    sentences = [s for _ in range(4) for s in told(watch)]
    assert len(sentences) == 1
    assert "is back" in sentences[0]


def test_a_look_does_not_wait_for_who_is_writing(drive: Job) -> None:
    other = open_job(drive.record.path)
    watch = Watch(drive)
    other.record.connection.execute("BEGIN EXCLUSIVE")
    began = time.monotonic()
    assert watch.look().told == ()
    assert time.monotonic() - began < BUSY_MS / 1000 / 2
    other.record.connection.execute("ROLLBACK")
    tick(other, "gear-on/house", by="Ben")
    other.close()
    assert watch.look() == Seen(changed=True, by_others=True)
    assert drive.step("gear-on/house").word is not None


async def test_the_desk_says_not_recording_and_goes_on_when_the_file_is_back(drive: Job) -> None:
    config.remember_person("Ada")
    path = drive.record.path
    async with SiltlineApp(drive).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        moved(path)
        await pilot.pause(1.2)
        assert text(pilot.app).lstrip().startswith("NOT RECORDING")
        shown = " ".join(text(pilot.app).split())
        assert shown.count("is no longer in") == 1
        await hands.press("enter")
        await hands.settle()
        assert "Put it back" in " ".join(text(pilot.app).split())
        desk = pilot.app.screen
        for key in ("f", "c"):  # refused where it is sent: what is typed there stays
            await hands.press(key)
            await hands.settle_form()
            form = pilot.app.screen
            await hands.press(*"card", "enter")
            assert pilot.app.screen is form is not desk
            await hands.press("escape")
        await hands.press("V")
        assert pilot.app.screen is desk
        back(path)
        await pilot.pause(1.2)
        assert "NOT RECORDING" not in text(pilot.app)
        await hands.press("enter")
        await hands.settle()
    assert drive.step("gear-on/house").word.by == "Ada"  # type: ignore[union-attr]


async def test_a_form_filled_while_the_file_is_away_keeps_what_was_typed(drive: Job) -> None:
    path = drive.record.path
    async with SiltlineApp(drive).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        moved(path)
        await hands.fill({"by": "Ada", "because": "the ladder is wet"})
        assert "the ladder is wet" in text(pilot.app)
        back(path)
        for key in ("enter", "enter"):
            await hands.press(key)
        await hands.settle_form()
    assert drive.step("gear-on/house").word.because == "the ladder is wet"  # type: ignore[union-attr]


@pytest.mark.parametrize("key", list("?vpays/"))
async def test_a_key_pressed_twice_leaves_a_screen_once(
    sample: Job, on_screen: Callable[..., Any], key: str
) -> None:
    async with on_screen(sample) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        desk = pilot.app.screen
        await hands.press("question_mark" if key == "?" else "slash" if key == "/" else key)
        above = pilot.app.screen
        assert above is not desk
        above.action_leave()
        above.action_leave()  # as a second key that waits in its queue
        await pilot.pause()
        assert pilot.app.screen is desk


async def test_enter_pressed_twice_picks_a_photo_once(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1)])
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("a")
        rows = pilot.app.screen.query_one("#pick-list", OptionList)
        rows.action_select()
        rows.action_select()
        await hands.settle()
        assert pilot.app.screen is pilot.app.screen_stack[0]
    assert len(job.step("gear-on/house").attached) == 1


@pytest.mark.parametrize("key", ["n", "slash"])
async def test_what_is_pasted_into_a_field_is_written_out(job: Job, key: str) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press(key)
        field = pilot.app.screen.query(Input).first()
        field.focus()
        field.post_message(events.Paste("A\x1bc\u202e\tb"))
        await pilot.pause()
        assert field.value == r"A\x1bc\u202e b"
        assert r"A\x1bc\u202e b" in text(pilot.app)


async def test_a_row_that_typing_took_away_is_neither_shown_nor_gone_to(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.press("slash")
        listing = pilot.app.screen
        rows = listing.query_one("#listing", OptionList)
        late = len(rows.options) - 1
        option = rows.options[late]
        listing.query_one(Input).value = "nothing holds this"
        await pilot.pause()
        rows.post_message(OptionList.OptionHighlighted(rows, option, late))
        rows.post_message(OptionList.OptionSelected(rows, option, late))
        await pilot.pause()
        assert pilot.app.screen is listing
        assert "Nothing holds all these words" in text(pilot.app)
