"""The app: one job, its screen, and a clean end however it comes."""

from __future__ import annotations

import gc

from textual.screen import Screen
from textual.theme import Theme

from siltline.job import Job
from siltline.screens.doing import DeskScreen
from siltline.screens.ending import EndingApp

# Silt and lamp light: high contrast first, one warm accent.
NIGHT = Theme(
    name="siltline-night",
    primary="#d9a441",
    secondary="#8fa3ad",
    accent="#d9a441",
    foreground="#f2efe8",
    background="#12171b",
    surface="#1a2126",
    panel="#232c33",
    success="#8fd18f",
    warning="#ffb84d",
    error="#ff6b5e",
    dark=True,
)


def _collect_again() -> None:
    """Collect garbage again, but not what was made to open the job."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


class SiltlineApp(EndingApp):
    """The screen on one job."""

    CSS_PATH = "siltline.tcss"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.register_theme(NIGHT)
        self.theme = NIGHT.name

    def get_default_screen(self) -> Screen[None]:
        """Start on the desk itself: no empty screen is laid out first."""
        return DeskScreen(self.job)

    def on_mount(self) -> None:
        """Listen for the end; collect garbage again once the first paint is out."""
        self.call_after_refresh(_collect_again)
        self.listen_for_the_end()
