"""One form for every act that needs words: fields as data in, typed text out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from siltline.screens.words import plain
from siltline.sentences import say
from siltline.text import visible

Typed = dict[str, str]


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a form: its key, its label, what stands in it, whether it may stay empty."""

    key: str
    label: str
    value: str = ""
    needed: bool = True


class Form(ModalScreen[Typed | None]):
    """Asks for a few words; Enter goes to the next field and, at the last one, does the act."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", say("key.back"))]

    def __init__(self, title: str, fields: Sequence[Field], hint: str = "") -> None:
        super().__init__()
        self.heading = title
        self.fields = tuple(fields)
        self.hint = hint

    def compose(self) -> ComposeResult:
        """Lay the form out."""
        with VerticalScroll(id="form"):
            yield Static(plain(self.heading, "bold"), id="form-title")
            if self.hint:
                yield Static(plain(self.hint), id="form-hint")
            for field in self.fields:
                yield Label(plain(field.label))
                yield Input(value=visible(field.value), id=f"field-{field.key}")
            yield Static(Content(say("form.keys")), id="form-keys")

    def on_mount(self) -> None:
        """Start in the first empty field."""
        empty = next((f for f in self.fields if not f.value), self.fields[-1])
        self.query_one(f"#field-{empty.key}", Input).focus()

    def _typed(self) -> Typed:
        return {f.key: self.query_one(f"#field-{f.key}", Input).value for f in self.fields}

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go on to the next field, or do the act at the last."""
        event.stop()
        keys = [field.key for field in self.fields]
        here = keys.index(str(event.input.id).removeprefix("field-"))
        typed = self._typed()
        lacking = [f for f in self.fields if f.needed and not typed[f.key].strip()]
        if here + 1 < len(keys):
            self.query_one(f"#field-{keys[here + 1]}", Input).focus()
        elif lacking:
            self.notify(say("form.lacks", field=lacking[0].label), markup=False, severity="warning")
            self.query_one(f"#field-{lacking[0].key}", Input).focus()
        else:
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Leave without doing anything."""
        self.dismiss(None)
