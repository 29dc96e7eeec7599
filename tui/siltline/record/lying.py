"""Which file lies under a name: looked at from outside, never opened.

Opening a file that SQLite has open would drop its locks when it is closed again.
"""

from __future__ import annotations

from pathlib import Path

Identity = tuple[int, int]  # device and number, as SQLite itself compares them


def identity(path: Path) -> Identity | None:
    """Return what tells one file from another; None where none can be seen."""
    try:
        seen = path.stat()
    except (OSError, ValueError):
        return None
    return seen.st_dev, seen.st_ino


def stamp(path: Path) -> tuple[int, ...] | None:
    """Return what changes when a file does; None where none can be seen."""
    try:
        seen = path.stat()
    except (OSError, ValueError):
        return None
    return seen.st_dev, seen.st_ino, seen.st_size, seen.st_mtime_ns
