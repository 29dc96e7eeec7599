"""The keys of a screen, in its last line; an Enter that says there what it does."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Footer
from textual.widgets._footer import FooterKey

from siltline.sentences import retold, say


def enter_does(does: str, action: str = "select") -> list[BindingType]:
    """Return the keys of a list, or of a field, whose Enter does what a sentence says."""
    return [Binding("enter", action, say(does), key_display="Enter")]


class Keys(Footer):
    """The foot of every screen: what its keys do, in the language that is spoken now.

    Textual takes the names of keys once, when a class is made.
    """

    def compose(self) -> ComposeResult:
        """Lay the keys out."""
        for key in super().compose():
            if isinstance(key, FooterKey):
                key.description = retold(key.description, "key.")
            yield key
