"""Where labels go, so that none lies on another, and marks, so that each keeps its row."""

from __future__ import annotations

from collections.abc import Sequence

from siltline.text import cells


def spread(wanted: Sequence[int], rows: int) -> list[int]:
    """Return a row for each label, in order, each as near as can be to the row it wants.

    Args:
        wanted: rows, growing; what stands above comes first.
        rows: how many rows there are; at least as many as labels.
    """
    found: list[int] = []
    for number, row in enumerate(wanted):
        free = found[-1] + 1 if found else 0
        latest = rows - (len(wanted) - number)
        found.append(min(max(row, free), latest))
    return found


def slots(rows: Sequence[int], count: int) -> list[int | None]:
    """Return a slot for each mark, such that no two marks of one row share a slot.

    Marks stand one slot further than the mark before them, as steps of a stair, so that a
    cable that hangs on one meets no other. None where a row is full.
    """
    taken: set[tuple[int, int]] = set()
    found: list[int | None] = []
    for number, row in enumerate(rows):
        order = ((number + more) % count for more in range(count)) if count else iter(())
        slot = next((one for one in order if (row, one) not in taken), None)
        if slot is not None:
            taken.add((row, slot))
        found.append(slot)
    return found


def packed(texts: Sequence[str], width: int, gap: str = "   ") -> list[list[str]]:
    """Return texts as rows of texts that fit a width together; a long one has a row alone."""
    found: list[list[str]] = []
    used = width + 1
    for text in texts:
        needs = cells(text) + len(gap)
        if used + needs > width:
            found.append([])
            used = -len(gap)
        found[-1].append(text)
        used += needs
    return found
