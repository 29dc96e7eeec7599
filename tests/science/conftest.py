"""A way to show a campaign's figures at the end of the run."""

from __future__ import annotations

from collections.abc import Callable

import pytest

Report = Callable[[str], None]


@pytest.fixture
def report(record_property: Callable[[str, object], None]) -> Report:
    """Keep a line for the end of the run; `tests/conftest.py` prints it, also from a worker."""
    return lambda line: record_property("figures", line)
