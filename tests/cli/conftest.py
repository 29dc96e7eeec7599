"""A shell and a job to work on by commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.command import Shell


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture
def path(shell: Shell, sheet: Path, tmp_path: Path) -> Path:
    """A job file begun by command."""
    made = tmp_path / "job.siltline"
    ran = shell("begin", sheet, made)
    assert ran.code == 0, ran.err
    return made
