"""A photo is opened by the system from a private copy under a name of ours, which goes again."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from siltline.errors import NotNow, Unreadable
from siltline.job import Job, viewing
from siltline.job.add import add
from siltline.job.sketching import small
from siltline.job.viewing import Viewer, ending, open_by_system, opener
from support.pictures import photo

SHA256 = "ab" * 32


def programs(folder: Path, monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    folder.mkdir()
    for name in names:
        (folder / name).touch(mode=0o755)
    monkeypatch.setenv("PATH", str(folder))


@pytest.mark.skipif(sys.platform == "win32", reason="Windows opens by a call of its own")
def test_each_system_has_its_program_and_none_is_started_where_nobody_sees_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    programs(tmp_path / "bin", monkeypatch, "open", "xdg-open")
    assert opener("darwin", {}) == str(tmp_path / "bin" / "open")
    assert opener("linux", {"DISPLAY": ":0"}) == str(tmp_path / "bin" / "xdg-open")
    assert opener("linux", {"WAYLAND_DISPLAY": "w"}) == str(tmp_path / "bin" / "xdg-open")
    assert opener("linux", {"DISPLAY": ""}) == ""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert opener("linux", {"DISPLAY": ":0"}) == ""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows opens by a call of its own")
def test_the_program_gets_the_name_as_one_word_and_no_shell_reads_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[tuple[list[str], dict[str, Any]]] = []
    monkeypatch.setattr(subprocess, "Popen", lambda words, **how: started.append((words, how)))
    monkeypatch.setattr(viewing, "opener", lambda *_: "/bin/viewer")
    open_by_system(tmp_path / "a b;c.jpg")
    ((words, how),) = started
    assert words == ["/bin/viewer", str(tmp_path / "a b;c.jpg")]
    assert not how.get("shell")
    monkeypatch.setattr(viewing, "opener", lambda *_: "")
    with pytest.raises(NotNow, match="no viewer here"):
        open_by_system(tmp_path / "a.jpg")


def test_the_copy_has_the_bytes_and_a_plain_name_and_goes_at_the_end() -> None:
    seen: list[Path] = []
    with Viewer(seen.append) as viewer:
        path = viewer.show(SHA256, b"bytes", "HEIF")
        assert seen == [path]
        assert path.name == "photo-abababababababab.heic"
        assert path.read_bytes() == b"bytes"
        if os.name != "nt":
            assert path.parent.stat().st_mode & 0o077 == 0
    assert not path.parent.exists()


def test_what_cannot_be_written_or_opened_is_told_in_a_sentence() -> None:
    def fails(_: Path) -> None:
        raise OSError(28, "No space left on device")

    with Viewer(fails) as viewer, pytest.raises(NotNow, match="No space left"):
        viewer.show(SHA256, b"bytes", "JPEG")


def test_a_format_gives_the_ending_never_the_name_of_the_camera() -> None:
    found = [ending(form) for form in ("JPEG", "MPO", "PNG", "TIFF", "HEIF", "EXE", None)]
    assert found == ["jpg", "jpg", "png", "tif", "heic", "bin", "bin"]


def test_a_photo_of_a_file_to_be_read_only_is_drawn_all_the_same(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(job, [photo(tmp_path, size=(64, 48))])
    (sha256,) = job.board.ledger.photos

    def refuses() -> None:
        raise Unreadable("read-only")

    monkeypatch.setattr(job.record, "writing", refuses)
    assert small(job, sha256).startswith(b"\xff\xd8")
