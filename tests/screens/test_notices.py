"""What is said in passing hides nothing, stands once, and is not lost before it can be read."""

from __future__ import annotations

from typing import Any

import pytest
from textual.widgets import Input, OptionList

from siltline import config
from siltline.job import Job
from siltline.screens import notices
from siltline.screens.app import SiltlineApp
from siltline.screens.forms import Form
from siltline.screens.notice_lines import Notice, Notices
from siltline.screens.starting import StartApp
from support.desk import Hands, stand, until
from support.screens import text

SIZES = pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=str)
SHORT = "The surface of the north wall must be looked at: is it still wet?"
LONG = (
    "Not yet: Set the outlet behind the wall of the hall again, at a height that a flood does "
    "not reach, waits for 2 other steps: Prove circuit 4 dead; Give the power back. Do those "
    "first, or leave them out with a reason."
)
STANDS = 60.0


def words(app: Any) -> str:
    return " ".join(text(app).split())


def beside_notices(app: Any) -> None:
    """Nothing that is drawn shares a cell with what is said."""
    (rack,) = app.screen.query(Notices)
    assert rack.region.height > 0
    assert app.screen.region.contains_region(rack.region)
    for widget in app.screen.query("*"):
        if not widget.is_container and widget is not rack and not isinstance(widget, Notice):
            shown = app.screen._compositor.visible_widgets.get(widget)
            if shown is not None:
                region, clip = shown
                assert not region.intersection(clip).overlaps(rack.region), widget


async def tell(pilot: Any, *said: str) -> None:
    for one in said:
        pilot.app.notify(one, severity="warning", timeout=STANDS)
    for _ in range(4):
        await pilot.pause()
    for one in said:
        assert one in words(pilot.app).replace("▌ ", "")


