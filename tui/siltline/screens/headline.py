"""The head line of the desk: what alarms, what is due, what is counted, the name of the house.

The name is what tells two jobs apart, so all else gives way to it.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from siltline.text import cells

WIDE, TIGHT = "   ", "  "  # between two parts


class Head(Struct, frozen=True):
    """What the head line may say.

    Attributes:
        house: the name of the house.
        counts: what is counted, what matters most first.
        due: the nearest deadline, whole and short; nothing where none is near.
        alarms: what is never left out.
    """

    house: str
    counts: tuple[str, ...] = ()
    due: tuple[str, ...] = ()
    alarms: tuple[str, ...] = ()


def fitted(head: Head, width: int) -> str:
    """Return the fullest line that fits so many columns; at least the alarms and the name."""
    line = ""
    for line in _lines(head):
        if cells(line) <= width:
            break
    return line


def _lines(head: Head) -> Iterator[str]:
    """Yield the line, each time with less in it."""

    def joined(gap: str, due: str, counts: tuple[str, ...]) -> str:
        return gap.join(filter(None, (*head.alarms, due, *counts, head.house)))

    dues = head.due or ("",)
    for due in dues:
        yield joined(WIDE, due, head.counts)
        yield joined(TIGHT, due, head.counts)
    for left in range(len(head.counts) - 1, -1, -1):
        yield joined(TIGHT, dues[-1], head.counts[:left])
    yield joined(TIGHT, "", ())
