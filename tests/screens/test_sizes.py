"""From 60x20 to 200x60 the screen follows the terminal, and nothing that matters is cut off."""

from __future__ import annotations

from typing import Any

import pytest
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from siltline.job import Job
from siltline.job.close_out import review
from siltline.judge.put_back import still_to_put_back
from siltline.screens.app import SiltlineApp
from siltline.sentences import languages, say
from support.desk import Hands, stand, until
from support.screens import text

SIZES = [(60, 20), (71, 22), (72, 23), (80, 24), (109, 33), (110, 34), (120, 40), (160, 50),
         (200, 60), (200, 20), (60, 60), (60, 20)]  # fmt: skip
STEP = "prove-dead/circuit-4"


def words(app: Any) -> str:
    """What stands on the screen, without how it is broken into lines."""
    return " ".join(text(app).split())


async def resized(pilot: Any, size: tuple[int, int]) -> None:
    await pilot.resize_terminal(*size)
    await pilot.pause()
    await pilot.pause()


def card(app: Any) -> str:
    """The step in hand as it is drawn, line by line."""
    box = app.screen.query_one("#card-box")
    left, right = box.region.x, box.region.right
    lines = text(app).splitlines()[box.region.y : box.region.bottom]
    return " ".join(" ".join(line[left:right].strip("│ ▁▂▃▄▅▆▇") for line in lines).split())


async def test_the_desk_follows_the_terminal_while_it_is_resized(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.screen.stand_on(STEP)  # type: ignore[attr-defined]
        view, board = sample.step(STEP), sample.board
        done = sum(one.state == "documented" for one in board.steps.values())
        out, tray = len(still_to_put_back(board)), len(board.unused_photos())
        counts = f"{done}/{len(board.steps)} documented {out} to put back {tray} photo at no step"
        for width, height in SIZES:
            await resized(pilot, (width, height))
            lines = text(app).splitlines()
            at = f"{width}x{height}"
            assert len(lines) <= height, at
            assert max(map(len, lines)) <= width, at
            head = " ".join(lines[0].split())
            assert head.endswith(board.plan.house), at
            told = head.removesuffix(board.plan.house).strip()
            assert counts.startswith(told), at
            assert (told == counts) == (width > 72), at
            for key in ("Enter Tick", "a Attach photo", "g Next thing", "v Review", "? Help"):
                assert key in lines[-1], at
            assert "[x] prove dead circuit-4" in text(app), "the step in hand is in sight"
            shown = card(app)
            assert "DANGER" in shown, at
            assert view.step.do in shown, at
            assert view.step.cautions[0].text in shown, at
            assert shown.index("DANGER") < shown.index(view.step.do), at
            box = app.screen.query_one("#card-box", VerticalScroll)
            assert box.max_scroll_x == 0, "nothing is beside the screen"


async def test_at_60_by_20_the_whole_card_can_be_read_by_paging(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(60, 20)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        app.screen.stand_on(STEP)  # type: ignore[attr-defined]
        await pilot.pause()
        seen = card(app)
        for _ in range(4):
            await hands.press("pagedown")
            seen += " " + card(app)
        for part in ("What shows it", "E-0417", "fed from two sides", "Source: common practice"):
            assert part in seen


async def test_the_step_in_hand_is_in_sight_from_the_first_moment(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        await pilot.pause()
        here = app.screen.in_hand.step  # type: ignore[attr-defined]
        rows = app.screen.query_one("#steps", OptionList)
        top, height = rows.scroll_offset.y, rows.scrollable_content_region.height
        assert rows.highlighted is not None
        assert top <= rows.highlighted < top + height
        assert f"[ ] {here.rule.replace('-', ' ')}" in text(app)


@pytest.mark.parametrize("size", [(60, 20), (200, 60)], ids=["60x20", "200x60"])
async def test_forms_lists_and_review_show_all_that_matters(
    size: tuple[int, int], sample: Job
) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=size) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "room-as-found/hall")
        await hands.press("x")
        for wanted in ("Leave out", "Photograph Hall", "Your name", "Reason", "Esc: leave"):
            assert wanted in words(app)
        await hands.press("escape", "a")
        for wanted in ("Attach a photo to", "corner", "M2_0112.JPG", "already used", "Tab: other"):
            assert wanted in words(app)
        assert "used alr…" not in text(app)
        await hands.press("escape", "v")
        found = review(sample)
        remedy = " ".join(found[0].remedy.split()[:3])
        for wanted in (f"{len(found)} findings.", "Must be fixed", remedy, "Esc Back"):
            assert wanted in words(app)
        await hands.press("escape", "question_mark")
        app.screen.query_one(VerticalScroll).scroll_end(animate=False)
        await pilot.pause()
        assert "common practice" in words(app), "the end of the page"


@pytest.mark.parametrize("language", languages())
async def test_the_keys_of_the_desk_fit_60_columns_in_every_language(
    language: str, sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_LANGUAGE", language)
    app = SiltlineApp(sample)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        await pilot.pause()
        foot = text(app).splitlines()[-1]
        named = ["key.tick", "key.attach", "key.next", "key.review", "key.help"]
        assert [say(key) for key in named if say(key) in foot] == [say(key) for key in named]
        assert foot.rstrip().endswith(say("key.help")), "the last one is whole"
        assert say("state.todo") in text(app)
        assert app.language == language


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize(
    ("keys", "last", "columns"),
    [
        (("j",), "key.start-over", 60),
        (("j", "t"), "key.next-fault", 80),
        (("P",), "key.pixels", 60),
        (("s",), "key.back", 60),
    ],
)
async def test_the_keys_of_other_screens_fit_in_every_language(
    language: str,
    keys: tuple[str, ...],
    last: str,
    columns: int,
    sample: Job,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("SILTLINE_LANGUAGE", language)
    app = SiltlineApp(sample)
    async with app.run_test(size=(columns, 24)) as pilot:
        await stand(pilot, "room-as-found/hall")
        for key in keys:
            shown = app.screen
            await pilot.press(key)
            await until(pilot, lambda before=shown: app.screen is not before)  # type: ignore[misc]
        await until(pilot, lambda: text(app).splitlines()[-1].rstrip().endswith(say(last)))
