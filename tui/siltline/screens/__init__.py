"""The screens: the second face of siltline, for wet gloves and tired eyes.

Text from outside reaches a widget only as `Content` made by `words.plain`, which lets no
markup and no escape byte through.
"""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from siltline.job import Job
    from siltline.screens.looks import LookApp


def _run(app: LookApp) -> Any:
    """Run an app until the person leaves it, or its terminal goes; return what it returns."""
    from siltline.screens.ending import unfailing_output  # noqa: PLC0415

    with unfailing_output():
        found = app.run()
    if app.fault is not None:
        raise app.fault
    return found


def run(job: Job) -> None:
    """Open the screen on a job and return when the person leaves.

    Raises:
        Exception: a fault of ours ended it; everything that was confirmed is recorded.
    """
    # A tenth of the time to the first paint would go into collecting what is all still in use;
    # the app goes on collecting after it.
    gc.disable()
    from siltline.screens.app import SiltlineApp  # noqa: PLC0415 - Textual costs 0.2 s

    _run(SiltlineApp(job))


def start() -> Path | None:
    """Open the start screen; return the job file that the person wants to open, if any.

    Raises:
        Exception: a fault of ours ended it.
    """
    from siltline.screens.starting import StartApp  # noqa: PLC0415 - Textual costs 0.2 s

    found: Path | None = _run(StartApp())
    return found
