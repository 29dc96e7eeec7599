"""One list to pick from: photos to attach or to take off, findings of the review."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.screens.leaving import leave
from siltline.screens.rows import PickRows
from siltline.screens.words import plain
from siltline.sentences import say

Row = tuple[str, Content]


class Pick(ModalScreen[tuple[str, str] | None]):
    """Shows rows; Enter picks one, Tab changes the choice that goes with it, Escape leaves.

    Returns:
        The id of the row and the choice, or None.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("tab", "next_choice", say("key.choice")),
    ]

    def __init__(
        self,
        title: str,
        rows: Sequence[Row],
        *,
        choices: Sequence[str] = (),
        hint: str = "",
        told: Mapping[str, str] | None = None,
    ) -> None:
        """Take what to show; `told` has what is said of a row, by its id, while it stands out."""
        super().__init__()
        self.heading = title
        self.rows = tuple(rows)
        self.choices = tuple(choices)
        self.choice = 0
        self.hint = hint
        self.told = told or {}

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="pick", classes="-told" if self.told else ""):
            yield Static(plain(self.heading, "bold"), id="pick-title")
            yield Static(self._choice_line(), id="pick-choice")
            rows = (Option(content, id=key) for key, content in self.rows)
            yield PickRows(*rows, id="pick-list", markup=False)
            if self.told:
                yield Static(id="pick-told")
            yield Static(Content(self.hint or say("pick.keys")), id="pick-keys")

    def _choice_line(self) -> Content:
        if not self.choices:
            return Content("")
        words = [
            plain(f" {choice} ", "reverse" if number == self.choice else "$secondary")
            for number, choice in enumerate(self.choices)
        ]
        return Content.assemble(say("pick.as"), " ", *words)

    def action_next_choice(self) -> None:
        """Go to the next choice."""
        if self.choices:
            self.choice = (self.choice + 1) % len(self.choices)
            self.query_one("#pick-choice", Static).update(self._choice_line())

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Tell of a row what does not fit its line."""
        if self.told:
            told = plain(self.told.get(event.option.id or "", ""), "$secondary")
            self.query_one("#pick-told", Static).update(told)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Return the row that was picked."""
        event.stop()
        chosen = self.choices[self.choice] if self.choices else ""
        leave(self, (event.option.id or "", chosen))

    def action_leave(self) -> None:
        """Leave without picking."""
        leave(self)
