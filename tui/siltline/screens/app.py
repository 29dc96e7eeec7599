"""The app: one job, its screen, its look and language, and a clean end however it comes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.events import Event, InputEvent, Key
from textual.message import Message
from textual.screen import Screen

from siltline import config
from siltline.job import Job
from siltline.screens.doing import DeskScreen
from siltline.screens.looks import LookApp
from siltline.screens.tidying import Tidying
from siltline.screens.words import Respeaks, called
from siltline.sentences import languages, say, speak

if TYPE_CHECKING:
    from siltline.job.viewing import Viewer
    from siltline.screens.pixels import Look


BOUNCE_S = 0.4  # an Enter so soon after the one that sent a form is the same finger


class SiltlineApp(LookApp):
    """The screen on one job."""

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.tidying = Tidying()
        job.names = called
        self._viewer: Viewer | None = None
        self._last_key = ""
        self._look: Look | None = None  # what the terminal is lent to
        self._changed_at = 0.0  # when another screen came up, as messages tell time
        self._bounces = False  # whether Enter brought the desk back, and no other key came since

    @property
    def viewer(self) -> Viewer:
        """Return what opens photos in the system's viewer, as long as this app runs."""
        from siltline.job.viewing import Viewer  # noqa: PLC0415 - no first paint needs it

        if self._viewer is None:
            self._viewer = Viewer()
        return self._viewer

    def photos_among(self, keys: Sequence[str]) -> list[str]:
        """Return those keys of rows that are photos of the job."""
        return [key for key in dict.fromkeys(keys) if key in self.job.board.ledger.photos]

    def look_at(self, photos: Sequence[str], at: str) -> None:
        """Show photos over what is on the screen, beginning with one."""
        from siltline.screens.photo import PhotoScreen  # noqa: PLC0415 - no first paint needs it

        self.push_screen(PhotoScreen(self.job, photos, at, goes=False))

    async def lend(self, look: Look) -> str:
        """Lend the terminal to a look at a photo; return why it was not shown, or ""."""
        from siltline.screens.pixels import show  # noqa: PLC0415 - no first paint needs it

        self._look = look
        try:
            told = await show(self, look)
        finally:
            self._look = None
        if look.bell.is_set():  # it came too late for the look
            self.bell()
        return told

    def bell(self) -> None:
        """Ring; by whoever has the terminal, for nobody hears what Textual writes meanwhile."""
        if self._look is None:
            super().bell()
        else:
            self._look.bell.set()

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
        self.notify(say("language.now"), title="language", markup=False, timeout=2)

    async def action_quit(self) -> None:
        """Leave as from the desk, whatever screen is up."""
        await self._desk().action_quit()

    def on_mount(self) -> None:
        """Listen for the end; collect garbage again once the first paint is out."""
        self.screen_change_signal.subscribe(self, self._note_change)
        self.call_after_refresh(self.tidying.begin)
        self.set_interval(1, self.tidying.look)
        self.listen_for_the_end()

    def _note_change(self, screen: Screen[object]) -> None:
        self._changed_at = Message().time
        self._bounces = self._last_key == "enter"
        if not isinstance(screen, DeskScreen):
            screen.call_after_refresh(self._desk().ahead.end)  # it has its focus then
        elif screen.asking:
            screen.hold_keys()  # until the deed has gone on with what came of it

    def _desk(self) -> DeskScreen:
        desk = self.screen_stack[0]
        assert isinstance(desk, DeskScreen)  # noqa: S101 - the default screen, always below
        return desk

    def _is_late(self, key: Key) -> bool:
        """Tell whether this is an Enter for a form that is gone, and would tick a step here."""
        since = self._changed_at + (BOUNCE_S if self._bounces else 0)
        here = isinstance(self.screen, DeskScreen)
        return key.key == "enter" and key.time < since and here

    async def on_event(self, event: Event) -> None:
        """Note that somebody is at work; no key goes to what it was not meant for."""
        if isinstance(event, InputEvent):
            self.tidying.key()
        if isinstance(event, Key):
            if self._desk().ahead.take(event):
                return
            self._last_key = event.key
            self._bounces = self._bounces and event.key == "enter"
            if self._is_late(event):
                return
        await super().on_event(event)

    def on_unmount(self) -> None:
        """Remove the copies of photos that were opened outside."""
        if self._viewer is not None:
            self._viewer.close()
