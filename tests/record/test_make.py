"""A job file appears whole under its name or not at all, and replaces nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline.errors import Unreadable, WrongUse
from siltline.record import open_record, seal
from siltline.record.connect import APPLICATION_ID, SCHEMA_VERSION
from siltline.record.making import make_record

BEGUN = seal("begun", {}, parents=(), at="2026-03-12T08:00:00.000Z", device="aa", by=None)


def test_a_new_file_names_its_application_and_version(tmp_path: Path) -> None:
    make_record(tmp_path / "a.siltline", [BEGUN])
    record = open_record(tmp_path / "a.siltline")
    ask = record.connection.execute
    assert ask("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
    assert ask("PRAGMA user_version").fetchone() == (SCHEMA_VERSION,)
    assert ask("PRAGMA synchronous").fetchone() == (2,)  # FULL
    assert ask("PRAGMA journal_mode").fetchone() == ("truncate",)
    assert [event.id for event in record.events] == [BEGUN.id]
    record.close()
    assert [p.name for p in tmp_path.iterdir()] == ["a.siltline"]


@pytest.mark.parametrize("there", ["file", "folder", "dangling link"])
def test_nothing_that_is_there_is_replaced(tmp_path: Path, there: str) -> None:
    path = tmp_path / "a.siltline"
    if there == "file":
        path.write_text("mine", encoding="utf-8")
    elif there == "folder":
        path.mkdir()
    else:
        path.symlink_to(tmp_path / "nowhere")
    with pytest.raises(WrongUse, match="there already"):
        make_record(path, [BEGUN])
    assert [p.name for p in tmp_path.iterdir()] == ["a.siltline"]


def test_a_name_taken_in_the_meantime_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.siltline"
    monkeypatch.setattr(
        "siltline.record.making._fill", lambda part, _: (part.touch(), path.write_text("theirs"))
    )
    with pytest.raises(WrongUse, match="there already"):
        make_record(path, [BEGUN])
    assert path.read_text(encoding="utf-8") == "theirs"
    assert [p.name for p in tmp_path.iterdir()] == ["a.siltline"]


def test_a_folder_that_is_not_there_is_told_and_nothing_is_left(tmp_path: Path) -> None:
    with pytest.raises(Unreadable):
        make_record(tmp_path / "no" / "a.siltline", [BEGUN])
    assert list(tmp_path.iterdir()) == []


def test_a_fault_half_way_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_: object, __: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", fail)
    with pytest.raises(Unreadable, match="No space left"):
        make_record(tmp_path / "a.siltline", [BEGUN])
    assert list(tmp_path.iterdir()) == [], "nor the empty file that took the name"


def test_a_folder_that_cannot_be_synced_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: object) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("siltline.record.making.sync_folder", fail)
    with pytest.raises(Unreadable, match="nothing was left behind"):
        make_record(tmp_path / "a.siltline", [BEGUN])
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_taken_away_again_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("pathlib.Path.replace", fail)
    monkeypatch.setattr("pathlib.Path.unlink", fail)
    with pytest.raises(Unreadable, match=r"delete a\.siltline"):
        make_record(tmp_path / "a.siltline", [BEGUN])
