"""Files of earlier and later versions, of media that cannot be written to, and acts cut off.

Whatever happens in between, a job can be read, and what is shown is never half of an act.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from siltline.errors import Unreadable
from siltline.job import open_job
from siltline.job.acts import tick
from siltline.job.verifying import verify
from siltline.job.withholding import withhold
from siltline.record import connect as connecting
from siltline.record import upgrade as upgrading
from siltline.record.audit import faults
from siltline.record.connect import SCHEMA_VERSION
from support.command import Shell
from support.records import begun, tiny_job, told

DATA = Path(__file__).parents[1] / "data"
ROOT = Path(__file__).parents[2]
Ran = subprocess.CompletedProcess[str]


@pytest.fixture
def v1(tmp_path: Path) -> Path:
    (tmp_path / "old").mkdir()
    return Path(shutil.copy(DATA / "job-v1.siltline", tmp_path / "old" / "job.siltline"))


def version(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def told_by_sql(path: Path) -> dict[str, list[object]]:
    """Return the record without opening it as a job, which would bring it up."""
    with closing(sqlite3.connect(path)) as connection:
        return {
            table: connection.execute(f"SELECT * FROM {table} ORDER BY seq").fetchall()
            for table in ("event", "photo")
        }


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_file_of_version_1_is_brought_up_when_it_is_opened(v1: Path) -> None:
    was = told_by_sql(v1)
    assert version(v1) == 1
    job = open_job(v1)
    job.close()
    assert version(v1) == SCHEMA_VERSION
    assert told_by_sql(v1) == was
    assert verify(v1).faults == ()
    assert names(v1.parent) == ["job.siltline"], "the copy goes when it is done"
    again = open_job(v1)
    photo = next(iter(again.board.ledger.photos))
    withhold(again, photo, because="what version 1 could not do", by="Ada")
    again.close()
    assert verify(v1).faults == ()


class Stopped(BaseException):
    """A program is ended here."""


def watched(monkeypatch: pytest.MonkeyPatch, look: Callable[[str], None]) -> None:
    """Call `look` before each statement of an opening, and before what it does to files."""

    class Watched(sqlite3.Connection):
        def execute(self, sql: str, *args: object) -> sqlite3.Cursor:
            look(sql)
            return super().execute(sql, *args)

        def backup(self, target: sqlite3.Connection, **how: object) -> None:  # type: ignore[override]
            look("backup")
            super().backup(target, **how)  # type: ignore[arg-type]
            look("backup done")

    connect = sqlite3.connect
    unlink = Path.unlink

    def unlinked(path: Path, missing_ok: bool = False) -> None:
        look("unlink")
        unlink(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", unlinked)
    monkeypatch.setattr(sqlite3, "connect", lambda *a, **k: connect(*a, factory=Watched, **k))


def opening(path: Path) -> None:
    connecting.connect(path).close()


def steps_of(path: Path) -> list[str]:
    """Return the statements of an opening that brings a file up."""
    seen: list[str] = []
    with pytest.MonkeyPatch.context() as patched:
        watched(patched, seen.append)
        opening(path)
    return seen


def test_a_kill_at_any_statement_leaves_a_job_that_opens(v1: Path, tmp_path: Path) -> None:
    """The folder as it is before each statement is what a kill there would leave."""
    was = told_by_sql(v1)
    kept: list[Path] = []

    def look(_: str) -> None:
        kept.append(tmp_path / f"kill-{len(kept)}")
        shutil.copytree(v1.parent, kept[-1])

    with pytest.MonkeyPatch.context() as patched:
        watched(patched, look)
        opening(v1)
    assert len(kept) > 15
    midway = 0
    for folder in kept:
        path = folder / "job.siltline"
        midway += len(names(folder)) > 1
        assert told(path)["events"] == [(i, text) for _, i, text in was["event"]]
        assert version(path) == SCHEMA_VERSION
        assert faults(path) == []
        open_job(path).close()
        assert names(folder) == ["job.siltline"], folder
    assert midway > 5


@pytest.mark.parametrize("kind", [Stopped, sqlite3.OperationalError("disk I/O error"), OSError(28)])
def test_a_fault_at_any_statement_leaves_the_file_as_it_was_or_as_it_is_wanted(
    v1: Path, tmp_path: Path, kind: type[BaseException] | BaseException
) -> None:
    raw, was = v1.read_bytes(), told_by_sql(v1)
    count = len(steps_of(v1))
    for number in range(count):
        folder = tmp_path / f"fault-{number}"
        folder.mkdir()
        path = folder / "job.siltline"
        path.write_bytes(raw)
        left = [number]

        def look(_: str, left: list[int] = left) -> None:
            left[0] -= 1
            if left[0] == -1:
                raise kind

        with pytest.MonkeyPatch.context() as patched:
            watched(patched, look)
            try:
                opening(path)
            except (Stopped, Unreadable, OSError, sqlite3.OperationalError) as fault:
                assert fault  # noqa: PT017 - which one it is, is told elsewhere
        assert told_by_sql(path) == was
        assert version(path) in (1, SCHEMA_VERSION)
        assert faults(path) == []
        assert told(path)["events"] == [(i, text) for _, i, text in was["event"]]
        assert version(path) == SCHEMA_VERSION, "and the next opening brings it up"
        assert names(folder) == ["job.siltline"]


def test_a_copy_holds_the_file_as_it_was_until_it_is_brought_up(v1: Path) -> None:
    was = told_by_sql(v1)

    def look(sql: str) -> None:
        if sql.startswith("PRAGMA user_version ="):
            raise Stopped

    with pytest.MonkeyPatch.context() as patched:
        watched(patched, look)
        patched.setattr(upgrading, "_forget", lambda _: None)  # a kill runs no clean-up
        with pytest.raises(Stopped):
            opening(v1)
    copy = upgrading.copy_name(v1)
    assert (version(copy), version(v1)) == (1, 1)
    assert told_by_sql(copy) == was


@pytest.mark.parametrize("found", [SCHEMA_VERSION + 1, 99, 2**31 - 1])
def test_a_newer_file_is_refused_in_one_sentence_and_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], found: int
) -> None:
    path = tiny_job(tmp_path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {found}")
    raw = path.read_bytes()
    shell = Shell(capsys)
    for command in ("steps", "verify"):
        ran = shell(command, path)
        assert ran.code == 3
        assert ran.err.count("\n") == 1
        assert f"newer siltline (file version {found}, this program knows 2)" in ran.err
    assert path.read_bytes() == raw


@pytest.mark.parametrize("found", [0, -1, -(2**31)])
def test_a_version_that_never_was_is_damage(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], found: int
) -> None:
    path = tiny_job(tmp_path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {found}")
    ran = Shell(capsys)("steps", path)
    assert ran.code == 4
    assert "is damaged" in ran.err


def test_an_sqlite_that_is_too_old_is_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tiny_job(tmp_path)
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 36, 0))
    monkeypatch.setattr(sqlite3, "sqlite_version", "3.36.0")
    ran = Shell(capsys)("steps", path)
    assert ran.code == 3
    assert ran.err == (
        "This Python brings SQLite 3.36.0; siltline needs 3.37.0 or newer. "
        "Install a newer Python.\n"
    )


# media that cannot be written to


@pytest.fixture
def read_only() -> Iterator[Callable[..., Ran]]:
    """A function that runs a command on files in a folder which its user may only read.

    Rights do not bind root, so root runs it as another user.
    """
    if not hasattr(os, "geteuid"):
        pytest.skip("needs POSIX rights")
    user = {} if os.geteuid() else {"user": 65534, "group": 65534, "extra_groups": []}
    if user and subprocess.run([sys.executable, "-c", ""], check=False, **user).returncode:
        pytest.skip("this Python cannot be run by another user")
    folder = Path(tempfile.mkdtemp(prefix="siltline-media-"))  # pytest's own is for one user only
    env = {**os.environ, "PYTHONPATH": str(ROOT / "tui"), "SILTLINE_HOME": str(folder / "none")}

    def run(files: dict[str, bytes], *args: str) -> Ran:
        for name, raw in files.items():
            (folder / name).write_bytes(raw)
            (folder / name).chmod(0o444)
        folder.chmod(0o555)
        command = [sys.executable, "-m", "siltline", *args]
        how = {"capture_output": True, "text": True, "cwd": folder, "env": env}
        ran = subprocess.run(command, check=False, **how, **user)
        assert {path.name: path.read_bytes() for path in folder.iterdir()} == files
        folder.chmod(0o755)
        return ran

    yield run
    shutil.rmtree(folder)


@pytest.mark.parametrize("name", ["job-v1.siltline", "job-v2.siltline"])
def test_a_file_on_read_only_media_is_read_as_it_is(
    read_only: Callable[..., Ran], name: str
) -> None:
    files = {"job.siltline": (DATA / name).read_bytes()}
    verified = read_only(files, "verify", "job.siltline")
    assert verified.returncode == 0, verified.stdout + verified.stderr
    listed = read_only(files, "steps", "job.siltline", "--json")
    assert listed.returncode == 0
    assert '"documented"' in listed.stdout
    ticked = read_only(files, "tick", "job.siltline", "gear-on/house", "--by", "Ada")
    assert ticked.returncode == 3
    assert "cannot be written to" in ticked.stderr


def test_a_read_only_file_in_a_folder_that_is_not_leaves_no_copy_behind(
    v1: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = connecting.uri
    monkeypatch.setattr(connecting, "uri", lambda path, _: plain(path, "ro"))
    job = open_job(v1)
    assert job.board.steps
    job.close()
    assert version(v1) == 1
    assert names(v1.parent) == ["job.siltline"]


# an act that was cut off


@pytest.fixture
def cut_off(tmp_path: Path) -> tuple[dict[str, bytes], dict[str, object]]:
    """A job and its journal as a power cut leaves them in the middle of an act, and what it was.

    With a cache of one page, SQLite writes pages of an unfinished act into the file.
    """
    job = begun(tmp_path)
    tick(job, "power-off/house", by="Ada")
    job.close()
    path = job.record.path
    was = told(path)
    writer = sqlite3.connect(path, isolation_level=None)
    writer.execute("PRAGMA cache_size = 1")
    writer.execute("BEGIN IMMEDIATE")
    for number in range(300):
        row = (f"{number:064x}", "half of an act " * 300)
        writer.execute("INSERT INTO event (id, envelope) VALUES (?, ?)", row)
    files = {
        name: (tmp_path / name).read_bytes() for name in ("job.siltline", "job.siltline-journal")
    }
    writer.execute("ROLLBACK")
    writer.close()
    assert b"half of an act" in files["job.siltline"], "pages were written before the end"
    return files, was


def test_half_an_act_is_taken_back_where_the_file_can_be_written(
    cut_off: tuple[dict[str, bytes], dict[str, object]], tmp_path: Path
) -> None:
    files, was = cut_off
    folder = tmp_path / "after"
    folder.mkdir()
    for name, raw in files.items():
        (folder / name).write_bytes(raw)
    assert told(folder / "job.siltline") == was
    assert verify(folder / "job.siltline").faults == ()
    assert names(folder) == ["job.siltline"]


def test_half_an_act_on_read_only_media_is_never_shown(
    cut_off: tuple[dict[str, bytes], dict[str, object]], read_only: Callable[..., Ran]
) -> None:
    files, _ = cut_off
    for command in ("steps", "verify", "review", "photos"):
        ran = read_only(files, command, "job.siltline")
        assert ran.returncode == 3, ran.stdout
        assert ran.stdout == ""
        assert ran.stderr.count("\n") == 1
        assert "Copy it together with job.siltline-journal" in ran.stderr


def test_half_an_act_whose_journal_was_left_behind_is_found(
    cut_off: tuple[dict[str, bytes], dict[str, object]], tmp_path: Path
) -> None:
    """Whoever copies the file alone takes pages of an act that never was."""
    files, _ = cut_off
    alone = tmp_path / "alone.siltline"
    alone.write_bytes(files["job.siltline"])
    assert verify(alone).faults
