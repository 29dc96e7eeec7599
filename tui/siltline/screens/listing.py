"""One list for everything that is looked through: rows, the detail of one, where Enter goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.types import CSSPathType
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from siltline.screens.fields import PlainInput
from siltline.screens.keys import Keys, enter_does
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say

NOTHING = Content("")
MOST_ROWS = 400  # more than anybody reads; the rest is found by typing more


class Entry(Struct, frozen=True):
    """A row: its line, its detail, its step, the text it is found by, its photo."""

    row: Content
    detail: Content = NOTHING
    step: str = ""
    text: str = ""
    photo: str = ""


def found(entries: Sequence[Entry], typed: str) -> list[Entry]:
    """Return the entries that hold every word that was typed, in any order and case."""
    words = typed.casefold().split()
    return [entry for entry in entries if all(word in entry.text for word in words)]


class Listed(Struct, frozen=True):
    """What a list holds: its title, its entries, what is said where there are none."""

    title: str
    entries: Sequence[Entry]
    empty: str = ""


class GoRows(OptionList):
    """Anything that belongs to a step; Enter goes to it."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.go")


class GoField(PlainInput):
    """Where words are typed that rows are found by; Enter goes on with the row that stands out."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.go", "submit")


class Listing(Screen[Entry | None]):
    """A list with the detail of the row that stands out; typing finds; Enter goes to the step."""

    CSS_PATH: ClassVar[CSSPathType | None] = ["listing.tcss", "finding.tcss"]
    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", say("key.back"))]
    ROWS: ClassVar[type[GoRows]] = GoRows
    FIELD: ClassVar[type[GoField]] = GoField

    def __init__(self, made: Callable[[], Listed], *, search: bool = False) -> None:
        """Take what makes the list: it is made again where another language is spoken."""
        super().__init__()
        self.made = made
        self.content = made()
        self.search = search
        self.listed: list[Entry] = []

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        yield Static(plain(self.content.title), id="head")
        if self.search:
            yield self.FIELD(placeholder=say("search.hint"), id="search-field")
        yield self.ROWS(id="listing", markup=False)
        with Horizontal(id="detail-box"):
            yield Static(id="detail")
            yield from self.beside()
        yield Keys()

    def beside(self) -> ComposeResult:
        """Lay out what stands beside the detail: nothing here."""
        return ()

    def on_mount(self) -> None:
        """Fill the list; a search starts in its field."""
        self.fill("")
        self.set_focus(self.query_one("#search-field" if self.search else "#listing"))

    def fill(self, typed: str) -> None:
        """List what holds the words that were typed."""
        hits = found(self.content.entries, typed)
        self.listed = hits[:MOST_ROWS]
        rows = self.query_one(GoRows)
        rows.set_options(Option(entry.row, id=str(n)) for n, entry in enumerate(self.listed))
        if self.listed:
            rows.highlighted = 0
        head = (
            say("search.head", title=self.content.title, n=len(hits))
            if typed
            else self.content.title
        )
        self.query_one("#head", Static).update(plain(head))
        self.show_entry(self.listed[0] if self.listed else None)

    def show_entry(self, entry: Entry | None) -> None:
        """Show a row whole; where there is none, say so."""
        detail = entry.detail if entry else plain(self.content.empty or say("search.none"))
        self.query_one("#detail", Static).update(detail)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Find while typing goes on."""
        self.fill(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the row that stands out."""
        event.stop()
        if self.in_hand is not None:
            self.pick(self.in_hand)

    def key_down(self) -> None:
        """Step down from the field into the list."""
        if isinstance(self.focused, Input):
            self.set_focus(self.query_one(GoRows))

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show a row whole."""
        if self._still_listed(event):
            self.show_entry(self.listed[event.option_index])

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take a row."""
        event.stop()
        if self._still_listed(event):
            self.pick(self.listed[event.option_index])

    def _still_listed(self, event: OptionList.OptionMessage) -> bool:
        """Tell whether a row is still there: typing may have changed the list since."""
        options = event.option_list.options
        there = options[event.option_index : event.option_index + 1]
        return bool(there) and there[0] is event.option

    @property
    def in_hand(self) -> Entry | None:
        """Return the row that stands out, if there is one."""
        number = self.query_one(GoRows).highlighted
        return None if number is None or number >= len(self.listed) else self.listed[number]

    def pick(self, entry: Entry) -> None:
        """Go to the step of a row."""
        if entry.step:
            leave(self, entry)

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now; keep the place."""
        rows = self.query_one(GoRows)
        here, typed = rows.highlighted, self.query(Input)
        self.content = self.made()
        self.fill(typed.first().value if typed else "")
        rows.highlighted = here
        self.refresh_bindings()

    def action_leave(self) -> None:
        """Go back."""
        leave(self)
