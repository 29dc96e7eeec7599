"""A shell and a job to work on by commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline import resources
from support.command import Shell
from support.crawl import STEP


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


@pytest.fixture
def crawl(shell: Shell, tmp_path: Path) -> Path:
    """A job with two measuring points in its crawl space."""
    made = tmp_path / "crawl.siltline"
    assert shell("begin", resources.folder("sample_job") / "house.yaml", made).code == 0
    for name in ("J1", "J2"):
        assert shell("point", made, STEP, name, "--where", f"joist {name}").code == 0
    return made
