"""The start offers what was opened before, the sample, a new job and a practice job."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import OptionList

from siltline import config, screens, times
from siltline.job import Job, open_job
from siltline.job.practice import practice_job
from siltline.job.recent import MOST, recent, remember
from siltline.rules.sheet.sections import NEW
from siltline.screens.app import SiltlineApp
from siltline.screens.forms import Form
from siltline.screens.picking import Pick
from siltline.screens.sheeting import SheetScreen
from siltline.screens.starting import StartApp
from support.command import Shell
from support.desk import Hands, stand, until
from support.screens import text

HOSTILE = "\x1b]0;owned\x07[@click=app.quit]x[/] \u202e"


def told(app: Any) -> str:
    """Return what stands on the screen, in one line and without the frames."""
    return " ".join(text(app).replace("\u2502", " ").split())


async def choose(hands: Hands, row: str) -> None:
    rows = hands.app.screen.query_one(OptionList)
    rows.highlighted = rows.get_option_index(row)
    await hands.press("enter")
    await until(hands.pilot, lambda: isinstance(hands.app.screen, Pick))


async def test_a_job_that_was_opened_is_opened_again_with_one_key(job: Job) -> None:
    remember(job.record.path, job.board.plan.house, times.now())
    app = StartApp()
    async with app.run_test() as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        assert "Test house" in text(app)
        await hands.press("enter")
    assert app.return_value == job.record.path.absolute()


async def test_a_job_that_is_gone_is_shown_as_gone_and_is_not_opened(tmp_path: Path) -> None:
    remember(tmp_path / "gone.siltline", HOSTILE, times.now())
    app = StartApp()
    async with app.run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        assert "not there now" in text(app)
        assert r"\x1b]0;owned" in text(app)
        await hands.press("enter")
        assert app.return_value is None
        await hands.press("q")
    assert app.return_value is None


def test_the_list_is_short_newest_first_and_survives_damage(tmp_path: Path) -> None:
    for number in range(MOST + 5):
        remember(tmp_path / f"{number % (MOST + 2)}.siltline", f"House {number}", times.now())
    found = recent()
    assert len(found) == MOST
    assert found[0].house == f"House {MOST + 4}"
    assert len({one.path for one in found}) == MOST
    for spoilt in ("", "{", "{}", '[1, {"path": 1}]', "[" * 9999):
        config.keep("recent-jobs.json", spoilt)
        assert recent() == []


async def test_a_new_job_is_begun_from_a_sheet_asked_section_by_section(tmp_path: Path) -> None:
    app: Any = StartApp()
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await choose(hands, "begin")
        await hands.pick("guided")
        await until(pilot, lambda: isinstance(app.screen, SheetScreen))
        await until(pilot, lambda: bool(app.screen.listed))
        for path, typed in (((), "Invented house"), (("rooms", NEW), "Kitchen")):
            screen = app.screen
            number = [section.path for section in screen.listed].index(path)
            screen.query_one(OptionList).highlighted = number
            await hands.press("enter")
            await until(pilot, lambda: isinstance(app.screen, Form))
            next(iter(app.screen.rows.values())).put(typed)
            await hands.press("ctrl+s")
            await until(pilot, lambda: isinstance(app.screen, SheetScreen))
        assert app.screen.text == "house: Invented house\nrooms:\n  kitchen:\n    name: Kitchen\n"
        await hands.press("s")
        await until(pilot, lambda: isinstance(app.screen, Form))
        await hands.fill({"job": str(tmp_path / "one"), "by": "Ada"})
    assert app.return_value == tmp_path / "one.siltline"
    assert (tmp_path / "one-house.yaml").is_file()
    job = open_job(app.return_value)
    assert job.board.plan.house == "Invented house"
    job.close()
    assert list((config.settings_folder() / "drafts").glob("*")) == []


async def test_a_job_is_begun_from_a_sheet_that_is_there_and_faults_are_told(
    sheet: Path, tmp_path: Path
) -> None:
    taken = tmp_path / "taken.siltline"
    taken.write_bytes(b"mine")
    app: Any = StartApp()
    async with app.run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await choose(hands, "begin")
        await hands.pick("file")
        await until(pilot, lambda: isinstance(app.screen, Form))
        await hands.fill({"house": str(sheet), "job": str(taken), "by": "Ada"})
        assert "name another job file" in told(app)
        await hands.fill({"house": str(tmp_path / "no.yaml"), "job": str(tmp_path / "new")})
        assert "no.yaml" in told(app)
        await hands.fill({"house": str(sheet)})
    assert app.return_value == tmp_path / "new.siltline"
    assert taken.read_bytes() == b"mine"


async def test_the_practice_job_is_marked_wherever_it_is_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(capsys)
    path = Path(shell("practice", "--json").json["job"])
    assert config.settings_folder() in path.parents
    moved = open_job(Path(shutil.copy(path, tmp_path / "moved.siltline")))
    assert moved.board.plan.house.startswith("PRACTICE")
    async with SiltlineApp(moved).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        assert text(pilot.app).splitlines()[0].lstrip().startswith("PRACTICE")
        await hands.press("w")
    moved.close()


def test_what_was_played_stays_until_it_is_laid_out_anew() -> None:
    path = practice_job()
    job = open_job(path)
    photos = len(job.board.ledger.photos)
    job.close()
    assert photos > 20
    os.utime(path, (1, 1))
    assert practice_job() == path
    assert path.stat().st_mtime == 1
    assert practice_job(anew=True) == path
    assert path.stat().st_mtime > 1
    assert [p.name for p in path.parent.parent.iterdir() if p.name.endswith(".part")] == []


def test_recent_and_help_by_command(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(capsys)
    assert "No job was opened" in shell("recent").out
    remember(job.record.path, "Test house", times.now())
    remember(tmp_path / "gone.siltline", HOSTILE, times.now())
    told = shell("recent")
    assert "\x1b" not in told.out
    assert "not there now" in told.out.splitlines()[0]
    assert [one["there"] for one in shell("recent", "--json").json] == [False, True]
    bare = shell()
    assert bare.code == 2
    assert "Commands:" in bare.out + bare.err
    assert shell("open").code == 2


async def test_the_start_says_what_this_is_and_what_each_row_does() -> None:
    app = StartApp()
    async with app.run_test(size=(60, 20)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        assert "what comes next in a flooded house" in told(app)
        assert "the steps follow from it" in told(app)
        await hands.press("down")
        assert "A finished day to look around in" in told(app)


async def test_an_empty_sheet_says_what_to_begin_with_and_names_no_fault() -> None:
    app: Any = StartApp()
    async with app.run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await choose(hands, "begin")
        await hands.pick("guided")
        await until(pilot, lambda: isinstance(app.screen, SheetScreen))
        await until(pilot, lambda: "Begin with the name of the house" in told(app))
        assert "fault" not in told(app)


def test_a_fault_of_the_start_screen_is_raised_when_it_has_ended(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def run(app: StartApp) -> None:
        app.fault = RuntimeError("ours")

    monkeypatch.setattr(StartApp, "run", run)
    with pytest.raises(RuntimeError, match="ours"):
        screens.start()
