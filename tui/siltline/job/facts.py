"""The facts of a house sheet as people read them, and what a correction makes of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from siltline.sentences import say

MOST_TOLD = 6  # facts of a place that is told whole

Path = tuple[str, ...]


class FactChange(Struct, frozen=True):
    """A fact before and after a correction, as typed; "" where it is not known.

    `typed` is what was typed where the fact is a reading of it (a date), else "".
    """

    path: str
    old: str
    new: str
    typed: str = ""

    def __str__(self) -> str:
        """Return the change in words."""
        unknown = say("fact.unknown")
        if self.old == self.new:
            return say("fact.same", path=self.path, value=self.old or unknown)
        new = self.new or unknown
        shown = say("fact.read-from", value=new, typed=self.typed) if self.typed else new
        return say("fact.change", path=self.path, old=self.old or unknown, new=shown)


def flat(data: Any, path: Path = ()) -> Iterator[tuple[str, str]]:
    """Yield each fact of the data of a sheet: its path with dots, its value as typed."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from flat(value, (*path, str(key)))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from flat(value, (*path, str(number)))
    elif data is not None:
        words = {True: say("fact.yes"), False: say("fact.no")}
        yield ".".join(path), words[data] if isinstance(data, bool) else str(data)


def _told(data: Any, path: Path) -> str:
    """Return what stands at a path; of a place with facts of its own, the first of them."""
    for key in path:
        data = data.get(key) if isinstance(data, dict) else None
    if data == {}:
        return say("fact.yes")
    found = [f"{key}={value}" if key else value for key, value in flat(data)]
    return ", ".join([*found[:MOST_TOLD], *["..."] * (len(found) > MOST_TOLD)])


def fact_changes(
    before: Any, after: Any, paths: Iterable[Path], typed: Mapping[Path, str]
) -> tuple[FactChange, ...]:
    """Return what became of facts, in the order of their paths.

    Args:
        before: the data of the sheet as it stood.
        after: its data with the corrections.
        paths: where the corrected facts stand.
        typed: path -> what was typed where the fact is a reading of it.
    """
    return tuple(
        FactChange(".".join(path), _told(before, path), _told(after, path), typed.get(path, ""))
        for path in paths
    )
