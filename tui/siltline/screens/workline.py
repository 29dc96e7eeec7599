"""The line on the desk that tells how far long work is, and how to stop it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from siltline.screens.words import plain
from siltline.sentences import say


class StopSpot(Static):
    """Where a click stops the work."""

    def on_click(self, event: Click) -> None:
        """Ask for the stop."""
        event.stop()
        self.post_message(WorkLine.Stop())


class WorkLine(Horizontal):
    """One line above the footer while there is long work; nothing otherwise."""

    class Stop(Message):
        """The work is to stop."""

    def compose(self) -> ComposeResult:
        """Lay the line out: how far, and what stops it."""
        yield Static(id="work-far")
        yield StopSpot(plain(say("work.stop-spot")), id="work-stop")

    def begin(self, line: str) -> None:
        """Show the line."""
        self.show(line)
        self.display = True

    def show(self, line: str) -> None:
        """Show how far the work is."""
        self.query_one("#work-far", Static).update(plain(line))

    def end(self) -> None:
        """Hide the line."""
        self.display = False