@SIZES
@pytest.mark.parametrize("key", ["x", "t", "k", "h"])
async def test_a_notice_hides_no_field_and_no_key_of_a_form(
    key: str, size: tuple[int, int], job: Job
) -> None:
    async with SiltlineApp(job).run_test(size=size, notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press(key)
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        app: Any = pilot.app
        await tell(pilot, LONG)
        beside_notices(app)
        frame, box = app.screen.query_one("#form"), app.screen.query_one("#form-fields")
        keys = app.screen.query_one("#form-keys")
        fields = list(app.screen.query(Input))
        for _ in fields:
            here = app.focused
            assert isinstance(here, Input)
            assert box.region.contains_region(here.region), "the field is in sight"
            assert here.region.height == 1
            assert frame.region.contains_region(keys.region), "and what sends the form"
            assert app.screen.region.contains_region(frame.region)
            beside_notices(app)
            await hands.press("tab")
        assert app.focused is fields[0] or len(fields) == 1


@SIZES
async def test_a_field_stays_in_sight_when_something_is_said_while_it_is_typed_into(
    size: tuple[int, int], job: Job
) -> None:
    async with SiltlineApp(job).run_test(size=size, notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("t")
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        app: Any = pilot.app
        last = list(app.screen.query(Input))[-1]
        last.focus()
        await pilot.pause()
        before = app.screen.query_one("#form").region
        await tell(pilot, LONG)
        beside_notices(app)
        box = app.screen.query_one("#form-fields")
        assert box.region.contains_region(last.region)
        app.clear_notifications()
        await until(pilot, lambda: app.screen.query_one("#form").region == before)
        assert box.region.contains_region(last.region)


@SIZES
@pytest.mark.parametrize("keys", [(), ("a",), ("v",), ("j",), ("y",)])
async def test_a_notice_hides_neither_the_row_that_stands_out_nor_a_key(
    keys: tuple[str, ...], size: tuple[int, int], sample: Job
) -> None:
    async with SiltlineApp(sample).run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        app: Any = pilot.app
        for key in keys:
            before = app.screen
            await pilot.press(key)
            await until(pilot, lambda before=before: app.screen is not before)  # type: ignore[misc]
        rows = app.screen.query(OptionList)
        if rows:
            for _ in range(12):
                rows.first().action_cursor_down()
            await pilot.pause()
        await tell(pilot, LONG)
        beside_notices(app)
        for one in rows:
            top, height = one.scroll_offset.y, one.scrollable_content_region.height
            line = one._index_to_line[one.highlighted]
            assert top <= line < top + height, "the row that stands out is in sight"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_the_clock_is_drawn_into_what_is_left(size: tuple[int, int], job: Job) -> None:
    async with SiltlineApp(job).run_test(size=size, notifications=True) as pilot:
        app: Any = pilot.app
        await stand(pilot)
        await pilot.press("C")
        await until(pilot, lambda: bool(app.screen.query("#clock")))
        await tell(pilot, LONG)
        app.screen.show()
        clock = app.screen.query_one("#clock")
        await until(pilot, lambda: len(clock.content.plain.splitlines()) <= clock.size.height)
        assert app.screen.code in words(app), "what stands under it"
        beside_notices(app)


async def test_what_is_said_twice_stands_once_and_longer(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        app: Any = pilot.app
        await stand(pilot, "outlet-replaced/hidden-outlet")
        await hands.press("enter")
        await until(pilot, lambda: len(app.said) == 1)
        app.said[0].left_s = 0.5
        await hands.press("enter", "enter")
        await hands.settle()
        assert len(app.said) == 1
        assert app.said[0].left_s > 0.5
        assert words(app).count("Not yet") == 1


async def test_only_how_a_switch_stands_now_is_told(job: Job) -> None:
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        app: Any = pilot.app
        await stand(pilot)
        await hands.press("l", "T", "o", "l", "T")
        assert [one.switch for one in app.said] == ["open", "order", "look"]
        assert "The steps by phase." in words(app)
        assert "The steps by place." not in words(app)


async def test_the_time_of_what_has_no_room_does_not_run(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(notices, "TICK_S", 3600.0)  # the ticks of this test are its own
    async with SiltlineApp(job).run_test(size=(60, 20), notifications=True) as pilot:
        app: Any = pilot.app
        await stand(pilot)
        app.notify(SHORT, timeout=STANDS)
        for number in range(3):
            app.notify(f"{number} {LONG}", timeout=STANDS)
        for said in (f"2 {LONG}", f"1 {LONG}", f"0 {LONG}", SHORT):  # the newest first
            await until(pilot, lambda said=said: said in words(app).replace("▌ ", ""))  # type: ignore[misc]
            assert [one.left_s for one in app.said] == [STANDS] * len(app.said)
            app._tick()
        await until(pilot, lambda: not app.screen.query(Notices).first().display)
        assert not app.said


async def test_time_runs_for_what_can_be_read(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(notices, "TICK_S", 0.01)
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        await stand(pilot)
        app: Any = pilot.app
        app.notify(SHORT, timeout=STANDS)
        await until(pilot, lambda: SHORT in words(app))
        app.said[0].left_s = 0.1
        await until(pilot, lambda: SHORT not in words(app))
        await until(pilot, lambda: app._ticks is None)


async def test_a_notice_goes_on_over_another_screen_and_a_click_takes_it_away(job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        hands = Hands(pilot)
        app: Any = pilot.app
        await stand(pilot)
        await tell(pilot, SHORT)
        await hands.press("question_mark")
        await until(pilot, lambda: SHORT in words(app))
        beside_notices(app)
        await hands.press("escape")
        await pilot.pause()
        assert SHORT in words(app)
        await pilot.click(Notice)
        await until(pilot, lambda: SHORT not in words(app))
        assert not app.said
        await hands.press("question_mark")
        await pilot.pause()
        assert SHORT not in words(app)


async def test_the_start_gives_room_to_what_is_said() -> None:
    async with StartApp().run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await tell(pilot, LONG)
        beside_notices(pilot.app)


@pytest.mark.parametrize("severity", ["information", "warning", "error"])
async def test_how_grave_it_is_can_be_read_without_colour(severity: Any, job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        await stand(pilot)
        pilot.app.notify(SHORT, severity=severity)
        await until(pilot, lambda: SHORT in words(pilot.app))
        line = next(line for line in text(pilot.app).splitlines() if SHORT in line)
        sign = line.partition(SHORT)[0].strip("▌ ")
        assert sign == {"information": "-", "warning": "!", "error": "!!"}[severity]
