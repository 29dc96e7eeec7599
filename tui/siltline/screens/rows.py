"""Lists whose Enter says in the footer what it does; filled with content, never markup."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import OptionList

from siltline.screens.fields import PlainInput
from siltline.sentences import say


def _enter(does: str, action: str = "select") -> list[BindingType]:
    return [Binding("enter", action, say(does), key_display="Enter")]


class StepRows(OptionList):
    """The steps by phase; Enter ticks."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.tick")


class PickRows(OptionList):
    """Things to pick one of; Enter takes it.

    Its ends do not lead to each other: what ends or drops something stands last, and is not to be
    one key away from where one begins.
    """

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.take")

    def action_cursor_up(self) -> None:
        """Step up, as far as the first row."""
        self._step(super().action_cursor_up, 0)

    def action_cursor_down(self) -> None:
        """Step down, as far as the last row."""
        self._step(super().action_cursor_down, -1)

    def _step(self, step: Callable[[], None], end: int) -> None:
        there = [number for number, one in enumerate(self.options) if not one.disabled]
        if there and self.highlighted != there[end]:
            step()


class GoRows(OptionList):
    """Anything that belongs to a step; Enter goes to it."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.go")


class LookRows(GoRows):
    """Photos; Enter looks at one."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.look")


class GoField(PlainInput):
    """Where words are typed that rows are found by; Enter goes on with the row that stands out."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.go", "submit")


class LookField(GoField):
    """The same over photos."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.look", "submit")


class SectionRows(OptionList):
    """The sections of a house sheet; Enter fills one in."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.fill")


class LineRows(OptionList):
    """The lines of a text; Enter edits one."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("key.edit")
