"""A job in a folder that another program copies about is told of once: at begin and at open."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline.job import open_job
from siltline.job.synced import synced_folder
from siltline.screens.app import SiltlineApp
from support.command import Shell
from support.records import begun
from support.screens import text

WORDS = "seems to be copied to other machines by another program"


@pytest.mark.parametrize(
    "name",
    [
        "OneDrive",
        "OneDrive - Example Crew",
        "Dropbox",
        "Dropbox (Personal)",
        "Google Drive",
        "Nextcloud",
        "iCloud Drive",
        "sync",
        "SYNC",
        "MEGA",
        "Proton Drive",
    ],
)
def test_the_usual_folders_are_known_by_their_names(tmp_path: Path, name: str) -> None:
    assert synced_folder(tmp_path / name / "jobs" / "a.siltline") == tmp_path / name


@pytest.mark.parametrize(
    "name", ["Documents", "synced", "sync jobs", "mega house", "onedrives", "dropboxes", "jobs"]
)
def test_other_folders_are_left_in_peace(tmp_path: Path, name: str) -> None:
    assert synced_folder(tmp_path / name / "a.siltline") is None


def test_a_file_of_that_name_is_no_such_folder(tmp_path: Path) -> None:
    assert synced_folder(tmp_path / "Dropbox") is None


@pytest.mark.parametrize("marker", [".stfolder", ".sync", ".dropbox", ".nextcloudsync.log"])
def test_a_marker_in_a_folder_above_tells(tmp_path: Path, marker: str) -> None:
    (tmp_path / "shared" / "jobs").mkdir(parents=True)
    (tmp_path / "shared" / marker).touch()
    assert synced_folder(tmp_path / "shared" / "jobs" / "a.siltline") == tmp_path / "shared"


def test_a_variable_of_the_system_tells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OneDriveCommercial", f"{tmp_path / 'Work'}/")
    assert synced_folder(tmp_path / "Work" / "a.siltline") == tmp_path / "Work"
    assert synced_folder(tmp_path / "a.siltline") is None


def test_a_folder_that_may_not_be_looked_into_is_passed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def closed(_: Path) -> bool:
        raise PermissionError

    monkeypatch.setattr(Path, "exists", closed)
    assert synced_folder(tmp_path / "a.siltline") is None


def test_begin_says_it_on_stderr_and_other_commands_do_not(
    tmp_path: Path, sheet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "Dropbox"
    folder.mkdir()
    shell = Shell(capsys)
    ran = shell("begin", sheet, folder / "a", "--json")
    assert ran.code == 0
    assert ran.json["steps"] > 0
    assert ran.err.count(WORDS) == 1
    assert str(folder) in ran.err
    assert WORDS not in shell("steps", folder / "a").err
    plain = shell("begin", sheet, tmp_path / "b")
    assert (plain.code, plain.err) == (0, "")


@pytest.mark.parametrize(("folder", "times"), [("Nextcloud", 1), ("jobs", 0)])
async def test_the_screen_says_it_once_when_it_opens(
    tmp_path: Path, folder: str, times: int
) -> None:
    made = begun(tmp_path)
    made.close()
    path = tmp_path / folder / "job.siltline"
    path.parent.mkdir()
    made.record.path.rename(path)
    job = open_job(path)
    app = SiltlineApp(job)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("down", "up")
        await pilot.pause()
        said = [note.message for note in app.said]
        assert sum(WORDS in message for message in said) == times
        assert ("half-written" in text(app)) is bool(times)
    job.close()


def test_the_doctor_says_it_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "OneDrive"
    folder.mkdir()
    job = begun(folder)
    job.close()
    ran = Shell(capsys)("doctor", job.record.path, "--json")
    (sign,) = [sign for sign in ran.json if sign["about"] == "folder"]
    assert sign["verdict"] == "look"
    assert WORDS in sign["text"]
