"""Everything can be listed, found and gone to; the next thing is the one that matters most."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input, OptionList

from siltline.job import Job
from siltline.job.acts import attach, leave_out, tick
from siltline.job.add import add
from siltline.judge.next_thing import next_thing, next_things
from siltline.screens.listing import Listing
from siltline.sentences import say
from support.desk import Hands, stand
from support.pictures import photo
from support.screens import text
from support.walking import document

LICENCE = "Electrician X-1"


async def test_search_finds_words_in_any_order_and_enter_goes_to_the_step(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await pilot.pause()
        hands = Hands(pilot)
        await hands.press("slash", *"weep west", "enter")
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.id == "weep-holes-open/west-wall"


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("NEMA", "breaker replaced"),  # a source
        ("joist moisture", "soil dry"),  # what is to be shown
        ("no placard posted", "placard obeyed"),  # one of its ways
        ("poly silt", None),
        ("zzz", None),
        ("dsc", None),
    ],
)
async def test_search_looks_at_all_text_and_says_where_nothing_is(
    typed: str, found: str | None, sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample) as pilot:
        await pilot.pause()
        await Hands(pilot).press("slash", *typed.replace(" ", "_").split("_")[0])
        field = pilot.app.screen.query_one(Input)
        field.value = typed
        await pilot.pause()
        shown = text(pilot.app)
        assert (found or "Nothing holds all these words.") in shown


async def test_the_steps_are_listed_by_place_and_only_the_open_ones(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (120, 40)) as pilot:
        await stand(pilot, "outlet-replaced/hall-outlet")
        hands = Hands(pilot)
        rows = pilot.app.screen.query_one("#steps", OptionList)
        everything = [o.id for o in rows.options if o.id]
        await hands.press("l")
        assert sorted(filter(None, (o.id for o in rows.options))) == sorted(everything)
        headings = [str(o.prompt) for o in rows.options if o.id is None]
        assert "outlet under the stairs" in headings
        await hands.press("o")
        listed = [o.id for o in rows.options if o.id]
        states = {sample.step(name).state for name in listed}
        assert states <= {"todo", "measure", "done", "blocked"}
        assert pilot.app.screen.in_hand.step.id == "outlet-replaced/hall-outlet"
        await hands.press("slash", *"gear", "enter")  # a step that the list leaves out
        await hands.settle_form()
        assert pilot.app.screen.in_hand.step.id == "gear-on/house"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("p", ["photos", "M2_0112.JPG", "at no step"]),
        ("r", ["readings", "44 in"]),
        ("b", ["must come back", "Electric power"]),
        ("v", ["findings", "Must be fixed"]),
    ],
)
async def test_each_list_opens_on_its_key_and_escape_leaves(
    key: str, words: list[str], sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (120, 40)) as pilot:
        await pilot.pause()
        hands = Hands(pilot)
        await hands.press(key)
        await hands.settle_form()
        assert isinstance(pilot.app.screen, Listing)
        for word in words:
            assert word in text(pilot.app)
        await hands.press("escape")
        await hands.settle_form()
        assert "documented" in text(pilot.app)


def test_safety_comes_first_then_what_most_others_wait_for(job: Job, tmp_path: Path) -> None:
    def at() -> str:
        found = next_thing(job.board)
        assert found
        return found.step.id

    assert at() == "gear-on/house"  # a hold point, and all that is deadly waits for it
    while at() != "power-off/house":  # DANGER, a hold point, and nearly everything waits for it
        assert job.step(at()).step.hold_point
        document(job, tmp_path, at())
    add(job, [photo(tmp_path, "P1.JPG", 1), photo(tmp_path, "P2.JPG", 2)])
    tick(job, "power-off/house", by="Ada", licence=LICENCE)
    assert at() == "power-off/house", "a word without its proof still holds the others up"
    attach(job, "power-off/house", "P1.JPG")
    assert at() != "power-off/house"
    assert all(view.state in ("todo", "measure", "done") for view in next_things(job.board))


def test_where_nothing_can_be_gone_on_with_there_is_no_next_thing(job: Job) -> None:
    for name in list(job.board.steps):
        leave_out(job, name, by="Ada", because="x")
    assert next_thing(job.board) is None


async def test_a_long_why_scrolls_to_its_source_and_says_how_to_leave(
    sample: Job, on_screen: Callable[..., Any]
) -> None:
    async with on_screen(sample, (60, 20)) as pilot:
        await pilot.pause()
        pilot.app.screen.stand_on("soil-dry/crawl-space")
        hands = Hands(pilot)
        await hands.press("y")
        assert say("tell.keys") in text(pilot.app)
        assert "Source:" not in text(pilot.app)
        await hands.press("end")
        await pilot.pause(0.5)
        assert "Source: common practice" in text(pilot.app)
        assert say("tell.keys") in text(pilot.app)
