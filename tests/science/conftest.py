"""A way to show a campaign's figures in the run."""

from __future__ import annotations

from collections.abc import Callable

import pytest

Report = Callable[[str], None]


@pytest.fixture
def report(capsys: pytest.CaptureFixture[str]) -> Report:
    """Print a line past pytest's capture."""

    def show(line: str) -> None:
        with capsys.disabled():
            print(f"\n  {line}", end="")  # noqa: T201

    return show
