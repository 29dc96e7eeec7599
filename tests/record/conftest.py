"""A folder in memory, for campaigns that write hundreds of gigabytes, and the shim of the cuts."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from support import cuts


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where the system has one."""
    shared = Path("/dev/shm")  # noqa: S108
    with tempfile.TemporaryDirectory(dir=shared if shared.is_dir() else None) as folder:
        yield Path(folder)


@pytest.fixture(scope="session")
def shim(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What stands between a program and the system, compiled once a worker."""
    return cuts.built(tmp_path_factory.mktemp("shim"))
