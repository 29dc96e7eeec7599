"""Exit codes: 0 fine, 1 findings, 2 wrong use, 3 locked or unreadable, 4 integrity broken.

Whatever is wrong is said in one sentence on stderr, without a traceback, and nothing is lost.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from support.command import Ran, Shell

ROOT = Path(__file__).parents[2]


def sentence(ran: Ran) -> str:
    """Return what a command said, after checking that it is no traceback and not on stdout."""
    assert ran.out == ""
    assert "Traceback" not in ran.err
    assert "siltline itself made a mistake" not in ran.err
    assert ran.err.strip()
    return ran.err


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["stepz"], "did you mean 'steps'"),
        (["tick"], "Missing argument"),
        (["steps", "JOB", "--nonsense"], "No such option"),
        (["tick", "JOB", "gear-on/house"], "--by"),
        (["tick", "JOB", "gear-on/hose", "--by", "Ada"], "did you mean 'gear-on/house'"),
        (["tick", "JOB", "gear-on/house", "--by", "Ada", "--value", "12"], "unit"),
        (["attach", "JOB", "gear-on/house", "nothing.jpg"], "no photo"),
        (["begin", "HOUSE", "JOB"], "there already"),
        (["begin", "no-such.yaml", "other"], "no-such.yaml"),
        (["begin", "HOUSE", "other", "--checklist", "river-flod"], "did you mean 'river-flood'"),
        (["rules", "check", "nowhere"], "There is no nowhere"),
        (["begin", "HOUSE", ""], "Name the job file"),
        (["begin", "HOUSE", "no/such/folder/job"], "no folder"),
    ],
)
def test_wrong_use_is_2(shell: Shell, path: Path, sheet: Path, args: list[str], told: str) -> None:
    words = {"JOB": str(path), "HOUSE": str(sheet)}
    before = path.read_bytes()
    ran = shell(*[words.get(arg, arg) for arg in args])
    assert ran.code == 2
    assert told in sentence(ran)
    assert path.read_bytes() == before


def test_a_faulty_sheet_is_2_with_every_fault_and_its_line(
    shell: Shell, sheet: Path, tmp_path: Path
) -> None:
    sheet.write_text(
        "house: X\nrooms:\n  a: {name: A, watreline: 3 in}\nwals: {}\n", encoding="utf-8"
    )
    ran = shell("begin", sheet, tmp_path / "j")
    assert ran.code == 2
    assert "house.yaml:3:16: 'watreline' is not known here; did you mean 'waterline'?" in ran.err
    assert "house.yaml:4:1: 'wals' is not known here; did you mean 'walls'?" in ran.err
    assert not (tmp_path / "j.siltline").exists()


def test_a_blocked_step_is_1_and_says_what_it_waits_for(shell: Shell, path: Path) -> None:
    ran = shell("tick", path, "prove-dead/circuit-4", "--by", "Ada")
    assert ran.code == 1
    assert "power-off/house" in sentence(ran)


def newer(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()


BAD_JOBS = {
    "missing": (lambda path: path.unlink(), "There is no"),
    "empty": (lambda path: path.write_bytes(b""), "0 bytes"),
    "text": (
        lambda path: path.write_text("house: X\n" * 100, encoding="utf-8"),
        "not a siltline job",
    ),
    "another database": (
        lambda path: (path.unlink(), sqlite3.connect(path).execute("CREATE TABLE a (b)")),
        "not a siltline job",
    ),
    "newer": (newer, "newer siltline"),
    "a folder": (lambda path: (path.unlink(), path.mkdir()), "is a folder"),
}


@pytest.mark.parametrize("kind", BAD_JOBS)
@pytest.mark.parametrize("command", ["steps", "review", "verify", "photos", "undo", "open"])
def test_a_file_that_is_no_job_of_ours_is_3(
    shell: Shell, path: Path, kind: str, command: str
) -> None:
    spoil, told = BAD_JOBS[kind]
    spoil(path)
    ran = shell(command, path)
    assert ran.code == 3
    assert told in sentence(ran)


def test_a_locked_job_is_3(shell: Shell, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("siltline.record.connect._SETTINGS", ("PRAGMA busy_timeout = 20",))
    monkeypatch.setattr("siltline.record.connect.BUSY_MS", 20)
    blocker = sqlite3.connect(path, isolation_level=None)
    blocker.execute("BEGIN EXCLUSIVE")
    ran = shell("tick", path, "gear-on/house", "--by", "Ada")
    blocker.close()
    assert ran.code == 3
    assert "locked" in sentence(ran)


def test_a_job_whose_record_was_changed_is_4_for_verify(shell: Shell, path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("DROP TRIGGER event_stays")
    connection.execute("UPDATE event SET envelope = replace(envelope, 'Test house', 'Best house')")
    connection.commit()
    connection.close()
    ran = shell("verify", path, "--json")
    assert ran.code == 4
    assert ran.json["whole"] is False
    assert "changed after it was written" in ran.json["faults"][0]


def test_a_file_whose_pages_are_torn_is_4_for_verify(shell: Shell, path: Path) -> None:
    raw = bytearray(path.read_bytes())
    for start in range(16384, len(raw), 4096):
        raw[start : start + 64] = os.urandom(64)
    path.write_bytes(raw)
    ran = shell("verify", path, "--json")
    assert ran.code == 4
    assert ran.json["faults"]
    assert "Traceback" not in ran.err


@pytest.fixture
def as_nobody(path: Path, sheet: Path) -> Iterator[Callable[..., subprocess.CompletedProcess[str]]]:
    """Run commands as a user without rights, in a folder with `job.siltline` and `house.yaml`.

    Rights do not bind root, so root runs them as another user.
    """
    if not hasattr(os, "geteuid"):
        pytest.skip("needs POSIX rights")
    user = {} if os.geteuid() else {"user": 65534, "group": 65534, "extra_groups": []}
    if user and subprocess.run([sys.executable, "-c", ""], check=False, **user).returncode:
        pytest.skip("this Python cannot be run by another user")
    folder = Path(tempfile.mkdtemp(prefix="siltline-rights-"))  # pytest's own is for one user only
    shutil.copy(path, folder / "job.siltline")
    shutil.copy(sheet, folder / "house.yaml")
    (folder / "job.siltline").chmod(0o444)
    folder.chmod(0o555)
    env = {**os.environ, "PYTHONPATH": str(ROOT / "tui"), "SILTLINE_HOME": str(folder / "none")}

    def run(*args: object) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "siltline", *map(str, args)]
        how = {"capture_output": True, "text": True, "cwd": folder, "env": env}
        return subprocess.run(command, check=False, **how, **user)

    yield run
    folder.chmod(0o755)
    shutil.rmtree(folder)


def test_a_read_only_folder_can_be_read_and_says_so_when_written(
    as_nobody: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    assert as_nobody("steps", "job.siltline").returncode == 0
    assert as_nobody("verify", "job.siltline").returncode == 0
    ticked = as_nobody("tick", "job.siltline", "gear-on/house", "--by", "Ada")
    assert ticked.returncode == 3
    assert "cannot be written to" in ticked.stderr
    begun = as_nobody("begin", "house.yaml", "new")
    assert begun.returncode == 3
    assert "could not be made" in begun.stderr or "cannot be opened" in begun.stderr
    for folder in ("claim", "tour"):
        told = (
            as_nobody("claim", "job.siltline", folder)
            if folder == "claim"
            else as_nobody("tour", "--into", folder)
        )
        assert told.returncode == 3
        assert "nothing was left behind" in told.stderr
    assert "Traceback" not in ticked.stderr + begun.stderr


def test_a_job_that_one_may_not_even_see_is_3(
    as_nobody: Callable[..., subprocess.CompletedProcess[str]], path: Path
) -> None:
    path.parent.chmod(0o700)
    ran = as_nobody("steps", path)
    assert ran.returncode == 3
    assert "cannot be opened" in ran.stderr


def test_a_reader_that_goes_away_is_no_fault(path: Path) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT / "tui")}
    command = [sys.executable, "-m", "siltline", "steps", str(path), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=env) as ran:
        assert ran.stdout is not None
        assert ran.stderr is not None
        ran.stdout.close()
        assert b"Traceback" not in ran.stderr.read()


def test_a_fault_of_ours_is_noted_down_and_told_in_one_sentence(
    shell: Shell, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("siltline.job.tell.step", broken)
    ran = shell("steps", path, "--json")
    assert ran.code == 3
    assert "siltline itself made a mistake" in ran.err
    note = Path(ran.err.strip().rsplit(" in ", 1)[1])
    assert "ZeroDivisionError" in note.read_text(encoding="utf-8")
