"""Who changes a job by SQL is found out: by `verify`, or by the record number of a hand-off.

The last test is the one that hashes alone do not win: whoever rebuilds all that was written upon
a changed entry has a file that contradicts nothing. What left the laptop before, a number or a
copy, tells.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.claim.folder import write_claim
from siltline.job import open_job
from siltline.job.acts import tick
from siltline.job.add import add
from siltline.job.merge import merge
from siltline.job.second_copy import choose
from siltline.job.verifying import NUMBERED, verify
from siltline.record.envelope import canonical, name
from siltline.record.number import record_number
from support.command import Shell
from support.pictures import photo
from support.records import begun, by_hand, resealed, tiny_job, told

Tamper = Callable[[sqlite3.Connection], object]


def run(*statements: str) -> Tamper:
    return lambda connection: [connection.execute(statement) for statement in statements]


def swap_photos(connection: sqlite3.Connection) -> None:
    """Put the bytes of each photo under the hash of the other."""
    rows = connection.execute("SELECT seq, bytes, data FROM photo").fetchall()
    for (seq, _, _), (_, size, data) in zip(rows, reversed(rows), strict=True):
        row = (size, data, seq)
        connection.execute("UPDATE photo SET bytes = ?, data = ? WHERE seq = ?", row)


def new_facts(connection: sqlite3.Connection) -> None:
    """Make the table say that the photos were taken on another day."""
    connection.execute(
        "UPDATE derived_photo SET facts = replace(facts, '2026:03:12', '2026:03:19')"
    )


def reseal_one(connection: sqlite3.Connection, seq: int, change: dict[str, object]) -> None:
    """Change an entry and give it the hash that fits, as somebody does who knows of hashes."""
    (text,) = connection.execute("SELECT envelope FROM event WHERE seq = ?", (seq,)).fetchone()
    new = canonical({**json.loads(text), **change})
    row = (new, name(new), seq)
    connection.execute("UPDATE event SET envelope = ?, id = ? WHERE seq = ?", row)


def second_root(connection: sqlite3.Connection) -> None:
    (seq,) = connection.execute("SELECT max(seq) FROM event").fetchone()
    reseal_one(connection, seq, {"parents": []})


# what is done -> how, and the words that name it
EDITS: dict[str, tuple[Tamper, str]] = {
    "a time changed": (
        run("UPDATE event SET envelope = replace(envelope, '-03-12', '-03-11') WHERE seq = 9"),
        "Entry 9 of the record was changed after it was written",
    ),
    "a name changed": (
        run("UPDATE event SET envelope = replace(envelope, '\"Ada\"', '\"Bob\"')"),
        "Entry 3 of the record was changed after it was written",
    ),
    "a name changed, and its hash": (
        lambda connection: reseal_one(connection, 7, {"by": "Bob"}),
        "Entry 8 of the record was written upon an entry that is not here",
    ),
    "an entry removed from the middle": (
        run("DELETE FROM event WHERE seq = 7"),
        "Entry 8 of the record was written upon an entry that is not here",
    ),
    "the first entry removed": (
        run("DELETE FROM event WHERE seq = 1"),
        "Entry 2 of the record was written upon an entry that is not here",
    ),
    "entries in another order": (
        run(
            "UPDATE event SET seq = 1000 WHERE seq = 5",
            "UPDATE event SET seq = 5 WHERE seq = 6",
            "UPDATE event SET seq = 6 WHERE seq = 1000",
        ),
        "Entry 5 of the record was written upon an entry that is not here",
    ),
    "photos swapped": (swap_photos, "no longer has the bytes that were taken in"),
    "a photo removed": (
        run("DELETE FROM photo WHERE seq = 1"),
        "is named by the record but its bytes are not in the file",
    ),
    "a photo slipped in": (
        run("INSERT INTO photo (sha256, bytes, data) SELECT 'no hash', 0, x''"),
        "no longer has the bytes that were taken in",
    ),
    "a withheld photo listed that nobody withheld": (
        run("INSERT INTO withheld SELECT sha256 FROM photo WHERE seq = 1"),
        "The list of withheld photos and the record differ",
    ),
    "a withheld photo let back in": (
        run("DELETE FROM withheld"),
        "The list of withheld photos and the record differ",
    ),
    "a step made documented": (
        run("UPDATE derived_step SET state = 'documented' WHERE state <> 'documented'"),
        "The step table says something else than the record",
    ),
    "a step removed from the table": (
        run("DELETE FROM derived_step WHERE step = 'walk/house'"),
        "The step table says something else than the record, at walk/house",
    ),
    "photos made to be of another day": (
        new_facts,
        "The photo table says something else than the bytes",
    ),
    "a view that tells another story": (
        run(
            "DROP VIEW steps",
            "CREATE VIEW steps AS SELECT step, 'documented' AS state FROM derived_step",
        ),
        "steps, a part of the file that siltline makes",
    ),
    "a second history": (
        second_root,
        "starts a second history in the same file",
    ),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tiny_job(tmp_path_factory.mktemp("made"))


@pytest.fixture
def path(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(made, tmp_path))


@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_is_found_and_the_first_bad_thing_is_named(
    path: Path, edit: str, capsys: pytest.CaptureFixture[str]
) -> None:
    how, words = EDITS[edit]
    with by_hand(path) as connection:
        how(connection)
    ran = Shell(capsys)("verify", path)
    assert ran.code == 4
    assert words in ran.out.splitlines()[0]
    assert "The file is not whole" in ran.out
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("guard", ["event_stays", "event_kept", "photo_kept", "withheld_stays"])
def test_a_guard_that_was_taken_away_is_missed(path: Path, guard: str) -> None:
    connection = sqlite3.connect(path)
    connection.execute(f"DROP TRIGGER {guard}")
    connection.close()
    assert any(guard in fault for fault in verify(path).faults)


def test_a_trigger_that_was_added_is_found(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute(
        "CREATE TRIGGER quiet AFTER INSERT ON event BEGIN DELETE FROM derived_about; END"
    )
    connection.close()
    assert any("quiet" in fault for fault in verify(path).faults)


@pytest.mark.parametrize("table", ["derived_step", "derived_photo", "derived_about"])
def test_what_is_derived_may_be_dropped_and_is_no_fault(path: Path, table: str) -> None:
    was = told(path)
    connection = sqlite3.connect(path)
    connection.execute(f"DROP TABLE {table}")
    connection.close()
    assert verify(path).faults == ()
    assert told(path)["events"] == was["events"]
    assert told(path)["states"] == was["states"]


def test_a_claim_takes_nothing_from_an_edited_table(path: Path, tmp_path: Path) -> None:
    shell_out = tmp_path / "claim"
    with by_hand(path) as connection:
        new_facts(connection)
    job = open_job(path)
    write_claim(job, shell_out)
    job.close()
    table = (shell_out / "photos.csv").read_text(encoding="utf-8-sig")
    assert "2026:03:12" in table
    assert "2026:03:19" not in table
    assert verify(path).faults == (), "and the table is right again"


def test_tables_that_cannot_be_read_stop_no_command(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with by_hand(path) as connection:
        connection.execute("UPDATE derived_photo SET facts = '{' || facts")
    shell = Shell(capsys)
    ran = shell("photos", path, "--json")
    assert ran.code == 0, ran.err
    assert {p["stamp"] for p in ran.json if not p["withheld"]} == {"2026:03:12 07:30:00"}


# what only a number or a copy can tell


def numbers_of(path: Path) -> list[str]:
    job = open_job(path)
    found = [record_number(e.id) for e in job.record.events if e.kind in NUMBERED]
    job.close()
    return found


def without_last(path: Path) -> None:
    with by_hand(path) as connection:
        connection.execute("DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)")
        connection.execute("DELETE FROM derived_about")
        connection.execute("DELETE FROM derived_step")


def test_a_last_entry_that_was_removed_is_known_by_the_number_alone(path: Path) -> None:
    """Nothing was written upon it, so nothing in the file misses it: here the hand-off itself."""
    (number,) = numbers_of(path)
    without_last(path)
    assert verify(path).faults == ()
    assert verify(path, number).number == "other"


def test_a_last_entry_that_was_removed_with_its_table_kept_is_found(path: Path) -> None:
    """The step table says upon which entry it was made."""
    with by_hand(path) as connection:
        connection.execute("DELETE FROM event WHERE seq = (SELECT max(seq) FROM event)")
    assert any("made upon an entry that is not here" in fault for fault in verify(path).faults)


def test_a_last_entry_that_was_removed_comes_back_from_the_second_copy(tmp_path: Path) -> None:
    job = begun(tmp_path)
    (tmp_path / "drive").mkdir()
    choose(job.record, tmp_path / "drive")
    job.follow_copy()
    add(job, [photo(tmp_path)])
    tick(job, "power-off/house", by="Ada")
    job.close()
    path, copy = job.record.path, tmp_path / "drive" / "job.siltline"
    was = told(path)
    without_last(path)
    assert len(told(path)["events"]) == len(was["events"]) - 1
    assert told(copy)["events"] == was["events"]
    merge([copy], path)[0].close()
    assert told(path)["events"] == was["events"]
    assert told(path)["states"] == was["states"]


@pytest.mark.parametrize("seq", [1, 2, 5, 8])
def test_a_record_rebuilt_from_the_middle_passes_verify_but_not_the_number(
    path: Path, seq: int, capsys: pytest.CaptureFixture[str]
) -> None:
    (number,) = numbers_of(path)
    assert verify(path, number).number == "exact"
    resealed(path, seq, {"at": "2026-03-12T07:00:00.000-05:00"})
    assert verify(path).faults == (), "the forger left no contradiction"
    assert len(numbers_of(path)) == 1
    ran = Shell(capsys)("verify", path, "--number", number)
    assert ran.code == 4
    assert "It is not the record of that number" in ran.out
    assert numbers_of(path) != [number]


def test_a_number_fixes_what_came_before_it_and_not_what_comes_after(path: Path) -> None:
    (number,) = numbers_of(path)
    job = open_job(path)
    tick(job, "power-off/house", by="Cleo")
    last = len(job.record.events)
    job.close()
    resealed(path, last, {"by": "Bob"})
    assert verify(path, number).number == "more"


def test_a_rebuilt_record_is_refused_by_its_own_second_copy(path: Path, tmp_path: Path) -> None:
    """The begin entry names the job: a history rebuilt from there is another job."""
    drive = tmp_path / "drive"
    drive.mkdir()
    shutil.copy(path, drive)
    resealed(path, 1, {"by": "Bob"})
    job = open_job(path)
    choose(job.record, drive)
    job.follow_copy()
    assert job.copy_state is not None
    assert "another job" in job.copy_state.because
    job.close()
