"""Small pictures of the photos and what their pixels show; derived, so droppable at any time."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from typing import Any

from siltline.record.derived import Facts, whole_rows


def keep_picture(
    connection: sqlite3.Connection,
    sha256: str,
    drawer: str,
    looks: Mapping[str, Any],
    small: bytes,
) -> None:
    """Keep a small picture of a photo and what its pixels show; b"" where it cannot be drawn."""
    import json  # noqa: PLC0415 - no first paint needs it

    connection.execute(
        "INSERT OR REPLACE INTO derived_picture VALUES (?, ?, ?, ?)",
        (sha256, drawer, json.dumps(looks, sort_keys=True), small),
    )


def _rows(connection: sqlite3.Connection) -> Iterator[tuple[str, str, Facts]]:
    return whole_rows(connection, "derived_picture", "drawer", "looks")


def drawers(connection: sqlite3.Connection) -> dict[str, str]:
    """Return sha256 -> the version of the drawer that drew the photo."""
    return {sha256: drawer for sha256, drawer, _ in _rows(connection)}


def picture_looks(connection: sqlite3.Connection) -> dict[str, Facts]:
    """Return sha256 -> what the pixels show; {} where the photo cannot be drawn."""
    return {sha256: looks for sha256, _, looks in _rows(connection)}


def small_picture(connection: sqlite3.Connection, sha256: str) -> bytes:
    """Return the small picture of a photo, a JPEG; b"" where there is none."""
    select = "SELECT small FROM derived_picture WHERE sha256 = ?"
    row = connection.execute(select, (sha256,)).fetchone()
    return bytes(row[0]) if row else b""
