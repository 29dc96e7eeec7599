"""`photo` tells all of one photo and shows it; `note` notes something on it."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from siltline.job.viewing import Viewer
from support.command import Shell
from support.pictures import photo

STEP = "room-as-found/kitchen"
HOSTILE = "\x1b]0;owned\x07\u202e"


@pytest.fixture
def taken(shell: Shell, path: Path, tmp_path: Path) -> Path:
    """A job with a photo at a step."""
    where = photo(tmp_path / "card", "A.JPG", 1, make=HOSTILE, size=(320, 240))
    assert shell("add", path, where).code == 0
    assert shell("attach", path, STEP, "A.JPG", "--as", "before").code == 0
    return path


def test_everything_of_a_photo_is_told(shell: Shell, taken: Path) -> None:
    ran = shell("photo", taken, "A.JPG")
    (known,) = shell("photos", taken, "--json").json
    assert ran.code == 0
    told = ran.out.splitlines()
    assert told[0].startswith("Before, Kitchen: Photograph Kitchen from two corners")
    assert "Camera time 2026:03:12 07:30:00, zone -05:00 assumed, of the house" in ran.out
    assert "2026-03-12T12:30:00Z" in ran.out
    assert "320 x 240 pixels" in ran.out
    assert f"Step: {STEP}" in ran.out
    assert f"sha256 {known['sha256']}" in ran.out
    assert "\x1b" not in ran.out
    assert shell("photo", taken, known["sha256"][:8]).out == ran.out
    assert shell("photo", taken, "A.JPG", "--json").json.items() <= known.items()


def test_exif_is_told_as_the_camera_wrote_it_and_visibly(shell: Shell, taken: Path) -> None:
    told = shell("photo", taken, "A.JPG", "--exif").out
    assert "Exif DateTimeOriginal: 2026:03:12 07:30:00" in told
    assert r"Image Make: \x1b]0;owned\x07" in told
    assert "\u202e" not in told
    tags = shell("photo", taken, "A.JPG", "--exif", "--json").json["exif"]
    assert ["Exif", "DateTimeOriginal", "2026:03:12 07:30:00"] in tags


def test_it_is_drawn_in_colours_where_there_are_some(
    shell: Shell, taken: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = shell("photo", taken, "A.JPG").out
    greys = shell("photo", taken, "A.JPG", "--draw")  # into a file: no colours
    assert greys.out.startswith(plain)
    drawn = greys.out.removeprefix(plain).splitlines()
    assert 10 < len(drawn) < 24
    assert {len(line) for line in drawn} <= set(range(20, 81))
    assert "No colors can be shown here" in greys.err
    monkeypatch.setenv("FORCE_COLOR", "1")
    coloured = shell("photo", taken, "A.JPG", "--draw").out
    assert coloured.count("\u2580") > 500
    assert "\x1b[38;2;" in coloured
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\u2580" not in shell("photo", taken, "A.JPG", "--draw").out


def test_it_is_opened_outside_until_the_person_has_looked(
    shell: Shell, taken: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[Path] = []
    there: list[bool] = []
    monkeypatch.setattr(Viewer.__init__, "__defaults__", (seen.append,))
    refused = shell("photo", taken, "A.JPG", "--view")  # nobody to ask
    assert (refused.code, seen) == (2, [])
    terminal = io.StringIO("\n")
    monkeypatch.setattr(terminal, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stdin", terminal)
    monkeypatch.setattr("click.prompt", lambda *_, **__: there.append(seen[0].exists()))
    assert shell("photo", taken, "A.JPG", "--view").code == 0
    assert there == [True]
    assert not seen[0].exists()


def test_a_note_is_taken_and_told(shell: Shell, taken: Path) -> None:
    ran = shell("note", taken, "A.JPG", "the mark is at 28 in", "--by", "Ada")
    assert ran.code == 0
    assert ran.out.rstrip().endswith("Note: the mark is at 28 in")
    again = shell("note", taken, "A.JPG", "the mark is at 28 in", "--by", "Ada", "--json").json
    assert not again["new"]
    assert "Noted by Ada" in shell("photo", taken, "A.JPG").out
    assert "note on a photo" in shell("undo", taken).out
    assert "Note:" not in shell("photo", taken, "A.JPG").out


def test_a_photo_that_is_not_there_and_one_that_was_withheld_are_told(
    shell: Shell, taken: Path
) -> None:
    assert shell("photo", taken, "B.JPG").code == 2
    assert shell("note", taken, "A.JPG", "x").code == 2  # nobody's name
    assert shell("withhold", taken, "A.JPG", "--because", "a face", "--by", "Ada").code == 0
    assert "Withheld by Ada" in shell("photo", taken, "A.JPG").out
    ran = shell("photo", taken, "A.JPG", "--draw")
    assert (ran.code, ran.out) == (2, "")
    assert "Withheld by Ada" in ran.err
