"""One list to pick from: photos to attach or to take off, findings of the review."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Protocol, runtime_checkable

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


@runtime_checkable
class ShowsPhotos(Protocol):
    """An app that can show the photos of a list."""

    def photos_among(self, keys: Sequence[str]) -> list[str]:
        """Return those keys of rows that are photos."""

    def look_at(self, photos: Sequence[str], at: str) -> None:
        """Show photos, beginning with one."""


class Pick(ModalScreen[tuple[str, str] | None]):
    """Shows rows; Enter picks one, Tab changes the choice that goes with it, Escape leaves.

    Where rows are photos, `p` looks at them.

    Returns:
        The id of the row and the choice, or None.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("tab", "next_choice", say("key.choice")),
        ("p", "look", say("key.look")),
    ]

    def __init__(
        self, title: str, rows: Sequence[Row], *, choices: Sequence[str] = (), hint: str = ""
    ) -> None:
        super().__init__()
        self.heading = title
        self.rows = tuple(rows)
        self.choices = tuple(choices)
        self.choice = 0
        self.hint = hint

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="pick"):
            yield Static(plain(self.heading, "bold"), id="pick-title")
            yield Static(self._choice_line(), id="pick-choice")
            rows = (Option(content, id=key) for key, content in self.rows)
            yield PickRows(*rows, id="pick-list", markup=False)
            yield Static(Content("    ".join(self._keys())), id="pick-keys")

    def _photos(self) -> list[str]:
        """Return those rows that are photos."""
        app = self.app
        return app.photos_among([k for k, _ in self.rows]) if isinstance(app, ShowsPhotos) else []

    def _keys(self) -> list[str]:
        keys = self.hint or say("pick.keys")
        return [keys, say("pick.look")] if self._photos() else [keys]

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

    def action_look(self) -> None:
        """Look at the photos of the list, beginning with the row that stands out."""
        rows, app = self.query_one("#pick-list", PickRows), self.app
        at = self.rows[rows.highlighted][0] if rows.highlighted is not None else ""
        if isinstance(app, ShowsPhotos) and at in self._photos():
            app.look_at(self._photos(), at)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Return the row that was picked."""
        event.stop()
        chosen = self.choices[self.choice] if self.choices else ""
        leave(self, (event.option.id or "", chosen))

    def action_leave(self) -> None:
        """Leave without picking."""
        leave(self)
