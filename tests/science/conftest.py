"""A campaign's figures are shown at the end of the run."""

from __future__ import annotations

from collections.abc import Callable

import pytest

Report = Callable[[str], None]


@pytest.fixture
def report(figure: Report) -> Report:
    """Keep a line for the end of the run."""
    return figure
