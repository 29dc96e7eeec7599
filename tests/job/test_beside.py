"""A photo that stands in another job file too is told, by its bytes or by what it shows."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from siltline.job import Job
from siltline.job.add import add
from siltline.job.begin import begin
from siltline.job.beside import Double, also_in
from support.command import Shell

SAMPLE = Path(__file__).parents[2] / "sample_job" / "photos"


@pytest.fixture
def other(sheet: Path, tmp_path: Path) -> Iterator[Job]:
    """Another job, of another house."""
    job = begin(sheet, tmp_path / "other")
    yield job
    job.close()


def saved_anew(path: Path, target: Path, quality: int = 60) -> Path:
    """Save a photo anew, without what its camera wrote."""
    written = io.BytesIO()
    with Image.open(path) as image:
        image.save(written, "JPEG", quality=quality)
    target.write_bytes(written.getvalue())
    return target


def test_the_same_bytes_and_a_picture_saved_anew_are_both_found(
    job: Job, other: Job, tmp_path: Path
) -> None:
    same, alike, mine = (SAMPLE / name for name in ("M2_0101.JPG", "M2_0102.JPG", "M2_0103.JPG"))
    ours = {o.path.name: o.sha256 for o in add(job, [same, alike, mine]).of("taken")}
    add(other, [same, saved_anew(alike, tmp_path / "sent.jpg"), SAMPLE / "M2_0104.JPG"])
    exact, near = also_in(job, other.record.path)
    assert exact == Double(ours["M2_0101.JPG"], "other.siltline", "M2_0101.JPG", None)
    assert (near.photo, near.name) == (ours["M2_0102.JPG"], "sent.jpg")
    assert near.apart is not None
    assert near.apart <= 6


def test_photos_of_another_house_are_not_told(job: Job, other: Job) -> None:
    add(job, [SAMPLE / "M2_0101.JPG"])
    add(other, [SAMPLE / "M2_0104.JPG"])
    assert also_in(job, other.record.path) == []


def test_the_command_names_the_other_file_under_the_photo(
    job: Job, other: Job, capsys: pytest.CaptureFixture[str]
) -> None:
    add(job, [SAMPLE / "M2_0101.JPG", SAMPLE / "M2_0103.JPG"])
    add(other, [SAMPLE / "M2_0101.JPG"])
    shell = Shell(capsys)
    ran = shell("photos", job.record.path, "--beside", other.record.path)
    assert ran.code == 0
    (told,) = [line for line in ran.out.splitlines() if "other.siltline" in line]
    assert "the same bytes" in told
    listed = shell("photos", job.record.path, "--beside", other.record.path, "--json").json
    assert [photo["also_in"] for photo in listed] == [
        [{"file": "other.siltline", "name": "M2_0101.JPG", "apart": None}],
        [],
    ]


def test_a_file_that_is_no_job_is_refused_in_a_sentence(
    job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "no.siltline").write_bytes(b"no job")
    ran = Shell(capsys)("photos", job.record.path, "--beside", tmp_path / "no.siltline")
    assert ran.code == 3
    assert len(ran.err.splitlines()) == 1
