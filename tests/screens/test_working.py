"""Long work on the desk: told on a line, stopped by a key, in nobody's way."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from siltline import config
from siltline.errors import NotNow
from siltline.job import Job, open_job, sketching
from siltline.job.add import add
from siltline.job.close_out import ensure_fixed, review
from siltline.progress import Follower, Stopped
from siltline.record.audit import faults
from siltline.screens import working
from siltline.screens.app import SiltlineApp
from siltline.screens.deeds import adding
from siltline.screens.forms import Form
from siltline.screens.telling import TellScreen
from siltline.screens.workline import WorkLine
from siltline.sentences import BASE, say, speak
from support.desk import Hands, stand
from support.pictures import photo
from support.screens import text

Screen = Callable[..., Any]


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A memory card with a few photos."""
    for number in range(12):
        photo(tmp_path / "card", f"A{number:02}.JPG", number)
    return tmp_path / "card"


class Held:
    """Holds the taking in of photos after each one, until it is let go on."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.let = threading.Semaphore(0)
        real = adding.add_each

        def slowly(*args: Any, **how: Any) -> Iterator[Any]:
            for outcome in real(*args, **how):
                yield outcome
                assert self.let.acquire(timeout=30)

        monkeypatch.setattr(adding, "add_each", slowly)

    def go_on(self, photos: int = 1000) -> None:
        self.let.release(photos)


async def until(what: Callable[[], object], seconds: float = 15) -> None:
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "it did not come"
        await asyncio.sleep(0.02)


def line(app: Any) -> str:
    """Return the line of the work, "" where none is shown."""
    shown = app.screen_stack[0].query(WorkLine)
    return str(shown.first().query_one("#work-far").render()) if shown else ""


def taken(job: Job) -> int:
    (count,) = job.record.connection.execute("SELECT count(*) FROM photo").fetchone()
    return int(count)


def drawn(job: Job) -> int:
    (count,) = job.record.connection.execute("SELECT count(*) FROM derived_picture").fetchone()
    return int(count)


@pytest.fixture
def _english_again() -> Iterator[None]:
    yield
    speak(BASE)


@pytest.fixture
def undrawn_sample(sample: Job) -> Job:
    """The sample job as if it had been closed before a photo was drawn."""
    sample.record.connection.execute("DELETE FROM derived_picture")
    assert not drawn(sample)
    return sample


async def test_photos_are_drawn_when_they_are_in(
    undrawn_sample: Job, card: Path, on_screen: Screen
) -> None:
    sample = undrawn_sample
    async with on_screen(sample) as pilot:
        await begin_taking(Hands(pilot), card)
        await until(lambda: drawn(sample) == len(sample.board.ledger.photos) > 12)


async def test_what_was_not_drawn_is_drawn_while_nothing_else_is_at_work(
    undrawn_sample: Job, on_screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    sample = undrawn_sample
    monkeypatch.setattr(working, "DRAW_AFTER_S", 0.01)
    async with on_screen(sample) as pilot:
        await until(lambda: drawn(sample) == len(sample.board.ledger.photos) > 0)
        await until(lambda: pilot.app.screen.at_work is None)
        assert not pilot.app.said  # nobody asked for it, so nobody is told


async def test_drawing_makes_room_for_what_a_person_wants_and_goes_on_another_time(
    undrawn_sample: Job, card: Path, on_screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    sample = undrawn_sample
    monkeypatch.setattr(working, "DRAW_AFTER_S", 0.01)
    begun = threading.Event()

    def for_ever(_job: Job, follow: Follower) -> None:
        while True:
            begun.set()
            follow.reached("sketch", 1, 2)
            time.sleep(0.01)

    monkeypatch.setattr(sketching, "draw_missing", for_ever)
    async with on_screen(sample) as pilot:
        await until(begun.is_set)
        before = taken(sample)
        await begin_taking(Hands(pilot), card)
        await until(lambda: taken(sample) == before + 12)
        assert "work" not in " ".join(n.message for n in pilot.app.said)


async def begin_taking(hands: Hands, card: Path) -> None:
    await stand(hands.pilot)
    await hands.press("f")
    await hands.fill({"path": str(card)})


async def test_photos_come_in_on_a_line_while_keys_go_on_working(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    config.remember_person("Ada")
    held = Held(monkeypatch)
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        held.go_on(3)
        await until(lambda: taken(job) == 4)
        await until(lambda: line(pilot.app).startswith("Taking photos in: 3 of 12"))
        assert "S: stop" in text(pilot.app)
        await hands.press("enter")  # an act in the middle of it
        await until(lambda: job.step("gear-on/house").word)
        held.go_on()
        await hands.settle()
        assert line(pilot.app) == ""
        assert "12 taken in" in " ".join(text(pilot.app).split())
        assert "Another program" not in text(pilot.app)
    assert taken(job) == 12


async def test_a_key_stops_it_and_what_was_taken_in_is_safe(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(monkeypatch)
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        held.go_on(4)
        await until(lambda: taken(job) == 5)
        await hands.press("S")
        held.go_on()
        await hands.settle()
        assert "Stopped. 5 photos were taken in" in " ".join(text(pilot.app).split())
        await hands.press("S")
        assert "No long work" in " ".join(text(pilot.app).split())
    assert taken(job) == len(job.board.ledger.photos) == 5
    add(job, [card])
    assert taken(job) == 12


async def test_a_click_on_the_line_stops_it_too(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(monkeypatch)
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        await until(lambda: taken(job) == 1)
        await pilot.pause()
        await pilot.click("#work-stop")
        held.go_on()
        await hands.settle()
    assert taken(job) == 1


@pytest.mark.usefixtures("_english_again")
async def test_the_line_of_the_work_says_in_the_language_that_is_spoken_how_it_is_stopped(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(monkeypatch)
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        await until(lambda: taken(job) == 1)
        spot = pilot.app.screen.query_one("#work-stop")
        said = str(spot.render())
        assert said.strip() in text(pilot.app)
        await hands.press("L")
        assert str(spot.render()) != said
        assert say("work.stop-spot", key="S") in str(spot.render())
        held.go_on()
        await hands.settle()


async def test_one_long_work_at_a_time_and_one_key_does_not_leave_it(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held(monkeypatch)
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        busy = "One long piece of work"
        for key, typed in (("f", "/media/card"), ("c", "claim-two"), ("z", "Ada")):
            await hands.press(key)
            await hands.settle_form()
            form = pilot.app.screen
            form.query_one(Input).value = typed
            await hands.press("enter")  # refused there, so that what is typed is for no key
            assert pilot.app.screen is form
            assert busy in " ".join(text(pilot.app).split())
            assert form.query_one(Input).value == typed
            await hands.press("escape")
        await hands.press("V")
        assert not isinstance(pilot.app.screen, Form)
        assert busy in " ".join(text(pilot.app).split())
        await hands.press("q")
        assert pilot.app.is_running
        assert "q again" in " ".join(text(pilot.app).split())
        await hands.press("q")
        held.go_on()
    again = open_job(job.record.path)
    assert faults(again.record.path) == []
    assert 1 <= taken(again) < 12
    again.close()


async def test_a_fault_of_the_work_is_one_sentence_and_the_desk_stays(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> Iterator[None]:
        raise OSError(5, "Input/output error \x1b[31m")
        yield

    monkeypatch.setattr(adding, "add_each", fails)
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await begin_taking(hands, card)
        await hands.settle()
        shown = " ".join(text(pilot.app).split())
        assert "It could not be brought to its end (Input/output error" in shown
        assert "\x1b" not in shown
        assert line(pilot.app) == ""


async def test_the_check_says_that_the_file_is_whole_once_nothing_is_typed(job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("V")
        await hands.press("n")  # a form goes up while it is checked, or before
        await until(lambda: pilot.app.screen_stack[0].at_work is None)
        on_top = pilot.app.screen
        assert isinstance(on_top, Form | TellScreen)
        if isinstance(on_top, Form):
            await hands.press("A", "d", "a", "enter")
            await hands.settle()
            assert config.person() == "Ada"
        assert isinstance(pilot.app.screen, TellScreen)
        assert "The file is whole" in text(pilot.app)


async def test_a_sign_off_is_refused_in_its_form_before_anything_is_hashed(job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("z")
        await hands.fill({"by": "Ada"})
        assert isinstance(pilot.app.screen, Form)
        assert "must be fixed" in " ".join(text(pilot.app).split())
        assert pilot.app.screen_stack[0].at_work is None


async def test_a_claim_that_is_stopped_leaves_nothing_behind(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(job, [card])
    reached, let = threading.Event(), threading.Event()

    def holding(*_: object) -> None:
        reached.set()
        assert let.wait(30)

    monkeypatch.setattr("siltline.claim.folder.write_steps", holding)
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("c")
        await hands.fill({"path": "claim"})
        await until(reached.is_set)
        await until(lambda: "Writing the originals" in line(pilot.app))
        await hands.press("S")
        let.set()
        await hands.settle()
        assert "Stopped. What was recorded" in " ".join(text(pilot.app).split())
    assert [p.name for p in job.record.path.parent.iterdir() if "claim" in p.name] == []


class InAHurry(Follower):
    """An act that waits while the structure of the file is checked, a few times."""

    def __init__(self, times: int) -> None:
        self.times = times
        self.pieces: list[str] = []

    def reached(self, what: str, *_: object) -> None:
        self.pieces.append(what)
        self.times -= what == "structure"

    def hurry(self) -> bool:
        return self.times >= 0


def test_the_check_of_the_structure_lets_acts_go_first_and_begins_again(
    job: Job, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(job, [card])
    monkeypatch.setattr("siltline.record.audit._ASK_EVERY_S", 0.0)
    follow = InAHurry(3)
    assert faults(job.record.path, follow) == []
    assert follow.pieces.count("structure") >= 1
    assert follow.pieces.count("hash") == 12


def test_a_verify_that_is_stopped_raises_and_leaves_the_file_to_others(job: Job) -> None:
    class No(Follower):
        def reached(self, *_: object) -> None:
            raise Stopped

    with pytest.raises(Stopped):
        faults(job.record.path, No())
    with job.acting():
        pass


def test_nothing_is_signed_where_it_is_not_fixed(job: Job) -> None:
    with pytest.raises(NotNow):
        ensure_fixed(review(job))
