"""The house sheet is asked section by section, edited as text, and taken after its difference."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input, OptionList

from siltline import config
from siltline.errors import WrongUse
from siltline.job import Job
from siltline.job.drafts import draft_of
from siltline.job.laying import correct, sheet_as_it_stands
from siltline.job.sheeting import changed, rebased, sheet_text
from siltline.rules.sheet.sections import NEW
from siltline.rules.yamltext import load
from siltline.screens.app import SiltlineApp
from siltline.screens.editing import EditScreen
from siltline.screens.forms import Form
from siltline.screens.sheeting import SheetScreen
from support.command import Shell
from support.desk import Hands, stand, until
from support.house import HOUSE
from support.screens import text

HOSTILE = "\x1b]0;owned\x07[@click=app.quit]x[/] \u202e: - #"


async def open_sheet(hands: Hands) -> None:
    await stand(hands.pilot)
    await reopen(hands)


async def reopen(hands: Hands) -> None:
    await hands.press("j")
    await until(hands.pilot, lambda: isinstance(hands.app.screen, SheetScreen))
    await until(hands.pilot, lambda: "House sheet" in text(hands.app))


async def ask(hands: Hands, *path: str) -> None:
    """Open the form of a section."""
    screen = hands.app.screen
    number = [section.path for section in screen.listed].index(path)
    screen.query_one(OptionList).highlighted = number
    await hands.press("enter")
    await until(hands.pilot, lambda: isinstance(hands.app.screen, Form))


async def done(hands: Hands) -> None:
    """Send the form of a section."""
    await hands.press("ctrl+s")
    await until(hands.pilot, lambda: isinstance(hands.app.screen, SheetScreen))


async def answer(hands: Hands, words: str, typed: str) -> None:
    """Type into the field whose question begins so."""
    row = next(r for r in hands.app.screen.rows.values() if r.field.label.startswith(words))
    row.input.focus()
    row.input.value = typed
    await hands.pilot.pause()


async def test_a_fact_that_is_filled_in_is_taken_after_its_difference(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands, "electrical", "hidden-outlet")
        await answer(hands, "the height", "4'2")
        assert "= 50 in = 127 cm" in text(pilot.app)
        await done(hands)
        await ask(hands, "loss")
        await answer(hands, "when the water left", "2026-03-12 5:00")
        await done(hands)
        await ask(hands, "rooms", NEW)
        await answer(hands, "what people call", f"Den {HOSTILE}")
        await done(hands)
        before = len(job.record.events)
        await hands.press("s")
        await until(pilot, lambda: isinstance(pilot.app.screen, Form))
        shown = " ".join(text(pilot.app).split())
        assert "electrical.hidden-outlet.height: not known -> 4'2" in shown
        assert r"\x0a" not in shown, "each fact has a line of its own"
        assert "- outlet-replaced/hidden-outlet" in shown, "what the plan loses"
        assert "+ room-as-found/den-0-owned-click-app-quit-x" in shown, "and what it gains"
        assert len(job.record.events) == before
        await hands.fill({})
        await hands.settle()
    sheet = sheet_as_it_stands(job)
    assert sheet["electrical.hidden-outlet.height"] == "4'2"
    assert sheet["loss.water-out"] == "2026-03-12 05:00"
    assert "rooms.den-0-owned-click-app-quit-x.name" in sheet
    assert job.step("outlet-replaced/hidden-outlet").state == "not-needed"
    assert not draft_of(job, "sheet").kept()


async def test_what_can_be_two_days_is_asked_back_in_the_form(job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands, "loss")
        await answer(hands, "when the water left", "3/4 5:00")
        await hands.press("enter")
        assert "can be two days" in text(pilot.app)
        await hands.press("ctrl+s")
        assert isinstance(pilot.app.screen, Form)


async def test_what_is_filled_in_is_kept_until_it_is_taken_or_thrown_away(job: Job) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands)
        await answer(hands, "the owner", "Somebody invented")
        await done(hands)
        await hands.press("escape")
        await reopen(hands)
        assert "what you filled in is kept" in text(pilot.app)
        assert "owner: Somebody invented" in pilot.app.screen.text  # type: ignore[attr-defined]
        correct(job, ["loss.salt=no"], by="Bo", take=True)  # somebody else, meanwhile
        await hands.press("escape")
        await reopen(hands)
        found = load(pilot.app.screen.text, "x").data  # type: ignore[attr-defined]
        assert (found["owner"], found["loss"]["salt"]) == ("Somebody invented", False)
        await hands.press("ctrl+r", "escape")
        await reopen(hands)
        assert "what you filled in is kept" not in text(pilot.app)


async def test_faults_stand_under_their_lines_and_a_sheet_with_faults_is_not_taken(
    job: Job,
) -> None:
    async with SiltlineApp(job).run_test(size=(80, 24), notifications=True) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await hands.press("t")
        await hands.settle_form()
        screen: Any = pilot.app.screen
        assert isinstance(screen, EditScreen)
        wrong = screen.lines.index("    waterline: 31 in")
        screen.query_one(OptionList).highlighted = wrong
        await hands.press("enter")
        field = screen.query_one("#edit-line", Input)
        assert field.value == "    waterline: 31 in"
        field.value = "    waterlin: 31"
        await hands.press("enter")
        lines = text(pilot.app).splitlines()
        at = next(n for n, line in enumerate(lines) if "waterlin: 31" in line)
        assert f"{wrong + 1:>4}  " in lines[at]
        assert "^ wrong: 'waterlin' is not known here; did you mean 'waterline'?" in lines[at + 1]
        await hands.press("n")
        field.value = "    # [@click=app.quit]x[/] [/oops]"
        await hands.press("enter", "escape")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, SheetScreen)
        assert "not known here" in text(pilot.app)
        await hands.press("s")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, SheetScreen)
        assert "Not taken" in text(pilot.app)
        await hands.press("t")
        await hands.settle_form()
        again: Any = pilot.app.screen
        assert again.here == wrong, "it opens on the fault"
        await hands.press("d")
        assert "waterlin: 31" not in again.text
        await hands.press("u")
        assert "waterlin: 31" in again.text


async def test_a_text_that_is_no_yaml_can_still_be_edited(job: Job) -> None:
    draft_of(job, "sheet").keep({"text": "house: [", "first": sheet_text(job)})
    async with SiltlineApp(job).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        assert "1 fault" in text(pilot.app)
        await hands.press("t")
        await hands.settle_form()
        assert "^ wrong" in text(pilot.app)


@pytest.mark.parametrize(
    ("edit", "settings"),
    [
        (lambda t: t, []),
        (lambda t: t.replace("31 in", "32 in"), ["rooms.kitchen.waterline=32 in"]),
        (lambda t: t.replace("    silt-line: 28 in\n", ""), ["rooms.kitchen.silt-line="]),
        (lambda t: t + "burners: none\n", ["burners=no"]),
        (lambda t: t + "well: {}\n", ["well=yes"]),
        (lambda t: t + "septic: {flooded: true}\n", ["septic.flooded=yes"]),
        (lambda t: t.replace("cladding: brick-veneer", "insulation: none"),
         ["walls.north.insulation=none", "walls.north.cladding="]),
    ],
)  # fmt: skip
def test_an_edited_text_is_what_it_says_otherwise(
    job: Job, edit: Callable[[str], str], settings: list[str]
) -> None:
    before = sheet_text(job)
    assert changed(before, edit(before)) == settings
    if settings:
        correct(job, settings, by="Ada", take=True)
    assert load(sheet_text(job), "x").data == load(edit(before), "x").data or "{}" in edit(before)


def test_an_emptied_sheet_is_refused(job: Job) -> None:
    with pytest.raises(WrongUse, match="holds nothing"):
        changed(sheet_text(job), "# nothing\n")


def test_an_edit_upon_a_sheet_that_somebody_corrected_keeps_both() -> None:
    mine, theirs = HOUSE.replace("31 in", "32 in"), HOUSE.replace("38 in", "39 in")
    both = load(rebased(HOUSE, mine, theirs), "x").data["rooms"]["kitchen"]
    assert (both["waterline"], both["highest-wet-reading"]) == ("32 in", "39 in")
    assert rebased(HOUSE, mine, HOUSE) == mine
    assert rebased(HOUSE, "house: [", theirs) == "house: ["


def test_the_same_by_commands(job: Job, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    job.close()
    shell, path = Shell(capsys), job.record.path
    sheet = shell("house", path, "--yaml").out
    assert load(sheet, "x").data == load(HOUSE, "x").data
    file = tmp_path / "edited.yaml"
    file.write_text(sheet.replace("31 in", "2'10"), encoding="utf-8")
    shown = shell("house", path, "--edited", file)
    assert (shown.code, "Nothing is recorded yet" in shown.out) == (0, True)
    assert shell("house", path, "--edited", file, "--by", "Ada", "--take").code == 0
    assert shell("house", path, "--json").json["rooms.kitchen.waterline"] == "2'10"
    assert "says the same" in shell("house", path, "--edited", file).out
    file.write_text("house: [", encoding="utf-8")
    assert shell("house", path, "--edited", file).code == 2


async def test_the_field_that_is_typed_into_and_the_keys_that_send_it_are_in_sight(
    job: Job,
) -> None:
    async with SiltlineApp(job).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands)
        form: Any = pilot.app.screen
        for number, row in enumerate(form.rows.values()):
            row.input.focus()
            await pilot.pause()
            await pilot.pause()
            assert form.query_one("#form-fields").region.contains_region(row.input.region), number
            assert "Ctrl+S" in text(pilot.app)


@pytest.mark.parametrize(
    ("words", "typed", "told"),
    [
        ("the time zone", "Nowhere", "'Nowhere' is not a time zone"),
        ("the latitude", "95", "'95' is not an angle in degrees"),
        ("how high", "9000 m", "9000 m"),
    ],
)
async def test_what_the_sheet_would_refuse_is_refused_under_its_field(
    job: Job, words: str, typed: str, told: str
) -> None:
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands)
        await answer(hands, words, typed)
        form: Any = pilot.app.screen
        await hands.press("ctrl+s")
        assert pilot.app.screen is form
        row = next(r for r in form.rows.values() if r.field.label.startswith(words))
        fault = row.query_one(".fault")
        assert fault.display
        assert told in str(fault.render())


async def test_a_zone_is_named_by_its_city_alone(job: Job) -> None:
    app: Any = SiltlineApp(job)
    async with app.run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await open_sheet(hands)
        await ask(hands)
        await answer(hands, "the time zone", "los angeles")
        assert "= America/Los_Angeles" in text(app)
        await done(hands)
        assert "time-zone: America/Los_Angeles" in app.screen.text


async def test_what_is_taken_stays_in_sight_however_many_steps_it_changes(sample: Job) -> None:
    """A house without a crawl space loses a phase of steps; 24 lines show the fact and the name."""
    async with SiltlineApp(sample).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("e")
        await until(pilot, lambda: isinstance(hands.app.screen, Form))
        await hands.press(*"crawl-space=none", "enter")
        await until(pilot, lambda: "Take this" in text(hands.app))
        shown = text(hands.app)
        assert "crawl-space: flooded=yes" in shown
        assert "Your name" in shown
        assert "steps change" in shown
        box = hands.app.screen.query_one("#form-fields")
        assert box.max_scroll_y == 0
