"""Keys that are typed ahead: for a form or a list that is on its way, and not for the desk."""

from __future__ import annotations

from collections.abc import Callable

from textual.events import Key

LONGEST_S = 1.0  # then keys go where they can, whatever is on its way


class Ahead:
    """Holds keys from the one that asks for something until that is there to take them."""

    def __init__(self, post: Callable[[Key], object]) -> None:
        """Take what hands a key to whatever is on the screen then."""
        self._post = post
        self._held: list[Key] | None = None

    def begin(self) -> None:
        """Hold what is typed from here on."""
        if self._held is None:
            self._held = []

    def take(self, key: Key) -> bool:
        """Hold a key, if keys are held; tell whether that is so."""
        if self._held is None:
            return False
        self._held.append(key)
        return True

    def end(self) -> None:
        """Hand on what was held, in its order."""
        held, self._held = self._held or [], None
        for key in held:
            again = Key(key.key, key.character)
            again.time = key.time  # when it was pressed
            self._post(again)
