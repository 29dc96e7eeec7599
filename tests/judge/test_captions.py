"""A caption says role, place, act and what was noted; several uses give several, none the name."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from siltline.claim.folder import write_claim
from siltline.errors import WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, undo
from siltline.job.add import add
from siltline.job.merge import merge
from siltline.job.noting import note_photo, standing_note
from siltline.job.pictures import describe
from siltline.job.withholding import withhold
from siltline.judge.captions import captions
from support.pictures import photo

STEP = "room-as-found/kitchen"


def told(job: Job, name: str = "A.JPG") -> tuple[str, ...]:
    named = {taken.name: sha256 for sha256, taken in job.board.ledger.photos.items()}
    return captions(job.board)[named[name]]


@pytest.fixture
def taken(job: Job, tmp_path: Path) -> Job:
    """The job with two photos."""
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    return job


def test_one_that_no_step_uses_is_told_by_its_name(taken: Job) -> None:
    assert told(taken) == ("A.JPG",)
    note_photo(taken, "A.JPG", "seen from the door", by="Ada")
    assert told(taken) == ("A.JPG Note: seen from the door",)


def test_one_in_use_says_role_place_and_act_and_each_use_has_its_own(taken: Job) -> None:
    do = taken.step(STEP).step.do
    attach(taken, STEP, "A.JPG", role="before", spot="by the sink")
    assert told(taken) == (f"Before, Kitchen, by the sink: {do}",)
    attach(taken, "gear-on/house", "A.JPG", role="crew")
    gear = taken.step("gear-on/house").step
    assert told(taken) == (
        f"Crew, {gear.place_name}: {gear.do}",
        f"Before, Kitchen, by the sink: {do}",
    )
    attach(taken, "power-off/house", "B.JPG", role="power-off")
    assert told(taken, "B.JPG")[0].startswith("Power off, ")


def test_a_note_follows_and_a_newer_one_stands_in_its_place_until_it_is_undone(taken: Job) -> None:
    attach(taken, STEP, "A.JPG", role="before")
    assert note_photo(taken, "A.JPG", "  the mark is at 28 in ", by="Ada")
    assert told(taken)[0].endswith(". Note: the mark is at 28 in")
    assert not note_photo(taken, "A.JPG", "the mark is at 28 in", by="Ben")
    assert note_photo(taken, "A.JPG", "at 29 in", by="Ben")
    assert told(taken)[0].endswith(". Note: at 29 in")
    assert undo(taken).kind == "noted"
    assert told(taken)[0].endswith(". Note: the mark is at 28 in")
    (used,) = taken.board.used_photos()
    assert standing_note(taken, used) == "the mark is at 28 in"
    assert note_photo(taken, "A.JPG", "", by="Ben")
    assert "Note" not in told(taken)[0]
    assert not note_photo(taken, "A.JPG", "", by="Ben")


def test_a_note_wants_a_name_a_photo_and_an_end(taken: Job) -> None:
    before = len(taken.record.events)
    for name, by, note in (
        ("A.JPG", " ", "x"),
        ("C.JPG", "Ada", "x"),
        ("A.JPG", "Ada", "x" * 5000),
    ):
        with pytest.raises(WrongUse):
            note_photo(taken, name, note, by=by)
    assert len(taken.record.events) == before


def test_notes_of_two_laptops_stand_side_by_side_each_with_its_name(
    taken: Job, tmp_path: Path
) -> None:
    path = taken.record.path
    other = tmp_path / "other.siltline"
    other.write_bytes(path.read_bytes())
    note_photo(taken, "A.JPG", "north wall", by="Ada")
    with_ben = open_job(other, taken.clock, "00000000000000bb")
    note_photo(with_ben, "A.JPG", "east wall", by="Ben")
    with_ben.close()
    both = tmp_path / "both.siltline"
    joined, _ = merge([path, other], both, clock=taken.clock, device=taken.device)
    shown = told(joined)[0]
    assert "Note by Ada: north wall" in shown
    assert "Note by Ben: east wall" in shown
    assert note_photo(joined, "A.JPG", "north-east corner", by="Ada")
    assert told(joined) == ("A.JPG Note: north-east corner",)
    joined.close()


def test_a_withheld_photo_keeps_its_note(taken: Job) -> None:
    note_photo(taken, "A.JPG", "a face in the window", by="Ada")
    withhold(taken, "A.JPG", because="a stranger's face", by="Ada")
    assert told(taken) == ("A.JPG Note: a face in the window",)
    (described,) = [p for p in describe(taken) if p["name"] == "A.JPG"]
    assert described["withheld"]
    assert [one["note"] for one in described["noted"]] == ["a face in the window"]


def test_report_and_table_say_the_same_caption(new_job: Callable[..., Job], tmp_path: Path) -> None:
    job = new_job(name="claimed")
    add(job, [photo(tmp_path, "A.JPG", 1), photo(tmp_path, "B.JPG", 2)])
    attach(job, STEP, "A.JPG", role="before")
    note_photo(job, "A.JPG", "=the mark is at 28 in", by="Ada")
    note_photo(job, "B.JPG", "out of focus", by="Ada")
    folder = tmp_path / "claim"
    write_claim(job, folder)
    with (folder / "photos.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["name_on_camera"]: row for row in csv.DictReader(file)}
    assert rows["A.JPG"]["caption"] == told(job)[0]
    pages = PdfReader(folder / "report.pdf").pages
    page = " ".join(" ".join(one.extract_text() for one in pages).split())
    assert "Before, Kitchen: Photograph" in page
    assert "Note: =the mark is at 28 in" in page
    assert "B.JPG Note: out of focus" in page
