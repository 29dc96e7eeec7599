"""Keys, footer, help, palette and commands are one table: no act of the screen lacks a command."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from siltline.cli.root import COMMANDS
from siltline.job import Job, open_job
from siltline.job.add import add
from siltline.screens import desk as desk_module
from siltline.screens.app import SiltlineApp
from siltline.screens.deeds import DEEDS, possible
from siltline.screens.doing import DeskScreen
from siltline.screens.listing import Listing
from siltline.screens.picking import Pick
from siltline.sentences import say
from support.desk import Hands, stand, until
from support.pictures import photo
from support.screens import text

# What is only a matter of this screen and this person: nothing of it reaches the record.
OF_THE_SCREEN = {"help", "palette", "name", "quit", "next-theme", "switch-language", "stop-work"}


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.says)
def test_every_deed_has_its_command_or_is_a_matter_of_the_screen(deed: Any) -> None:
    assert (deed.command in COMMANDS) != (deed.says in OF_THE_SCREEN)
    assert say(f"key.{deed.says}")
    assert say(f"help-key.{deed.says}")


def test_every_act_that_changes_a_job_step_by_step_has_a_key() -> None:
    acts = {"tick", "untick", "leave-out", "attach", "detach", "undo", "add", "review", "house",
            "handoff", "signoff", "claim", "photos", "why", "section"}  # fmt: skip
    assert acts <= COMMANDS.keys()
    assert acts <= {deed.command for deed in DEEDS}


def test_no_key_means_two_things_and_the_footer_shows_five_at_most() -> None:
    keys = [deed.key for deed in DEEDS]
    assert len(set(keys)) == len(keys)
    assert sum(deed.footer for deed in DEEDS) <= 5


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.says)
def test_every_deed_is_done_by_a_function_of_the_desk_or_an_action_that_is_there(deed: Any) -> None:
    if deed.does:
        taken = list(inspect.signature(deed.load()).parameters)
        assert taken == ["desk"]
        assert deed.runs == f"do('{deed.says}')"
        return
    of_the_app, _, name = deed.runs.rpartition("app.")
    assert not of_the_app
    owner = SiltlineApp if deed.runs != name else DeskScreen
    assert hasattr(owner, f"action_{name}")


async def test_a_deed_that_asks_nothing_is_done_before_the_next_key_is_read(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (80, 40)) as pilot:
        await stand(pilot)
        desk = pilot.app.screen
        first = desk.in_hand
        desk.stand_on("close/low" if first.step.id != "close/low" else "gear-on/house")
        assert desk.in_hand != first
        desk.action_do("next")
        assert desk.in_hand == first


async def test_a_deed_knows_what_was_written_since_the_desk_looked_last(
    job: Job, tmp_path: Path, on_screen: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_module, "LOOK_EVERY_S", 3600.0)
    async with on_screen(job) as pilot:
        await stand(pilot)
        other = open_job(job.record.path)
        add(other, [photo(tmp_path, "A.JPG", 1)], by="Ben")
        other.close()
        await Hands(pilot).press("a")
        await until(pilot, lambda: isinstance(pilot.app.screen, Pick))
        assert "A.JPG" in text(pilot.app)


async def test_the_palette_lists_only_what_can_be_done_and_does_it(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (80, 40)) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("colon")
        shown = text(pilot.app)
        assert "tick the step in hand" in shown
        assert "undo: take back" not in shown  # nobody did anything yet
        assert "take a photo off" not in shown
        await hands.pick("app.next_theme")
        assert pilot.app.theme == "sunlight"
    view = job.step("gear-on/house")
    assert "undo" not in {deed.says for deed in possible(job, view)}


async def test_the_palette_is_found_through_by_typing(
    job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, (80, 24)) as pilot:
        await stand(pilot)
        hands = Hands(pilot)
        await hands.press("colon", *"review:")
        assert "review: what stands before the sign-off" in text(pilot.app)
        assert "tick the step in hand" not in text(pilot.app)
        await hands.press("z")
        assert say("pick.none") in text(pilot.app)
        await hands.press("enter")  # there is nothing to take
        assert isinstance(pilot.app.screen, Pick)
        await hands.press("backspace", "enter")
        assert isinstance(pilot.app.screen, Listing)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_help_has_the_keys_the_words_and_the_sources_of_this_job(
    size: tuple[int, int], job: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(job, size) as pilot:
        await stand(pilot)
        await Hands(pilot).press("question_mark")
        page = str(pilot.app.screen.query_one("#help-text").render())
        for deed in DEEDS:
            assert say(f"help-key.{deed.says}") in page
        assert "Weep hole:" in page
        assert "NEMA GD 1, list as issued by ESFI, replace (seen in a summary)" in page
