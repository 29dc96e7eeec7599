"""The desk does what keys ask, asks only for what is missing, and says why not."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.widgets import Input

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job, open_job
from siltline.job.acts import leave_out, tick, untick
from siltline.job.add import add
from siltline.job.close_out import hand_off, review
from siltline.judge.next_thing import next_thing
from siltline.screens import app as app_module
from siltline.screens.app import SiltlineApp
from siltline.screens.desk import Desk
from siltline.screens.field import Field
from siltline.screens.forms import Form
from siltline.screens.living import Seen, Watch
from siltline.screens.telling import TellScreen
from support.command import Shell
from support.desk import Hands, stand, until
from support.pictures import photo
from support.screens import text


async def test_it_opens_on_what_matters_most_now(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        await pilot.pause()
        found = next_thing(job.board)
        assert found is not None
        assert pilot.app.screen.in_hand.step.id == found.step.id == "gear-on/house"


async def test_a_known_name_ticks_with_one_key_and_undo_takes_it_back(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("enter")
        await hands.settle()
        assert job.step("gear-on/house").word.by == "Ada"  # type: ignore[union-attr]
        assert "[/] gear on" in text(pilot.app)
        await hands.press("u")
        assert job.step("gear-on/house").word is None
        assert "[ ] gear on" in text(pilot.app)


async def test_the_first_tick_asks_who_and_remembers(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("enter")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, Form)
        await hands.fill({"by": "Ben", "note": ""})
        assert job.step("gear-on/house").word.by == "Ben"  # type: ignore[union-attr]
        assert config.person() == "Ben"


async def test_a_form_left_with_escape_records_nothing(job: Job) -> None:
    before = len(job.record.events)
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        for key in ("enter", "x", "h", "f", "n"):
            await hands.press(key)
            await hands.settle_form()
            assert isinstance(pilot.app.screen, Form)
            await hands.press("escape")
    assert len(job.record.events) == before


async def test_an_empty_needed_field_is_asked_again(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.fill({"by": "Ada", "because": "  "})
        assert isinstance(pilot.app.screen, Form)
        assert "Reason" in text(pilot.app)
        assert job.step("gear-on/house").word is None


async def test_ticking_a_blocked_step_says_what_it_waits_for(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.go_to("prove-dead/circuit-4")
        await hands.press("enter")
        await hands.settle()
        assert "Not yet" in text(pilot.app)
    assert job.step("prove-dead/circuit-4").word is None


async def test_a_step_that_was_left_out_waits_for_nothing(
    job: Job, capsys: pytest.CaptureFixture[str]
) -> None:
    step, shell = "prove-dead/circuit-4", Shell(capsys)
    assert "waits for" in shell("steps", job.record.path, "--state", "blocked").out
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        await stand(pilot, step)
        assert "Waits for" in text(pilot.app)
        leave_out(job, step, by="Ada", because="no meter")
        pilot.app.screen.changed()  # type: ignore[attr-defined]
        await pilot.pause()
        assert "no meter" in text(pilot.app)
        assert "Waits for" not in text(pilot.app)
    told = shell("steps", job.record.path, "--state", "not-done").out
    assert step in told
    assert "waits for" not in told


async def test_photos_are_attached_from_the_tray_and_taken_off(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    first, second = job.board.unused_photos()
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        assert "2 photos at no step" in text(pilot.app)
        await hands.press("a")
        await hands.pick(second)
        assert [a.photo for a in job.step("gear-on/house").attached] == [second]
        assert "1 photo at no step" in text(pilot.app)
        await hands.press("d")
        await hands.pick(second)
        assert job.board.unused_photos() == [first, second]


async def test_photos_come_in_from_a_folder_while_the_screen_is_open(
    job: Job, tmp_path: Path
) -> None:
    folder = tmp_path / "card"
    photo(folder, "A.JPG", 1)
    (folder / "notes.txt").write_text("no picture", encoding="utf-8")
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("f")
        await hands.fill({"path": f'"{folder}"'})
        await hands.settle()
        shown = text(pilot.app)
    assert "1 taken in, 0 already there, 1 refused" in " ".join(shown.split())
    assert [p.name for p in job.board.ledger.photos.values()] == ["A.JPG"]


async def test_what_another_program_writes_is_noticed(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        await stand(pilot)
        other = open_job(job.record.path)
        tick(other, "gear-on/house", by="Ben")
        leave_out(other, "power-off/house", by="Ben", because="reason")
        other.close()
        await pilot.pause(0.8)
        shown = text(pilot.app)
        assert "[/] gear on" in shown
        assert "[-] power off" in shown
        assert "Another program" in shown


async def test_one_change_of_another_program_is_told_once_however_many_acts_it_is(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked: list[bool] = []
    look = Watch.look

    def counted(watch: Watch) -> Seen:
        seen = look(watch)
        looked.append(seen.changed)
        return seen

    monkeypatch.setattr(Watch, "look", counted)
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        await stand(pilot)
        other = open_job(job.record.path)
        for step in ("gear-on/house", "structure-seen/house"):
            leave_out(other, step, by="Ben", because="reason")
            seen = sum(looked)
            await until(pilot, lambda seen=seen: sum(looked) > seen)  # type: ignore[misc]
        other.close()
        told = [one.message for one in pilot.app.said]  # type: ignore[attr-defined]
        assert sum("Another program" in message for message in told) == 1
        assert " ".join(text(pilot.app).split()).count("Another program") == 1


async def test_measuring_asks_for_the_height_and_shows_the_step_as_not_needed(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (120, 40)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.go_to("outlet-replaced/hall-outlet")
        await hands.press("enter")
        await hands.settle_form()
        assert "height of the bottom of" in " ".join(text(pilot.app).split())
        await hands.fill({"by": "Ada", "value0": "5 ft"})
        await hands.settle()
        assert "[~] outlet replaced hall-outlet" in text(pilot.app)


async def test_the_review_goes_to_the_step_of_a_finding(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.press("v", "down", "down", "enter")
        await hands.settle()
        assert pilot.app.screen.in_hand.step.id == review(sample)[2].step


async def test_a_file_that_can_no_longer_be_written_says_so_and_keeps_the_screen(
    job: Job,
) -> None:
    config.remember_person("Ada")
    job.record.connection.execute("PRAGMA query_only = ON")
    async with SiltlineApp(job).run_test(notifications=True, size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("enter")
        await hands.settle()
        assert "cannot be written to" in " ".join(text(pilot.app).split())
        assert job.step("gear-on/house").word is None
    job.record.connection.execute("PRAGMA query_only = OFF")


async def test_a_form_takes_keys_as_fast_as_they_come(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        for key in [*"Ada", "enter", *"rotten", "enter"]:
            pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await hands.settle()
        word = job.step("gear-on/house").word
        assert word is not None
        assert (word.by, word.because) == ("Ada", "rotten")


@pytest.mark.parametrize("enters", [2, 3, 5])
async def test_enter_pressed_twice_in_the_last_field_does_the_act_once(
    job: Job, enters: int
) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        for key in [*"Ada", "enter", *"rotten", *["enter"] * enters]:
            pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await hands.settle()
        assert not isinstance(pilot.app.screen, Form)  # none of them was meant for the desk
        await hands.press("down", "enter")  # this one is
        await hands.settle_form()
    assert [e.kind for e in job.record.events] == ["begun", "laid", "left-out"]


async def test_what_is_typed_while_a_form_is_on_its_way_is_typed_into_it(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        for key in ["x", *"rotten", "enter"]:  # o, t and e would do something at the desk
            pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await hands.settle()
        word = job.step("gear-on/house").word
        assert word is not None
        assert word.because == "rotten"
        assert not pilot.app.screen.only_open  # type: ignore[attr-defined]


async def test_what_is_typed_behind_a_key_that_brings_nothing_up_is_for_the_desk(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        for key in ("a", "o"):  # there is no photo to attach
            pilot.app.post_message(events.Key(key, key))
        await hands.settle()
        await until(pilot, lambda: pilot.app.screen.only_open)  # type: ignore[attr-defined]


async def test_what_is_typed_between_a_form_and_what_it_leads_to_is_not_for_the_desk(
    job: Job,
) -> None:
    async def deed(desk: Any) -> None:
        await desk.ask("Hand over", [Field("taker", "To")])
        await asyncio.sleep(0.2)
        desk.app.push_screen(TellScreen(["It was handed over."]))

    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands, desk = Hands(pilot), pilot.app.screen
        await stand(pilot)
        desk.run_worker(desk._done(deed(desk)))  # type: ignore[attr-defined]
        await hands.settle_form()
        await hands.press(*"Ben", "enter")
        assert pilot.app.screen is desk
        await hands.press("enter")  # read and left before it is there
        await hands.settle()
        assert pilot.app.screen is desk
    assert [event.kind for event in job.record.events] == ["begun", "laid"]


@pytest.mark.parametrize("between", [(), ("down", "up")])
async def test_enter_pressed_twice_by_one_finger_ticks_nothing(
    between: tuple[str, ...], job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app_module, "BOUNCE_S", 60.0)
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        await hands.press(*"Ada", "enter", *"rotten", "enter")
        await hands.settle()
        await hands.press(*between, "enter")
        if between:  # whoever chose a step means it
            await hands.settle_form()
        assert isinstance(pilot.app.screen, Form) == bool(between)


async def test_enter_ticks_the_step_in_hand_before_the_others_are_listed(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Desk, "fill", lambda _: None)
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        assert not pilot.app.screen.steps.option_count  # type: ignore[attr-defined]
        await hands.press("enter")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, Form)


async def test_an_enter_for_a_form_that_is_gone_ticks_nothing(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        late = events.Key("enter", None)  # pressed here, read when the form has gone
        await hands.press("escape")
        pilot.app.post_message(late)
        await hands.settle()
        assert not isinstance(pilot.app.screen, Form)
        await hands.press("enter")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, Form)


async def test_a_refused_form_stays_with_all_that_was_typed(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (120, 40)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.go_to("outlet-replaced/hall-outlet")
        await hands.press("enter")
        typed = {"by": "Ada", "value0": "99 ft", "note": "behind the coats"}
        for key, value in typed.items():
            pilot.app.screen.query_one(f"#field-{key}", Input).value = value
        await hands.press("ctrl+s")
        assert isinstance(pilot.app.screen, Form)
        shown = " ".join(text(pilot.app).split())
        assert "99 ft is no height in a house" in shown
        assert "house.yaml" not in shown
        assert "behind the coats" in shown
        await hands.fill({"value0": "14 in"})
        assert sample.step("outlet-replaced/hall-outlet").state == "todo"


async def test_enter_on_a_step_that_somebody_ticked_asks_before_it_replaces_the_word(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Joe")
    before = len(sample.record.events)
    async with on_screen(sample, (120, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "room-as-found/hall")
        await hands.press("enter")
        await hands.settle_form()
        shown = " ".join(text(pilot.app).replace("│", " ").split())
        assert "Said to be done by Tomas Brell" in shown
        assert "What you send now takes" in shown
        assert "Second corner to follow." in shown, "his note is kept in its field"
        await hands.press("escape")
    assert len(sample.record.events) == before


async def test_page_keys_scroll_the_step_in_hand_and_not_the_list(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.go_to("outlet-replaced/sink-outlet")
        assert "ground" not in text(pilot.app).splitlines()[-2]
        await hands.press("pagedown")
        assert "1992" in text(pilot.app), "the end of its sources"
        assert pilot.app.screen.in_hand.step.id == "outlet-replaced/sink-outlet"
        await hands.press("pageup")
        assert "WARNING" in text(pilot.app)


async def refused(hands: Hands, step: str, *keys: str) -> str:
    """What is said when a key is pressed at a step."""
    hands.app.clear_notifications()
    hands.app.screen.go_to(step)
    await hands.press(*keys)
    await hands.settle()
    return " ".join(one.message for one in hands.app.said)


async def test_what_is_refused_names_steps_in_words_and_never_by_ids(job: Job) -> None:
    config.remember_person("Ada")
    tick(job, "gear-on/house", by="Ben")
    waits = "prove-dead/circuit-4"
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        said = {
            "6 steps: gear on; power off": await refused(hands, waits, "enter"),
            "word on prove dead, circuit-4": await refused(hands, waits, "w"),
            "Taken back: ticked, gear on, by Ben": await refused(hands, "gear-on/house", "u"),
        }
        await hands.press("enter")
        hand_off(job, giver="Ada", taker="Ben")
        said["newest act (gear on)"] = await refused(hands, "gear-on/house", "u")
    ids = set(job.board.steps)
    for words, told in said.items():
        assert words in told
        assert not [step for step in ids if step in told], told


def test_a_command_names_steps_by_the_ids_that_are_typed(job: Job) -> None:
    with pytest.raises(Refusal, match="6 steps: gear-on/house; power-off/house"):
        tick(job, "prove-dead/circuit-4", by="Ada")
    with pytest.raises(Refusal, match="a word on gear-on/house"):
        untick(job, "gear-on/house")
