"""The screens: the second face of siltline, for wet gloves and tired eyes.

Text from outside reaches a widget only as `Content` made by `words.plain`, which lets no
markup and no escape byte through.
"""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from siltline.job import Job


def run(job: Job) -> None:
    """Open the screen on a job and return when the person leaves."""
    # A tenth of the time to the first paint would go into collecting what is all still in use;
    # the app goes on collecting after it.
    gc.disable()
    from siltline.screens.app import SiltlineApp  # noqa: PLC0415 - Textual costs 0.2 s

    SiltlineApp(job).run()


def start() -> Path | None:
    """Open the start screen; return the job file that the person wants to open, if any."""
    from siltline.screens.starting import StartApp  # noqa: PLC0415 - Textual costs 0.2 s

    return StartApp().run()
