"""What was known when: the order of events, and who knew of what, from their parents alone.

A clock may be wrong and a laptop may be copied, so neither a time nor a counter tells what
came before what; the parents do. In one file that nobody merged the events form a chain, and
every question is answered by position. Past a fork each event gets the set of those before it.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from itertools import count

from siltline.record import Event


def is_chain(events: Sequence[Event]) -> bool:
    """Tell whether each event was written upon the one before it, in this very order."""
    return [event.parents for event in events[1:]] == [(event.id,) for event in events[:-1]]


def in_order(events: Iterable[Event]) -> list[Event]:
    """Return events so that parents come first: the same order for the same set, always.

    Where the parents leave it open, the earlier time and then the smaller id go first: an order
    for reading, on which nothing is decided. A parent that is not there is left out of account.
    """
    by_id = {event.id: event for event in events}
    above = {e.id: {p for p in e.parents if p in by_id} for e in by_id.values()}
    below: dict[str, list[str]] = {}
    for child, parents in above.items():
        for parent in parents:
            below.setdefault(parent, []).append(child)
    ready = [(by_id[i].at, i) for i, parents in above.items() if not parents]
    heapq.heapify(ready)
    found: list[Event] = []
    while ready:
        _, here = heapq.heappop(ready)
        found.append(by_id[here])
        for child in below.get(here, ()):
            above[child].discard(here)
            if not above[child]:
                heapq.heappush(ready, (by_id[child].at, child))
    return found


class Causes:
    """Answers whether one event was written in knowledge of another."""

    def __init__(self, events: Sequence[Event]) -> None:
        """Take events in an order where parents come first."""
        self.place: dict[str, int] = {}
        self.heads: set[str] = set()
        self._before: dict[str, int] = {}  # id -> bit set of the places before it, past a fork
        self.forked = not is_chain(events)
        for event in events:
            self._take(event)

    def _take(self, event: Event) -> None:
        if self.forked:
            before = 0
            for parent in event.parents:
                if parent in self._before:
                    before |= self._before[parent] | 1 << self.place[parent]
            self._before[event.id] = before
        self.place[event.id] = len(self.place)
        self.heads.difference_update(event.parents)
        self.heads.add(event.id)

    def extend(self, events: Sequence[Event]) -> bool:
        """Take in events that know of all that is here; False at the first that does not."""
        knows = bool(events) and set(events[0].parents) == self.heads
        if knows and not self.forked and is_chain(events):  # as nearly always
            self.place.update(zip([event.id for event in events], count(len(self.place))))
            self.heads = {events[-1].id}
            return True
        for event in events:
            if set(event.parents) != self.heads:
                return False
            self._take(event)
        return True

    def knew(self, later: str, earlier: str) -> bool:
        """Tell whether `later` was written in knowledge of `earlier`."""
        if not self.forked:
            return self.place[earlier] < self.place[later]
        return bool(self._before[later] >> self.place[earlier] & 1)


def lone(causes: Causes, events: Iterable[Event]) -> list[tuple[Event, Event]]:
    """Return pairs of one laptop's events of which the later did not know the earlier.

    A laptop knows what it wrote itself; such a pair shows that it, or its job file, was copied.
    """
    last: dict[str, Event] = {}
    found: list[tuple[Event, Event]] = []
    for event in events:
        before = last.get(event.device)
        if before is not None and not causes.knew(event.id, before.id):
            found.append((before, event))
        last[event.device] = event
    return found
