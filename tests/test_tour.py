"""The tour lays everything out whole or not at all, and finds its job again."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline.errors import Unreadable, WrongUse
from siltline.job import open_job
from siltline.judge.board import STATES
from siltline.record.audit import faults
from siltline.sentences import languages, speak
from siltline.tour import CLAIM_NAME, JOB_NAME, lay_out
from support.command import Shell


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_the_tour_prints_where_everything_is_and_ends_without_a_terminal(
    shell: Shell, tmp_path: Path
) -> None:
    folder = tmp_path / "tour"
    ran = shell("tour", "--into", folder)
    assert ran.code == 0, ran.err
    for name in (JOB_NAME, f"{CLAIM_NAME}/report.pdf", "house.yaml", "photos"):
        assert str(folder / name) in ran.out
        assert (folder / name).exists()
    assert "(invented)" in ran.out
    assert ran.err == ""


def test_its_job_is_whole_and_every_state_occurs(shell: Shell, tmp_path: Path) -> None:
    list(lay_out(tmp_path / "tour"))
    job = tmp_path / "tour" / JOB_NAME
    assert faults(job) == []
    steps = shell("steps", job, "--json").json
    assert {step["state"] for step in steps} == set(STATES)
    clocks = {photo["camera"]: photo["clock"] for photo in shell("photos", job, "--json").json}
    assert clocks == {"Mosslight M2": "unchecked", "Tarnbeck TB-7": "impossible"}


def test_the_same_tour_gives_the_same_record(tmp_path: Path) -> None:
    """Clock and device are passed in, so the day replayed twice has the same event ids."""
    ids = []
    for name in ("one", "two"):
        list(lay_out(tmp_path / name))
        job = open_job(tmp_path / name / JOB_NAME)
        ids.append([event.id for event in job.record.events])
        job.close()
    assert ids[0] == ids[1]


def test_record_and_claim_are_the_same_whatever_the_screen_speaks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plan, and a folder for the insurer, are read by others than who sits before the screen."""
    told = []
    for language in languages():
        monkeypatch.setenv("SILTLINE_LANGUAGE", speak(language))
        folder = tmp_path / language
        list(lay_out(folder))
        job = open_job(folder / JOB_NAME)
        sums = (folder / CLAIM_NAME / "sha256sums.txt").read_text(encoding="utf-8")
        told.append(([event.id for event in job.record.events], sums))
        job.close()
    assert len(told) > 1
    assert all(one == told[0] for one in told)


def test_a_second_run_opens_what_is_there_as_it_was_left(tmp_path: Path) -> None:
    list(lay_out(tmp_path / "tour"))
    job = tmp_path / "tour" / JOB_NAME
    before = job.read_bytes()
    told = list(lay_out(tmp_path / "tour"))
    assert [line.job for line in told] == [job]
    assert job.read_bytes() == before


def test_a_folder_with_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(WrongUse, match="left as it is"):
        list(lay_out(tmp_path))
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


def test_a_tour_that_fails_half_way_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("siltline.tour.write_claim", full)
    with pytest.raises(Unreadable, match="nothing was left behind"):
        list(lay_out(tmp_path / "tour"))
    assert list(tmp_path.iterdir()) == []


def test_the_sample_is_marked_as_invented_wherever_it_shows(tmp_path: Path) -> None:
    list(lay_out(tmp_path / "tour"))
    sheet = (tmp_path / "tour" / "house.yaml").read_text(encoding="utf-8")
    assert "INVENTED" in sheet.splitlines()[2]
    day = (tmp_path / "tour" / "day.yaml").read_text(encoding="utf-8")
    assert "INVENTED" in day
    assert not list((tmp_path / "tour").rglob("*.py"))
