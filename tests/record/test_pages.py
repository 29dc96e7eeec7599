"""Rows read from raw pages are the rows that SQLite itself reads, whatever their size."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from siltline.record.pages import index_pages, page_size, rows

# sizes about every border of the format: in the page, partly in it, one page more, many
SIZES = st.one_of(st.integers(0, 300), st.integers(400, 1100), st.integers(3900, 40_000))
VALUES = st.one_of(
    st.none(),
    st.integers(-(2**63), 2**63 - 1),
    st.sampled_from([0, 1, 127, 128, -128, 2**15, 2**23, 2**31, 2**47]),
    SIZES.map(lambda n: "\u00e9" * n),
    SIZES.map(lambda n: bytes(range(256)) * (n // 256) + b"x" * (n % 256)),
)


def made(path: Path, page: int, table: list[tuple[object, object]]) -> bytes:
    path.unlink(missing_ok=True)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA page_size = {page}")
        connection.execute("CREATE TABLE t (seq INTEGER PRIMARY KEY, a, b)")
        connection.execute("CREATE INDEX i ON t (a)")
        connection.executemany("INSERT INTO t (a, b) VALUES (?, ?)", table)
        connection.commit()
    return path.read_bytes()


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=25
)
@given(st.sampled_from([512, 1024, 16384, 65536]), st.lists(st.tuples(VALUES, VALUES), max_size=40))
def test_rows_and_index_are_what_sqlite_reads(
    tmp_path: Path, page: int, table: list[tuple[object, object]]
) -> None:
    raw = made(tmp_path / "t", page, table)
    assert page_size(raw, 7) == page
    found = sorted(rows(raw, page), key=lambda row: row[0])
    assert found == [(n, [None, a, b]) for n, (a, b) in enumerate(table, 1)]
    entries = [(entry[1], entry[0]) for one in index_pages(raw, page) for entry in one]
    assert sorted(entries, key=lambda e: e[0]) == [(n, a) for n, (a, _) in enumerate(table, 1)]


@pytest.mark.parametrize("page", [512, 16384])
@given(where=st.integers(0), junk=st.binary(min_size=1, max_size=40), data=st.data())
@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=40
)
def test_damage_is_never_more_than_a_row_that_does_not_come(
    tmp_path: Path, page: int, where: int, junk: bytes, data: st.DataObject
) -> None:
    path = tmp_path / f"{page}"
    if not path.exists():
        made(path, page, [(f"{n}" * (n * 37 % 900), bytes(n * 211 % 5000)) for n in range(60)])
    raw = bytearray(path.read_bytes())
    start = where % len(raw)
    raw[start : start + len(junk)] = junk
    raw = raw[: data.draw(st.integers(0, len(raw)))]
    assert len(list(rows(bytes(raw), page))) <= len(raw)
    assert len(list(index_pages(bytes(raw), page))) <= len(raw)
    assert page_size(bytes(raw), 16384) >= 512
