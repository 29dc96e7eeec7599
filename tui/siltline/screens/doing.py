"""The desk that does what keys ask for; each deed is loaded when it is first wanted."""

from __future__ import annotations

from collections.abc import Awaitable
from inspect import isawaitable
from typing import ClassVar

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from siltline.screens.deeds import bindings, deed
from siltline.screens.working import WorkingDesk


class DeskScreen(WorkingDesk):
    """The desk with its keys."""

    BINDINGS: ClassVar[list[BindingType]] = bindings()

    def action_do(self, name: str) -> None:
        """Do a deed, on all that was written; one that asks goes on while keys are read."""
        self.look()
        done = deed(name).load()(self)
        if isawaitable(done):
            self.hold_keys()
            self.run_worker(self._done(done), name=name)

    async def _done(self, deed_in_hand: Awaitable[None]) -> None:
        """Wait for a deed; keys that were held for it go where they can when it has ended."""
        try:
            await deed_in_hand
        finally:
            self.ahead.end()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tick the step in hand: Enter in the list does the likely thing."""
        event.stop()
        self.action_do("tick")

    def action_card_down(self) -> None:
        """Scroll the step in hand."""
        self.query_one("#card-box", VerticalScroll).scroll_page_down(animate=False)

    def action_card_up(self) -> None:
        """Scroll the step in hand back."""
        self.query_one("#card-box", VerticalScroll).scroll_page_up(animate=False)
