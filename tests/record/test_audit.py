"""`faults` finds what was changed, and calls a whole file whole."""

from __future__ import annotations

import hashlib
import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.errors import Broken, Refusal
from siltline.job import Job, open_job
from siltline.job.acts import attach, tick
from siltline.job.add import add
from siltline.job.verifying import verify
from siltline.record.audit import faults
from support.pictures import photo
from support.records import by_hand


@pytest.fixture
def whole(job: Job, tmp_path: Path) -> Path:
    add(job, [photo(tmp_path)])
    attach(job, "gear-on/house", "IMG_0001.JPG")
    tick(job, "gear-on/house", by="Ada")
    job.close()
    assert faults(job.record.path) == []
    return job.record.path


def tampered(path: Path, *statements: str) -> list[str]:
    with by_hand(path) as connection:
        for statement in statements:
            connection.execute(statement)
    return faults(path)


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE event SET envelope = replace(envelope, 'Ada', 'Bob')", "changed after"),
        ("DELETE FROM event WHERE seq = 3", "removed"),
        ("UPDATE event SET id = upper(id) WHERE seq = 4", "changed after"),
        ("UPDATE photo SET data = zeroblob(length(data))", "no longer has the bytes"),
        ("UPDATE photo SET bytes = bytes + 1", "no longer has the bytes"),
        ("DELETE FROM photo", "not in the file"),
        ('DELETE FROM event WHERE envelope LIKE \'%"kind":"photo"%\'', "no entry"),
    ],
)
def test_a_change_by_sql_is_found(whole: Path, statement: str, told: str) -> None:
    assert any(told in fault for fault in tampered(whole, statement))


def test_an_event_that_is_valid_but_not_canonical_is_found(whole: Path) -> None:
    connection = sqlite3.connect(whole)
    (text,) = connection.execute("SELECT envelope FROM event ORDER BY seq DESC LIMIT 1").fetchone()
    connection.close()
    loose = text.replace('","', '", "')
    digest = hashlib.sha256(loose.encode()).hexdigest()
    found = tampered(
        whole,
        f"UPDATE event SET envelope = '{loose}', id = '{digest}' WHERE seq = "
        "(SELECT max(seq) FROM event)",
    )
    assert any("not in the form" in fault for fault in found)


def test_dropping_what_is_derived_changes_nothing(whole: Path) -> None:
    assert tampered(whole, "DELETE FROM derived_step", "DELETE FROM derived_photo") == []


def test_flipped_bits_in_the_photo_are_found(
    whole: Path, new_job: Callable[..., Job], tmp_path: Path
) -> None:
    raw = bytearray(whole.read_bytes())
    start = raw.index(b"\xff\xd8\xff")
    for offset in range(start, start + 600, 37):
        raw[offset] ^= 0x10
        whole.write_bytes(raw)
        assert faults(whole), offset
        raw[offset] ^= 0x10
    whole.write_bytes(raw)
    assert faults(whole) == []


@pytest.mark.parametrize("cut", [100, 5000, 20000])
def test_a_file_that_lost_its_end_is_told(whole: Path, cut: int) -> None:
    whole.write_bytes(whole.read_bytes()[:-cut])
    try:
        found = faults(whole)
    except Exception as fault:  # noqa: BLE001 - must be a sentence of ours
        assert type(fault).__module__ == "siltline.errors"  # noqa: PT017
    else:
        assert found


def spoilt(raw: bytes, rng: random.Random) -> bytes:
    """Return a file of which some sectors are zeros, rubbish, or those of elsewhere."""
    found, sectors = bytearray(raw), len(raw) // 512
    for _ in range(rng.choice((1, 3, 20))):
        at, other = 512 * rng.randrange(sectors), 512 * rng.randrange(sectors)
        found[at : at + 512] = rng.choice(
            (bytes(512), rng.randbytes(512), raw[other : other + 512])
        )
    return bytes(found)


@pytest.mark.parametrize("seeds", [40, pytest.param(10000, marks=pytest.mark.full)])
def test_whatever_is_spoilt_is_told_in_a_sentence(whole: Path, seeds: int) -> None:
    raw = whole.read_bytes()
    for seed in range(seeds):
        whole.write_bytes(spoilt(raw, random.Random(seed)))
        # verify reads each photo again in a process of its own: a tenth of a second
        for look in (faults, open_job) if seed % 25 else (faults, verify, open_job):
            try:
                found = look(whole)
            except Refusal:
                continue  # anything else fails the test
            if isinstance(found, Job):
                found.close()


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO event VALUES (99, NULL, NULL)",
        "INSERT INTO event VALUES (99, x'00', x'00')",
        "INSERT INTO event VALUES (99, 'a', CAST(x'7bff' AS TEXT))",
        "INSERT INTO photo VALUES (9, NULL, NULL, NULL)",
        "INSERT INTO photo VALUES (9, 7, 7, 7)",
        "INSERT INTO photo VALUES (9, 'a', 1, 'a')",
    ],
)
def test_rows_that_no_table_would_take_are_a_fault_and_no_riddle(
    whole: Path, statement: str
) -> None:
    """A damaged page gives what the table forbids: NULL, or text that is not UTF-8."""
    table = statement.split()[2]
    columns = {"event": "id, envelope", "photo": "sha256, bytes, data"}[table]
    loose = (
        "DROP VIEW acts",
        "DROP VIEW photos",
        f"ALTER TABLE {table} RENAME TO strict",
        f"CREATE TABLE {table} (seq INTEGER PRIMARY KEY, {columns})",
        f"INSERT INTO {table} SELECT * FROM strict",
        "DROP TABLE strict",
        statement,
    )
    try:
        found = tampered(whole, *loose)
    except Broken as fault:
        found = [str(fault)]
    assert found


@pytest.mark.parametrize("value", ["NULL", "7", "x'00'"])
def test_a_torn_list_of_what_is_withheld_is_a_fault(whole: Path, value: str) -> None:
    loose = ("DROP TABLE withheld", "CREATE TABLE withheld (sha256)")
    assert tampered(whole, *loose, f"INSERT INTO withheld VALUES ({value})")
