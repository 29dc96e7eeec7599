"""A folder in memory, for campaigns that write hundreds of gigabytes."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where the system has one."""
    shared = Path("/dev/shm")  # noqa: S108
    with tempfile.TemporaryDirectory(dir=shared if shared.is_dir() else None) as folder:
        yield Path(folder)
