"""One form for every act that needs words: fields as data in, typed text out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from siltline.errors import Refusal
from siltline.screens.fields import PlainInput
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
    prefix: str = ""  # goes before what is typed, where that alone could be of several things


class Form(ModalScreen[Typed | None]):
    """Asks for a few words; Enter goes to the next field and, at the last one, does the act."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        # Priority: the focus has moved before the next key is looked at, however fast it comes.
        Binding("enter", "next_field", show=False, priority=True),
    ]

    def __init__(
        self,
        title: str,
        fields: Sequence[Field],
        hint: str = "",
        act: Callable[[Typed], object] | None = None,
    ) -> None:
        """Take what to ask, and what to do with it: a refusal leaves the form as it was filled."""
        super().__init__()
        self.heading = title
        self.fields = tuple(fields)
        self.hint = hint
        self.act = act
        self.left = False

    def compose(self) -> ComposeResult:
        """Lay the form out."""
        with VerticalScroll(id="form"):
            yield Static(plain(self.heading, "bold"), id="form-title")
            if self.hint:
                yield Static(plain(self.hint), id="form-hint")
            for field in self.fields:
                yield Static(plain(field.label), classes="label")
                yield PlainInput(value=visible(field.value), id=f"field-{field.key}")
            yield Static(id="form-fault")
            yield Static(Content(say("form.keys")), id="form-keys")

    def on_mount(self) -> None:
        """Start in the first empty field."""
        empty = next((f for f in self.fields if not f.value), self.fields[-1])
        self._go_to(empty)

    def _input(self, field: Field) -> Input:
        return self.query_one(f"#field-{field.key}", Input)

    def _go_to(self, field: Field) -> None:
        self.set_focus(self._input(field))

    def _typed(self) -> Typed:
        return {field.key: self._input(field).value for field in self.fields}

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Let Enter reach the last field, which then does the act."""
        if action == "next_field":
            return self.focused is not self._input(self.fields[-1])
        return super().check_action(action, parameters)

    def action_next_field(self) -> None:
        """Go to the next field."""
        inputs = [self._input(field) for field in self.fields]
        here = inputs.index(self.focused) if self.focused in inputs else -1
        self.set_focus(inputs[here + 1])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do the act, once every key that was typed has arrived in its field."""
        event.stop()
        self._send()

    def _send(self) -> None:
        if self.left:
            return
        if any(self._input(field).message_queue_size for field in self.fields):
            self.set_timer(0.01, self._send)  # gives the fields time to take their keys in
            return
        typed = self._typed()
        lacking = [f for f in self.fields if f.needed and not typed[f.key].strip()]
        if lacking:
            self._refuse(say("form.lacks", field=lacking[0].label), lacking[0])
            return
        try:
            if self.act is not None:
                self.act(typed)
        except Refusal as fault:
            values = [field for field in self.fields if field.key.startswith("value")]
            self._refuse(str(fault), (values or self.fields)[0])
            return
        self._leave(typed)

    def _refuse(self, told: str, field: Field) -> None:
        """Say what is wrong, and keep all that was typed."""
        self.query_one("#form-fault", Static).update(plain(told, "bold $warning"))
        self._go_to(field)

    def _leave(self, typed: Typed | None) -> None:
        if not self.left:
            self.left = True
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Leave without doing anything."""
        self._leave(None)
