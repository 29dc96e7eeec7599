"""Small pictures of the photos and what their pixels show; derived, so droppable at any time."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from contextlib import suppress
from typing import Any


def keep_picture(
    connection: sqlite3.Connection,
    sha256: str,
    drawer: str,
    looks: Mapping[str, Any],
    small: bytes,
) -> None:
    """Keep a small picture of a photo and what its pixels show; b"" where it cannot be drawn."""
    connection.execute(
        "INSERT OR REPLACE INTO derived_picture VALUES (?, ?, ?, ?)",
        (sha256, drawer, json.dumps(looks, sort_keys=True), small),
    )


def drawers(connection: sqlite3.Connection) -> dict[str, str]:
    """Return sha256 -> the version of the drawer that drew the photo."""
    return dict(connection.execute("SELECT sha256, drawer FROM derived_picture"))


def picture_looks(connection: sqlite3.Connection) -> dict[str, dict[str, Any]]:
    """Return sha256 -> what the pixels show; {} where the photo cannot be drawn."""
    found: dict[str, dict[str, Any]] = {}
    for sha256, looks in connection.execute("SELECT sha256, looks FROM derived_picture"):
        with suppress(ValueError, RecursionError):
            said = json.loads(looks)
            if isinstance(said, dict):
                found[sha256] = said
    return found


def small_picture(connection: sqlite3.Connection, sha256: str) -> bytes:
    """Return the small picture of a photo, a JPEG; b"" where there is none."""
    select = "SELECT small FROM derived_picture WHERE sha256 = ?"
    row = connection.execute(select, (sha256,)).fetchone()
    return bytes(row[0]) if row else b""
