"""A field to type into that holds nothing which a terminal would obey."""

from __future__ import annotations

from textual.widgets import Input

from siltline.text import visible


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
