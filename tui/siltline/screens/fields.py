"""A field of a form: what it is called, what is read from it, what it offers, how it is shown."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Key
from textual.style import Style
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from siltline.screens.field import Field
from siltline.screens.words import plain
from siltline.text import visible

MOST_OFFERED = 16  # as many as fit two lines beside a keyboard; the rest comes with the arrow keys


def typed(text: str) -> str:
    """Return pasted text as it may be shown: tabs as spaces, hidden characters written out."""
    return visible(text.replace("\t", " "))


class PlainInput(Input):
    """An input whose text was made visible on its way in: Textual shows it as it is."""

    def insert_text_at_cursor(self, text: str) -> None:
        """Insert text, made visible."""
        super().insert_text_at_cursor(typed(text))

    def replace(self, text: str, start: int, end: int) -> None:
        """Replace a part of the text by other text, made visible."""
        super().replace(typed(text), start, end)

    def key_enter(self, event: Key) -> None:
        """Send what stands in the line now; Textual would send what is typed behind Enter, too."""
        event.stop()
        self.post_message(Input.Submitted(self, self.value))


class FieldRow(Vertical):
    """A field on the screen: its question, its offers, its line, and what is read from it."""

    def __init__(self, field: Field, value: str) -> None:
        super().__init__(classes="field")
        self.field = field
        self.first = value
        self.refused: str | None = None

    def compose(self) -> ComposeResult:
        """Lay the field out."""
        field = self.field
        yield Static(plain(field.label), classes="label")
        if field.offers:
            yield Static(_offered(field.key, field.offers), classes="offers")
        offered = list(map(visible, field.offers))
        suggester = SuggestFromList(offered, case_sensitive=False) if offered else None
        with Horizontal(classes="typed"):
            yield PlainInput(
                self.first,
                suggester=suggester,
                # what is offered is typed over; what somebody began to type is gone on with
                select_on_focus=self.first == visible(field.value),
                id=f"field-{field.key}",
            )
            if field.reads:
                yield Static(plain(field.seen(self.first)), classes="read")
        fault = Static(classes="fault")
        fault.display = False
        yield fault

    @property
    def input(self) -> Input:
        """Return the line that is typed into."""
        return self.query_one(Input)

    def show_read(self) -> None:
        """Show what is read from what stands in the line now."""
        if self.field.reads:
            self.query_one(".read", Static).update(plain(self.field.seen(self.input.value)))

    def show_fault(self, told: str) -> None:
        """Say under the line what is wrong with it; "" for nothing."""
        self.refused = self.input.value if told else None
        fault = self.query_one(".fault", Static)
        fault.update(plain(told, "bold $warning"))
        fault.display = bool(told)

    def forget_fault(self) -> None:
        """Take away what was said of another text than stands in the line now."""
        if self.refused is not None and self.refused != self.input.value:
            self.show_fault("")

    def put(self, value: str) -> None:
        """Put a text into the line."""
        self.input.value = visible(value)
        self.input.cursor_position = len(self.input.value)

    def offer(self, step: int) -> bool:
        """Put the next offer into the line; False where the field offers nothing."""
        offers = [visible(one) for one in self.field.offers]
        if not offers:
            return False
        here = offers.index(self.input.value) if self.input.value in offers else None
        first = 0 if step > 0 else -1
        self.put(offers[first if here is None else (here + step) % len(offers)])
        return True


def _offered(key: str, offers: Sequence[str]) -> Content:
    """Return the offers as words that a mouse or a finger takes."""
    words: list[Content | str] = []
    for number, offer in enumerate(offers[:MOST_OFFERED]):
        take = Style.from_meta({"@click": f"screen.take('{key}', {number})"})
        words += ["  " if words else "", plain(offer).stylize(take)]
    more = len(offers) - MOST_OFFERED
    return Content.assemble(*words, f"  +{more}" if more > 0 else "").stylize("$secondary")
