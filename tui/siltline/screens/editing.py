"""The text of a house sheet, line by line: its numbers, and under each line what is wrong in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from siltline.rules.faults import Fault
from siltline.screens.keys import Keys, enter_does
from siltline.screens.words import plain
from siltline.sentences import say
from siltline.text import visible

Look = Callable[[str], tuple[list[Fault], list[Fault]]]
MOST_UNDONE = 200


class LineRows(OptionList):
    """The lines of a text; Enter edits one."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.edit")


class EditScreen(Screen[str | None]):
    """Shows a text; Enter edits the line that stands out, Escape goes back with what was edited."""

    CSS_PATH = "listing.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        Binding("n", "new_line", say("key.new-line")),
        Binding("d", "drop", say("key.drop-line")),
        Binding("u", "undo", say("key.undo")),
        Binding("f", "fault", say("key.next-fault")),
    ]

    def __init__(self, text: str, look: Look, keep: Callable[[str], None]) -> None:
        """Take a text to edit.

        Args:
            text: the text.
            look: returns what is wrong in a text, and what is odd in it.
            keep: keeps a text while it is edited.
        """
        super().__init__()
        self.lines = text.split("\n")
        if self.lines[-1:] == [""] and len(self.lines) > 1:
            self.lines.pop()
        self.look = look
        self.keep = keep
        self.before: list[list[str]] = []
        self.bad: dict[int, list[Fault]] = {}

    @property
    def text(self) -> str:
        """Return the text as it is now."""
        return "\n".join(self.lines) + "\n"

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        yield LineRows(id="listing", markup=False)
        yield Input(id="edit-line")
        yield Keys()

    def on_mount(self) -> None:
        """Show the text, and stand on its first fault."""
        self.query_one("#edit-line", Input).display = False
        self.show(0)
        if self.bad:
            self.action_fault()

    @property
    def here(self) -> int:
        """Return the number of the line that stands out, from 0."""
        number = self.query_one(LineRows).highlighted
        return number if number is not None else 0

    def show(self, stand: int) -> None:
        """Show the lines with the faults under them, and stand on one."""
        faults, odd = self.look(self.text)
        self.bad = {}
        for fault in [*faults, *odd]:
            self.bad.setdefault(min(fault.line, len(self.lines)) - 1, []).append(fault)
        rows = self.query_one(LineRows)
        rows.set_options(
            Option(self._line(number, line, set(faults)), id=str(number))
            for number, line in enumerate(self.lines)
        )
        rows.highlighted = max(0, min(stand, len(self.lines) - 1))
        head = say("edit.faults" if faults else "edit.clean", n=len(faults))
        self.query_one("#head", Static).update(plain(head))
        if not self.query_one("#edit-line", Input).display:
            self.set_focus(rows)

    def _line(self, number: int, line: str, faults: set[Fault]) -> Content:
        told = [Content.assemble(plain(f"{number + 1:>4}  ", "$secondary"), plain(line))]
        for fault in self.bad.get(number, []):
            wrong = fault in faults
            words = say("edit.wrong" if wrong else "edit.odd", fault=fault.text)
            style = "bold $error" if wrong else "bold $warning"
            told.append(Content.assemble("      ", plain(words, style)))
        return Content("\n").join(told)

    def _change(self, lines: list[str], stand: int) -> None:
        self.before = [*self.before[-MOST_UNDONE:], self.lines]
        self.lines = lines or [""]
        self.keep(self.text)
        self.show(stand)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Edit a line."""
        event.stop()
        self._edit()

    def _edit(self) -> None:
        field = self.query_one("#edit-line", Input)
        field.value = visible(self.lines[self.here])
        field.select_on_focus = False
        field.display = True
        field.cursor_position = len(field.value)
        self.set_focus(field)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Put the edited line back."""
        event.stop()
        here, value = self.here, event.value.rstrip()
        event.input.display = False
        if value == visible(self.lines[here]):
            self.show(here)
        else:
            self._change([*self.lines[:here], value, *self.lines[here + 1 :]], here)

    def action_new_line(self) -> None:
        """Put a line under the one that stands out, as deep as that, and edit it."""
        here = self.here
        deep = len(self.lines[here]) - len(self.lines[here].lstrip(" "))
        self._change([*self.lines[: here + 1], " " * deep, *self.lines[here + 1 :]], here + 1)
        self._edit()

    def action_drop(self) -> None:
        """Take the line out."""
        here = self.here
        self._change([*self.lines[:here], *self.lines[here + 1 :]], here)

    def action_undo(self) -> None:
        """Take the newest change back."""
        if self.before:
            here = self.here
            self.lines = self.before.pop()
            self.keep(self.text)
            self.show(here)

    def action_fault(self) -> None:
        """Go to the next line with a fault."""
        after = sorted(self.bad, key=lambda number: (number <= self.here, number))
        if after:
            first = not self.query_one(LineRows).highlighted and 0 in self.bad
            self.query_one(LineRows).highlighted = 0 if first and len(after) == 1 else after[0]

    def action_leave(self) -> None:
        """Leave the line as it was; from the list, go back with the text."""
        field = self.query_one("#edit-line", Input)
        if field.display:
            field.display = False
            self.show(self.here)
            return
        self.dismiss(self.text)
