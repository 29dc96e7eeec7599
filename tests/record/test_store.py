"""One act is one transaction: all of it is kept or nothing, and everyone's acts are seen first."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from siltline.errors import Broken, Unreadable, WrongUse
from siltline.record import Record, open_record, seal
from siltline.record.audit import faults
from siltline.record.envelope import heads
from siltline.record.making import make_record

STAMP = {"at": "2026-03-12T08:00:00.000-05:00", "device": "aa", "by": "Ada"}
TUI = Path(__file__).parents[2] / "tui"


@pytest.fixture
def record(tmp_path: Path) -> Record:
    path = tmp_path / "a.siltline"
    make_record(path, [seal("begun", {}, parents=(), **STAMP)])
    record = open_record(path)
    yield record
    record.close()


def append(record: Record, n: int) -> str:
    with record.writing():
        return record.append("note", {"n": n}, **STAMP).id


def test_each_event_is_written_upon_the_newest(record: Record) -> None:
    first = append(record, 1)
    second = append(record, 2)
    assert record.events[-1].parents == (first,)
    assert record.heads == {second}
    assert heads(record.events) == (second,)


def test_two_programs_write_upon_each_other(record: Record) -> None:
    other = open_record(record.path)
    theirs = append(other, 1)
    ours = append(record, 2)
    assert record.events[-1].parents == (theirs,)
    assert other.touched_by_others()
    assert other.refresh() == 1
    assert other.events[-1].id == ours
    assert not other.touched_by_others()
    other.close()


def test_an_act_that_fails_leaves_nothing_on_disk_or_in_memory(record: Record) -> None:
    before = list(record.events), set(record.heads)

    def act() -> None:
        with record.writing():
            record.append("note", {"n": 1}, **STAMP)
            record.keep_photo("0" * 64, b"x")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        act()
    assert (record.events, record.heads) == before
    assert record.refresh() == 0
    append(record, 2)
    assert faults(record.path) == []


def test_a_locked_file_says_so_and_records_nothing(
    record: Record, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocker = sqlite3.connect(record.path, isolation_level=None)
    blocker.execute("BEGIN IMMEDIATE")
    record.connection.execute("PRAGMA busy_timeout = 20")
    with pytest.raises(Unreadable, match="locked"):
        append(record, 1)
    blocker.execute("ROLLBACK")
    blocker.close()
    append(record, 2)
    assert [e.body.get("n") for e in record.events[1:]] == [2]


def test_a_full_disk_says_so_and_work_goes_on_after_space_is_made(record: Record) -> None:
    (pages,) = record.connection.execute("PRAGMA page_count").fetchone()
    record.connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(Unreadable, match="full"), record.writing():
        record.keep_photo("1" * 64, bytes(1_000_000))
    record.connection.execute("PRAGMA max_page_count = 1000000")
    append(record, 1)
    assert faults(record.path) == []


class Failing:
    """A connection whose COMMIT arrives, and then says that it failed."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection

    def __getattr__(self, name: str) -> object:
        return getattr(self.connection, name)

    def execute(self, statement: str, *values: object) -> sqlite3.Cursor:
        found = self.connection.execute(statement, *values)
        if statement == "COMMIT":
            fault = sqlite3.OperationalError("disk I/O error")
            fault.sqlite_errorname = "SQLITE_IOERR_FSYNC"
            raise fault
        return found


def test_an_act_that_arrived_although_the_drive_gave_an_error_is_told_as_that(
    record: Record,
) -> None:
    """As when the journal was emptied and that could not be synced: SQLite reports an error."""
    sound = record.connection
    record.connection = Failing(sound)  # type: ignore[assignment]
    with pytest.raises(Unreadable, match="may be in the file all the same"):
        append(record, 1)
    record.connection = sound
    assert [e.body.get("n") for e in record.events[1:]] == []
    append(record, 2)
    assert [e.body.get("n") for e in record.events[1:]] == [1, 2]
    assert faults(record.path) == []


@pytest.mark.parametrize("table", ["event", "photo"])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {table} SET seq = seq + 10",
        "DELETE FROM {table}",
        "REPLACE INTO {table} SELECT * FROM {table}",
        "INSERT INTO {table} SELECT * FROM {table}",
    ],
)
def test_rows_are_never_changed_removed_or_replaced(
    record: Record, table: str, statement: str
) -> None:
    with record.writing():
        record.keep_photo("2" * 64, b"x")
    with pytest.raises(sqlite3.IntegrityError, match="never"):
        record.connection.execute(statement.format(table=table))


def test_closing_leaves_exactly_one_file(record: Record) -> None:
    append(record, 1)
    record.close()
    assert [p.name for p in record.path.parent.iterdir()] == ["a.siltline"]
    record.connection = sqlite3.connect(":memory:")  # for the fixture to close


def test_photo_bytes_are_checked_on_the_way_out(record: Record) -> None:
    with pytest.raises(WrongUse, match="no photo"):
        record.photo_bytes("3" * 64)
    with record.writing():
        record.keep_photo("3" * 64, b"not what has this hash")
    with pytest.raises(Broken, match="no longer has the bytes"):
        record.photo_bytes("3" * 64)


_WRITER = """
import sys
sys.path.insert(0, {tui!r})
from pathlib import Path
from siltline.record import open_record
record = open_record(Path({path!r}))
n = 0
while True:
    with record.writing():
        record.append("note", {{"n": n}}, at="2026-03-12T08:00:00.000-05:00", device="aa", by=None)
    print(n, flush=True)
    n += 1
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")
@pytest.mark.parametrize("acknowledged", [1, 7, 40])
def test_a_killed_program_loses_no_act_that_it_acknowledged(
    record: Record, acknowledged: int
) -> None:
    record.close()
    script = textwrap.dedent(_WRITER).format(tui=str(TUI), path=str(record.path))
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        for _ in range(acknowledged):
            writer.stdout.readline()
        writer.kill()
        rest = writer.stdout.read().split()
    again = open_record(record.path)
    kept = [event.body["n"] for event in again.events if event.kind == "note"]
    assert kept == list(range(len(kept)))
    assert len(kept) >= acknowledged + len(rest)
    assert faults(record.path) == []
    record.connection = again.connection
