"""A photo of the laptop's clock, once marked, puts the other photos of its camera right."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, undo
from siltline.job.add import add
from siltline.job.clock import cameras, code_of, error_told, mark, read_shown
from siltline.job.close_out import review
from siltline.job.merge import merge
from siltline.job.pictures import describe
from siltline.job.withholding import withhold
from support.command import Shell
from support.house import HOUSE
from support.pictures import photo

SHOWN = "12 Mar 2026 07:00:00"  # at the house, UTC-5


@pytest.fixture
def shot(job: Job, tmp_path: Path) -> Job:
    """A job with a photo of the clock by a camera 192 s fast, another of it, and a third."""
    add(job, [
        photo(tmp_path, "CLOCK.JPG", 1, stamp="2026:03:12 07:03:12"),
        photo(tmp_path, "WALL.JPG", 2, stamp="2026:03:12 07:33:12"),
        photo(tmp_path, "PHONE.JPG", 3, stamp="2026:03:12 07:33:12", model="P9"),
    ])  # fmt: skip
    return job


def told(job: Job) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in describe(job)}


def marked(job: Job, photo: str = "CLOCK.JPG", shown: str = SHOWN) -> str:
    return mark(job, photo, shown=shown, code=code_of(job), by="Ada")


def test_a_marked_photo_corrects_every_photo_of_its_camera_and_no_other(shot: Job) -> None:
    before = told(shot)
    assert "3 min 12 s fast" in marked(shot)
    after = told(shot)
    wall = after["WALL.JPG"]
    assert (wall["clock"], wall["error_s"], wall["doubt_s"]) == ("checked", 192, 3)
    assert wall["earliest_utc"] == "2026-03-12T12:29:57Z"
    assert wall["latest_utc"] == "2026-03-12T12:30:03Z"
    assert wall["stamp"] == "2026:03:12 07:33:12", "what the camera stamped stays"
    assert wall["clock_told"].startswith(
        "This camera is 3 min 12 s fast (give or take 3 s); "
        "taken 12 Mar 2026 07:30:00 by the laptop's clock."
    )
    assert "no serial number" in wall["clock_told"]
    assert after["CLOCK.JPG"]["clock_shown"] == ["2026-03-12T07:00:00.000-05:00"]
    assert after["PHONE.JPG"] == before["PHONE.JPG"]
    assert before["WALL.JPG"]["clock_told"] == ""


def test_nothing_computed_is_written(shot: Job) -> None:
    marked(shot)
    (event,) = (e for e in shot.record.events if e.kind == "clock-shown")
    assert set(event.body) == {"photo", "shown", "typed"}
    assert event.body["typed"] == SHOWN


def test_undo_takes_the_mark_and_all_corrections_back(shot: Job) -> None:
    before = describe(shot)
    marked(shot)
    assert "CLOCK.JPG" not in {shot.board.ledger.photos[p].name for p in shot.board.unused_photos()}
    undo(shot)
    assert describe(shot) == before
    assert len(shot.board.unused_photos()) == 3


def test_marked_anew_the_later_reading_counts_and_the_same_again_adds_nothing(shot: Job) -> None:
    marked(shot)
    marked(shot)
    marked(shot, shown="2026-03-12 07:00:02")
    marked(shot, shown="2026-03-12T07:00:02-05:00")
    assert sum(e.kind == "clock-shown" for e in shot.record.events) == 2
    assert told(shot)["WALL.JPG"]["error_s"] == 190


def test_two_laptops_that_read_one_photo_differently_check_nothing(
    shot: Job, tmp_path: Path
) -> None:
    other_path = tmp_path / "other.siltline"
    shot.close()
    shutil.copy(shot.record.path, other_path)
    for path, shown in ((shot.record.path, SHOWN), (other_path, "12 Mar 2026 07:00:30")):
        job = open_job(path, shot.clock, shot.device if path != other_path else "bb" * 8)
        marked(job, shown=shown)
        job.close()
    both, _ = merge([shot.record.path, other_path], tmp_path / "both.siltline")
    assert told(both)["WALL.JPG"]["clock"] == "unchecked"
    (marks,) = (one.marks for one in cameras(both) if one.marks)
    assert [len(one.shown) for one in marks] == [2]
    both.close()


def test_a_withheld_photo_keeps_its_word_and_checks_nothing_any_more(shot: Job) -> None:
    marked(shot)
    (clock,) = (p for p, t in shot.board.ledger.photos.items() if t.name == "CLOCK.JPG")
    withhold(shot, clock, because="a face in the glass", by="Ada")
    assert told(shot)["CLOCK.JPG"]["clock_shown"]
    assert told(shot)["WALL.JPG"]["clock"] == "unchecked"
    (silent,) = (m for one in cameras(shot) for m in one.marks)
    assert (silent.photo, silent.error_s) == (clock, None)
    with pytest.raises(NotNow, match="withheld"):
        marked(shot, clock)


def test_a_checked_photo_is_no_longer_found_to_have_a_wrong_clock(job: Job, tmp_path: Path) -> None:
    add(job, [
        photo(tmp_path, "CLOCK.JPG", 1, stamp="2031:01:01 09:00:00"),
        photo(tmp_path, "WALL.JPG", 2, stamp="2031:01:01 10:00:00"),
    ])  # fmt: skip
    attach(job, "gear-on/house", "WALL.JPG", role="crew")
    assert "clock-impossible" in {f.code for f in review(job)}
    marked(job, shown="12 Mar 2026 06:00:00")
    assert not {f.code for f in review(job)} & {"clock-impossible", "clock-unset"}


@pytest.mark.parametrize(
    ("shown", "said"),
    [
        ("12 Mar 2026 07:00", "no date with a time to the second"),
        ("07:00:00", "no date with a time to the second"),
        ("", "no date with a time to the second"),
        ("12 Mar 2026", "no date with a time to the second"),
        ("03/04/2026 07:00:00", "can be"),
        ("12 Mar 2026 07:00:61", "."),
        ("12 Mar 2026 08:30:00", "after the photo was taken in"),
        ("12 Mar 2026 07:00:00 +25:00", "."),
        ("1 Jan 0001 07:00:00", "."),
    ],
)
def test_what_cannot_have_been_shown_is_refused_with_a_sentence(
    shown: str, said: str, shot: Job
) -> None:
    before = len(shot.record.events)
    with pytest.raises(WrongUse, match=said):
        marked(shot, shown=shown)
    assert len(shot.record.events) == before


@pytest.mark.parametrize(
    ("typed", "utc"),
    [
        ("2026-03-12 07:00:00", "12:00:00"),
        ("12 MAR 2026 7:00:00 am", "12:00:00"),
        ("12 Mar 2026 07:00:00 UTC-05:00", "12:00:00"),
        ("12 Mar 2026 07:00:00 -04:00", "11:00:00"),
        ("2026-03-12T12:00:00Z", "12:00:00"),
        ("12 Mar 2026 12:00:00 UTC", "12:00:00"),
    ],
)
def test_a_moment_is_read_as_elsewhere_in_the_zone_of_the_house(
    typed: str, utc: str, job: Job
) -> None:
    assert f"{read_shown(job, typed).timestamp():.0f}" == f"{_utc(utc):.0f}"


def _utc(text: str) -> float:
    return datetime.fromisoformat(f"2026-03-12T{text}+00:00").timestamp()


def test_in_the_hour_that_the_autumn_gives_twice_the_offset_is_asked_for(job: Job) -> None:
    with pytest.raises(WrongUse, match="UTC: -05:00 or -06:00"):
        read_shown(job, "2 Nov 2025 01:30:00")
    assert read_shown(job, "2 Nov 2025 01:30:00 -06:00").utcoffset() is not None


def test_a_house_without_a_zone_takes_the_zone_of_the_laptop(new_job: Callable[..., Job]) -> None:
    job = new_job(HOUSE.replace("time-zone: America/Chicago\n", ""))
    assert read_shown(job, SHOWN).tzinfo is not None


def test_another_code_is_refused_and_every_job_has_its_own(
    shot: Job, new_job: Callable[..., Job]
) -> None:
    other = new_job(HOUSE.replace("Test house", "Other house"), name="other")
    assert code_of(other) != code_of(shot)
    with pytest.raises(WrongUse, match="not the code of this job"):
        mark(shot, "CLOCK.JPG", shown=SHOWN, code=code_of(other))
    mark(shot, "CLOCK.JPG", shown=SHOWN, code=f" {code_of(shot).lower()} ")


@pytest.mark.parametrize("how", [{"stamp": None}, {"stamp": "0000:00:00 00:00:00"},
                                 {"make": "", "model": ""}])  # fmt: skip
def test_a_photo_that_could_tell_nothing_is_not_marked(
    how: dict[str, Any], job: Job, tmp_path: Path
) -> None:
    add(job, [photo(tmp_path, "CLOCK.JPG", 1, **how)])
    with pytest.raises(WrongUse, match="tells no clock's error"):
        marked(job)


@pytest.mark.parametrize(
    ("error_s", "words"),
    [
        (0, "right to the second"),
        (-59, "59 s slow"),
        (3600, "1 h fast"),
        (90_061, "1 d 1 h 1 min 1 s fast"),
    ],
)
def test_an_error_is_told_in_words(error_s: int, words: str) -> None:
    assert error_told(error_s) == words


def test_the_command_marks_a_photo_and_tells_the_cameras(
    shot: Job, capsys: pytest.CaptureFixture[str]
) -> None:
    code, path = code_of(shot), shot.record.path
    shot.close()
    shell = Shell(capsys)
    first = shell("clock", path)
    assert f"Code of this job: {code}" in first.out
    assert "Invented T1: 2 photos\n    not checked" in first.out
    assert shell("clock", path, "CLOCK.JPG").code == 2
    assert shell("clock", path, "--code", code).code == 2
    wrong = shell("clock", path, "CLOCK.JPG", "--shown", SHOWN, "--code", "QQQQ")
    assert (wrong.code, wrong.out) == (2, "")
    done = shell("clock", path, "CLOCK.JPG", "--shown", SHOWN, "--code", code)
    assert (done.code, done.err) == (0, "")
    assert "3 min 12 s fast" in done.out
    listed = shell("clock", path)
    assert "    3 min 12 s fast at 12 Mar 2026 07:00:00 (CLOCK.JPG)" in listed.out
    assert "no serial number" in listed.out
    found = json.loads(shell("clock", path, "--json").out)
    assert found["code"] == code
    assert found["cameras"][0]["camera"] == "Invented T1"
    assert found["cameras"][0]["shots"][0]["error_s"] == 192
    assert found["cameras"][1]["shots"] == []
    photos = shell("photos", path)
    assert "taken 12 Mar 2026 07:30:00 by the laptop's clock" in photos.out
    assert "the laptop's clock" in photos.out.splitlines()[0]
    assert "photo of the clock marked" in shell("undo", path).out
