"""One form for every act that needs words: fields as data in, typed text out.

What is typed is kept as a draft while it is typed, and stands there again when the form opens
the next time, whatever ended it: a kill, a flat battery, Escape.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.style import Style
from textual.widgets import Input, Static

from siltline.errors import Refusal
from siltline.job.drafts import Draft
from siltline.screens.field import Field, Typed
from siltline.screens.fields import FieldRow
from siltline.screens.fitting import fit
from siltline.screens.keeping import Keeper
from siltline.screens.words import plain
from siltline.sentences import say
from siltline.text import visible


class Sums(Static):
    """What comes out of what is typed; as it grows, the fields above give way."""

    def on_resize(self) -> None:
        """Let the form fit again."""
        assert isinstance(self.screen, Form)  # noqa: S101 - it stands nowhere else
        self.screen.on_resize()


class Form(ModalScreen[Typed | None]):
    """Asks for a few words; Enter goes to the next field and, at the last one, does the act."""

    CSS_PATH = "asking.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        # Priority: the focus has moved before the next key is looked at, however fast it comes.
        Binding("enter", "next_field", show=False, priority=True),
        Binding("tab", "app.focus_next", show=False, priority=True),
        Binding("shift+tab", "app.focus_previous", show=False, priority=True),
        Binding("down", "offer(1)", show=False),
        Binding("up", "offer(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("ctrl+s", "send", show=False, priority=True),
        Binding("ctrl+r", "start_over", show=False, priority=True),
    ]

    def __init__(
        self,
        title: str,
        fields: Sequence[Field],
        hint: str = "",
        act: Callable[[Typed], object] | None = None,
        *,
        draft: Draft | None = None,
        fills: Callable[[str, Typed], Typed] | None = None,
        sums: Callable[[Typed], tuple[Sequence[str], Sequence[str]]] | None = None,
        at_top: bool = False,
    ) -> None:
        """Take what to ask, and what to do with it: a refusal leaves the form as it was filled.

        Args:
            title: what the form is for.
            fields: what is asked.
            hint: what stands above the fields.
            act: what to do with what was typed.
            draft: keeps what is typed, if anything does.
            fills: from the key of a field that was typed into and all that is typed: what
                that says of other fields.
            sums: from all that is typed: what it warns of and what comes out of it, shown below
                while typing goes on.
            at_top: begin in the first field, below what is to be read first, filled in or not.
        """
        super().__init__()
        self.heading = title
        self.fields = tuple(fields)
        self.hint = hint
        self.act = act
        self.fills = fills
        self.sums = sums
        self.at_top = at_top
        self.filled: Typed = {}
        self.draft = draft
        self.keeper: Keeper | None = None
        self.left = False

    def compose(self) -> ComposeResult:
        """Lay the form out, with what was typed before."""
        kept = self.draft.kept() if self.draft else {}
        found = {f.key: kept[f.key] for f in self.fields if kept.get(f.key, f.value) != f.value}
        with Vertical(id="form"):
            with VerticalScroll(id="form-fields", can_focus=False):
                yield Static(plain(self.heading, "bold"), id="form-title")
                if self.hint:
                    yield Static(plain(self.hint), id="form-hint")
                if found:
                    yield Static(_again(), id="form-draft")
                for field in self.fields:
                    yield FieldRow(field, visible(found.get(field.key, field.value)))
            if self.sums is not None:
                yield Sums(id="form-sums")
            yield Static(Content(say("form.keys")), id="form-keys")

    def on_mount(self) -> None:
        """Start in the first empty field."""
        self._sum()
        typed = self._typed()
        empty = next((f for f in self.fields if not typed[f.key]), self.fields[-1])
        self._go_to(self.fields[0] if self.at_top else empty)
        if self.draft is not None:
            self.keeper = Keeper(self, self.draft, self._own)
            self.keeper.start({f.key: visible(f.value) for f in self.fields})

    def on_descendant_focus(self) -> None:
        """Keep the field that is typed into in sight, with its question."""
        self.call_after_refresh(self._in_sight)

    def on_resize(self) -> None:
        """Leave the last lines to the keys that send the form, however many fields it has."""
        fit(self, self.query_one("#form"), self.query_one("#form-fields"))
        self.call_after_refresh(self._in_sight)

    def _in_sight(self) -> None:
        if self.left:
            return
        here = self._here()
        if here == 0:  # what the form is for stands above the first field
            self.query_one("#form-fields").scroll_home(animate=False)
        elif here > 0:
            self.rows[self.fields[here].key].scroll_visible(animate=False)

    def on_unmount(self) -> None:
        """Keep what is not kept yet, whatever ends the form."""
        if self.keeper is not None and not self.left:
            self.keeper.write()

    @property
    def rows(self) -> dict[str, FieldRow]:
        """Return the fields on the screen, by key."""
        return {row.field.key: row for row in self.query(FieldRow)}

    def _input(self, field: Field) -> Input:
        return self.query_one(f"#field-{field.key}", Input)

    def _go_to(self, field: Field) -> None:
        self.set_focus(self._input(field), scroll_visible=False)

    def _typed(self) -> Typed:
        return {key: row.input.value for key, row in self.rows.items()}

    def _own(self) -> Typed:
        """Return what a person typed: what follows from it is filled in anew the next time."""
        typed = self._typed()
        for field in self.fields:
            if typed[field.key] == self.filled.get(field.key):
                typed[field.key] = visible(field.value)
        return typed

    def _here(self) -> int:
        inputs = [self._input(field) for field in self.fields]
        return inputs.index(self.focused) if self.focused in inputs else -1

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what is read, fill in what follows from it, keep it."""
        key = str(event.input.id).removeprefix("field-")
        self.rows[key].show_read()
        self.rows[key].forget_fault()
        if self.fills is not None:
            self._fill(key)
        self._sum()
        if self.keeper is not None and not self.left:
            self.keeper.changed()
        if event.input is self.focused and event.value != self.rows[key].first:
            self.call_after_refresh(self._show_row, self.rows[key])

    def _show_row(self, row: FieldRow) -> None:
        """Bring what is typed into sight, though the form began above it."""
        if not self.left:
            row.scroll_visible(animate=False)

    def _sum(self) -> None:
        """Show what comes out of what is typed; the fields give way to it."""
        if self.sums is None:
            return
        most = max(3, self.screen.size.height // 4)  # the fields need the rest
        warned, told = self.sums(self._typed())
        lines = [*(plain(line, "bold $warning") for line in warned), *map(plain, told)]
        self.query_one("#form-sums", Static).update(Content("\n").join(lines[:most]))

    def _fill(self, key: str) -> None:
        """Fill other fields in; what a person typed there stays."""
        assert self.fills is not None  # noqa: S101 - looked at before
        typed = self._typed()
        for other, value in self.fills(key, typed).items():
            if other in typed and typed[other] in ("", self.filled.get(other, "")):
                self.filled[other] = visible(value)
                self.rows[other].put(value)
                if self.focused is self.rows[other].input:
                    self.rows[other].input.select_all()  # what is typed there takes its place

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Let Enter reach the last field, which then does the act."""
        if action == "next_field":
            return self.focused is not self._input(self.fields[-1])
        return super().check_action(action, parameters)

    def action_next_field(self) -> None:
        """Go to the next field; from one that cannot be read, not before it can."""
        here = self._here()
        if here >= 0:
            field = self.fields[here]
            line = self._input(field)
            # where keys of it are still on their way, it is read before the act
            if not line.message_queue_size and not self._reads(field, line.value):
                return
        self._go_to(self.fields[here + 1])

    def _reads(self, field: Field, value: str) -> bool:
        """Tell whether what stands in a field can be read; say why not."""
        try:
            field.read(value)
        except Refusal as fault:
            self._refuse(str(fault), field)
            return False
        self.rows[field.key].show_fault("")
        return True

    def action_offer(self, step: int) -> None:
        """Put the next thing that a field offers into it, or go to the field below or above."""
        here = self._here()
        if here >= 0 and self.rows[self.fields[here].key].offer(step):
            return
        self._go_to(self.fields[(here + step) % len(self.fields)])

    def action_page(self, step: int) -> None:
        """Scroll what stands above the fields, and the fields, by a page."""
        box = self.query_one("#form-fields", VerticalScroll)
        (box.scroll_page_down if step > 0 else box.scroll_page_up)(animate=False)

    def action_take(self, key: str, number: int) -> None:
        """Put an offer that was clicked into its field."""
        row = self.rows.get(key)
        if row is not None and number < len(row.field.offers):
            row.put(row.field.offers[number])
            self.set_focus(row.input, scroll_visible=False)

    def action_start_over(self) -> None:
        """Throw the draft away; the fields are as if nothing had been typed."""
        for field in self.fields:
            self.rows[field.key].put(field.value)
        for field in self.fields if self.fills is not None else ():
            self._fill(field.key)
        if self.keeper is not None:
            self.keeper.throw_away()
        for line in self.query("#form-draft"):
            line.remove()
        self._clear()
        self._go_to(self.fields[0])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do the act with what stood in the field when Enter was pressed there."""
        event.stop()
        self._send(event)

    def action_send(self) -> None:
        """Do the act from any field."""
        self._send()

    def _send(self, entered: Input.Submitted | None = None) -> None:
        """Do the act, once every key that was typed before has arrived in its field."""
        if self.left:
            return
        before = [self.rows[field.key].input for field in self.fields]
        if any(line.message_queue_size for line in before if not entered or line != entered.input):
            self.set_timer(0.01, partial(self._send, entered))  # gives them time to take it in
            return
        typed = self._typed()
        if entered is not None:  # what came behind Enter is no part of what it sent
            typed[str(entered.input.id).removeprefix("field-")] = entered.value
        lacking = [f for f in self.fields if f.needed and not typed[f.key].strip()]
        if lacking:
            self._refuse(say("form.lacks", field=lacking[0].label), lacking[0])
            return
        if not all(self._reads(field, typed[field.key]) for field in self.fields):
            return
        try:
            if self.act is not None:
                self.act(typed)
        except Refusal as fault:
            self._refuse(str(fault), self._wrong(fault))
            return
        if self.keeper is not None:
            self.keeper.throw_away()
        self._leave(typed)

    def _wrong(self, fault: Refusal) -> Field:
        """Return the field that an act refuses; where it names none, the first of its values."""
        named = [field for field in self.fields if field.key == fault.about]
        values = [field for field in self.fields if field.key.startswith("value")]
        return (named or values or self.fields)[0]

    def _refuse(self, told: str, field: Field) -> None:
        """Say under a field what is wrong, and keep all that was typed."""
        self._clear()
        self.rows[field.key].show_fault(told)
        self._go_to(field)
        self.call_after_refresh(self.rows[field.key].scroll_visible, animate=False)

    def _clear(self) -> None:
        for row in self.rows.values():
            row.show_fault("")

    def _leave(self, typed: Typed | None) -> None:
        if not self.left:
            self.left = True
            self.dismiss(typed)

    def action_leave(self) -> None:
        """Leave without doing anything; what was typed is kept for the next time."""
        if self.keeper is not None:
            self.keeper.changed()
            self.keeper.write()
        self._leave(None)


def _again() -> Content:
    """Return the line that says that a draft stands in the fields, and empties them at a click."""
    line = plain(say("form.draft"), "bold $warning")
    return line.stylize(Style.from_meta({"@click": "screen.start_over"}))
