"""One list to pick from, found by typing: photos to attach or to take off, what can be done now."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import ClassVar, Protocol, runtime_checkable

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.types import CSSPathType
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from siltline.screens.fields import PlainInput
from siltline.screens.fitting import fit
from siltline.screens.keys import enter_does
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say

Row = tuple[str, Content]
FEW = 6  # as many as are seen at a glance: nothing is typed to find one of them
MOST_ROWS = 400  # more than anybody reads; the rest is found by typing more


@runtime_checkable
class ShowsPhotos(Protocol):
    """An app that can show the photos of a list."""

    def photos_among(self, keys: Sequence[str]) -> list[str]:
        """Return those keys of rows that are photos."""

    def look_at(self, photos: Sequence[str], at: str) -> None:
        """Show photos, beginning with one."""


class PickRows(OptionList):
    """Things to pick one of; Enter takes it.

    Its ends do not lead to each other: what ends or drops something stands last, and is not to be
    one key away from where one begins.
    """

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.take")

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


class Pick(ModalScreen[tuple[str, str] | None]):
    """Shows rows; typing finds, Enter picks, Tab changes the choice that goes with it.

    Where rows are photos, Ctrl+L looks at them.

    Returns:
        The id of the row and the choice, or None.
    """

    CSS_PATH: ClassVar[CSSPathType | None] = ["asking.tcss", "finding.tcss"]
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("tab", "next_choice", say("key.choice")),
        Binding("ctrl+l", "look", say("key.look"), priority=True),
        Binding("down", "step(1)", show=False),
        Binding("up", "step(-1)", show=False),
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
        with Vertical(id="pick"):
            yield Static(plain(self.heading, "bold"), id="pick-title")
            if self.choices:
                yield Static(self._choice_line(), id="pick-choice")
            if len(self.rows) > FEW:
                yield PlainInput(placeholder=say("pick.type"), id="search-field")
            yield PickRows(*self._found(""), id="pick-list", markup=False)
            if self.told:
                yield Static(id="pick-told")
            yield Static(Content("    ".join(self._keys())), id="pick-keys")

    def _photos(self, keys: Sequence[str]) -> list[str]:
        """Return those keys of rows that are photos."""
        app = self.app
        return app.photos_among(keys) if isinstance(app, ShowsPhotos) else []

    def _keys(self) -> list[str]:
        keys = self.hint or say("pick.keys-as" if self.choices else "pick.keys")
        return [keys, say("pick.look")] if self._photos([key for key, _ in self.rows]) else [keys]

    def on_resize(self) -> None:
        """Leave room for the lines around the list."""
        fit(self, self.query_one("#pick"), self.query_one(PickRows))

    def _found(self, typed: str) -> Iterator[Option]:
        """Yield the rows that hold every word that was typed, in any order and case."""
        words = typed.casefold().split()
        hits = [r for r in self.rows if all(word in r[1].plain.casefold() for word in words)]
        for key, content in hits[:MOST_ROWS]:
            yield Option(content, id=key)
        if not hits:
            yield Option(plain(say("pick.none"), "$secondary"), disabled=True)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Find while typing goes on."""
        rows = self.query_one(PickRows)
        rows.set_options(self._found(event.value))
        rows.action_first()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the row that stands out."""
        event.stop()
        self.query_one(PickRows).action_select()

    def action_step(self, step: int) -> None:
        """Step down or up the list while the field keeps the keys that are typed."""
        rows = self.query_one(PickRows)
        (rows.action_cursor_down if step > 0 else rows.action_cursor_up)()

    def _choice_line(self) -> Content:
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

    def action_look(self) -> None:
        """Look at the photos that are listed now, beginning with the row that stands out."""
        rows, app = self.query_one(PickRows), self.app
        here = rows.highlighted_option
        photos = self._photos([option.id for option in rows.options if option.id])
        if here is not None and isinstance(app, ShowsPhotos) and here.id in photos:
            app.look_at(photos, str(here.id))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Return the row that was picked."""
        event.stop()
        chosen = self.choices[self.choice] if self.choices else ""
        leave(self, (event.option.id or "", chosen))

    def action_leave(self) -> None:
        """Leave without picking."""
        leave(self)
