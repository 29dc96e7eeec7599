"""`offer` tells photos for a step and steps for a photo, with reasons; it attaches nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline.job import Job
from siltline.job.acts import attach
from siltline.job.add import add
from support.command import Shell
from support.pictures import photo

ROOM = "room-as-found/kitchen"


@pytest.fixture
def path(job: Job, tmp_path: Path) -> Path:
    """A job with twelve photos, the first at a step."""
    add(job, [photo(tmp_path / "card", f"IMG_{n:04d}.JPG", n) for n in range(1, 13)])
    attach(job, ROOM, "IMG_0001.JPG")
    job.close()
    return job.record.path


def test_photos_for_a_step_the_likeliest_first_with_the_reason(path: Path, shell: Shell) -> None:
    before = path.read_bytes()
    told = shell("offer", path, ROOM)
    assert told.code == 0
    lines = told.out.splitlines()
    assert "IMG_0002.JPG  as corner: next in the row after IMG_0001.JPG, of this step" in lines[0]
    assert lines[-1] == "2 more; --all lists them."
    assert len(lines) == 11
    every = shell("offer", path, ROOM, "--all").out.splitlines()
    assert len(every) == 12
    assert "already used at room-as-found/kitchen" in every[-1]
    assert path.read_bytes() == before


def test_steps_for_a_photo_and_plain_values_for_scripts(path: Path, shell: Shell) -> None:
    assert shell("offer", path, "--photo", "IMG_0002.JPG").out.startswith(
        f"{ROOM}  as corner: next"
    )
    found = shell("offer", path, ROOM, "--json").json
    assert len(found) == 12
    assert found[0].keys() == {"photo", "name", "step", "as", "because", "clear", "used"}
    assert found[-1]["used"] == [ROOM]
    assert not found[-1]["clear"]


@pytest.mark.parametrize("asked", [(), (ROOM, "--photo", "IMG_0002.JPG")])
def test_a_step_or_a_photo_is_named_one_of_the_two(
    asked: tuple[str, ...], path: Path, shell: Shell
) -> None:
    told = shell("offer", path, *asked)
    assert told.code == 2
    assert "one of the two" in told.err


def test_a_job_without_photos_says_so(job: Job, shell: Shell) -> None:
    job.close()
    assert shell("offer", job.record.path, ROOM).out.strip() == (
        "No photo was taken in yet; `add` takes some in."
    )
