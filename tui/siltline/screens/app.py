"""The app: one job, its screen, its look and language, and a clean end however it comes."""

from __future__ import annotations

import gc

from textual.screen import Screen

from siltline import config
from siltline.job import Job
from siltline.screens.doing import DeskScreen
from siltline.screens.looks import LookApp
from siltline.screens.words import Respeaks
from siltline.sentences import languages, say, speak


def _collect_again() -> None:
    """Collect garbage again, but not what was made to open the job."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


class SiltlineApp(LookApp):
    """The screen on one job."""

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job

    def get_default_screen(self) -> Screen[None]:
        """Start on the desk itself: no empty screen is laid out first."""
        return DeskScreen(self.job)

    async def action_switch_language(self) -> None:
        """Speak the next language at once, on every screen that is up, and keep it.

        A form keeps the words that it was opened with, and all that was typed.
        """
        known = languages()
        self.language = speak(known[(known.index(self.language) + 1) % len(known)])
        config.keep("language", self.language)
        self.job.speak(self.language)
        for screen in self.screen_stack:
            if isinstance(screen, Respeaks):
                await screen.respeak()
        self.notify(say("language.now"), markup=False, timeout=2)

    def on_mount(self) -> None:
        """Listen for the end; collect garbage again once the first paint is out."""
        self.call_after_refresh(_collect_again)
        self.listen_for_the_end()
