"""The lines at the foot of a screen in which notices stand."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import OptionList, Static

from siltline.screens.notices import NoticeApp, Said, told


class Notice(Static):
    """A sentence on the screen; a click takes it away."""

    DEFAULT_CSS = """
    Notice { width: 1fr; height: auto; padding: 0 1; background: $blank; color: $foreground; }
    Notice.-information { border-left: outer $success; }
    Notice.-warning { border-left: outer $warning; }
    Notice.-error { border-left: outer $error; }
    """

    def __init__(self, said: Said) -> None:
        super().__init__(told(said), classes=f"-{said.severity}")
        self.said = said

    def on_click(self, event: events.Click) -> None:
        """Take it away."""
        event.stop()
        if isinstance(self.app, NoticeApp):
            self.app.unsay(self.said)


class Notices(Vertical):
    """The lines under a screen that notices take; it shrinks by them."""

    DEFAULT_CSS = """
    Notices { split: bottom; width: 100%; height: auto; max-height: 45%; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[Said] = []

    def compose(self) -> ComposeResult:
        """Lay the notices out, the oldest first."""
        yield from map(Notice, self.shown)

    def put(self, shown: list[Said]) -> None:
        """Show these notices."""
        if shown != self.shown:
            self.shown = shown
            self.display = bool(shown)
            self.refresh(recompose=True)

    def on_resize(self) -> None:
        """Let the screen fit itself into what is left."""
        self._refit()

    def on_hide(self) -> None:
        """Give the room back."""
        self._refit()

    def _refit(self) -> None:
        """Tell a screen that it has other room, as after a resize; keep what stands out in sight.

        Textual tells only those parts of it that became larger or smaller.
        """
        screen = self.screen
        screen.post_message(events.Resize(screen.size, screen.virtual_size))
        for rows in screen.query(OptionList):
            rows.call_after_refresh(rows.scroll_to_highlight)
