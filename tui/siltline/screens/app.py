"""The app: one job, its screen, and a clean end however it comes."""

from __future__ import annotations

import asyncio
import gc
import signal
from contextlib import suppress

from textual.app import App
from textual.screen import Screen
from textual.theme import Theme

from siltline.job import Job
from siltline.screens.doing import DeskScreen

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
# A terminal that closes, a system that shuts down: leave as if the person had.
_ENDINGS = ("SIGHUP", "SIGTERM")


def _collect_again() -> None:
    """Collect garbage again, but not what was made to open the job."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


class SiltlineApp(App[None]):
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
        loop = asyncio.get_running_loop()
        for name in _ENDINGS:
            number = getattr(signal, name, None)
            if number is not None:
                with suppress(NotImplementedError, RuntimeError, ValueError):  # Windows; a thread
                    loop.add_signal_handler(number, self.exit)
