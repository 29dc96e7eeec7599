"""A few sentences that must be read, until a key is pressed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from siltline.screens.fitting import fit
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say


class TellScreen(ModalScreen[None]):
    """Shows sentences; Enter or Escape leaves."""

    CSS_PATH = "asking.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [("escape,enter", "leave", say("key.back"))]

    def __init__(self, sentences: Sequence[str]) -> None:
        super().__init__()
        self.sentences = tuple(sentences)

    def compose(self) -> ComposeResult:
        """Lay the sentences out."""
        with Vertical(id="tell"):
            with VerticalScroll(id="tell-text"):
                for number, sentence in enumerate(self.sentences):
                    yield Static(plain(sentence, "" if number else "bold"), classes="told")
            yield Static(plain(say("tell.keys"), "$secondary"))

    def on_resize(self) -> None:
        """Let a long text scroll, with the keys under it."""
        fit(self, self.query_one("#tell"), self.query_one("#tell-text"))

    def action_leave(self) -> None:
        """Go back."""
        leave(self)
