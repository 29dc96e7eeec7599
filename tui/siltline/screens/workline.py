"""The line on the desk that tells how far long work is, and how to stop it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from siltline.screens.deeds import STOP
from siltline.screens.words import plain
from siltline.sentences import say


def _stops() -> Content:
    return plain(say("work.stop-spot", key=STOP))


class StopSpot(Static):
    """Where a click stops the work."""

    def on_click(self, event: Click) -> None:
        """Ask for the stop."""
        event.stop()
        self.post_message(WorkLine.Stop())


class WorkLine(Horizontal):
    """One line above the footer while there is long work; nothing otherwise."""

    DEFAULT_CSS = """
    WorkLine { height: 1; background: $panel; }
    #work-far { width: 1fr; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    #work-stop { width: auto; color: $primary; text-style: bold reverse; }
    """

    class Stop(Message):
        """The work is to stop."""

    def __init__(self, line: str) -> None:
        super().__init__()
        self.line = line

    def compose(self) -> ComposeResult:
        """Lay the line out: how far, and what stops it."""
        yield Static(plain(self.line), id="work-far")
        yield StopSpot(_stops(), id="work-stop")

    def show(self, line: str) -> None:
        """Show how far the work is, as soon as the line is laid out."""
        self.line = line
        for far in self.query("#work-far").results(Static):
            far.update(plain(line))

    def respeak(self) -> None:
        """Say in the language that is spoken now how it is stopped."""
        for spot in self.query(StopSpot):
            spot.update(_stops())
