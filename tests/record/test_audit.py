"""`faults` finds what was changed, and calls a whole file whole."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.job import Job
from siltline.job.acts import attach, tick
from siltline.job.add import add
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
