"""Leaving a screen once, however often the key was pressed."""

from __future__ import annotations

from typing import TypeVar

from textual.screen import Screen

Result = TypeVar("Result")


def leave(screen: Screen[Result], result: Result | None = None) -> None:
    """Leave a screen with a result, unless it was left already.

    A second key can wait in the queue of a screen that the first one left; Textual would take
    the screen away that lies below.
    """
    if screen.is_current:
        screen.dismiss(result)
