"""Puts records together: the union of their events and photos, in whatever order they come."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from siltline.errors import Broken, WrongUse
from siltline.record import rows
from siltline.record.audit import faults
from siltline.record.connect import told
from siltline.record.derived import copy_facts
from siltline.record.envelope import Event
from siltline.record.store import Record, open_record
from siltline.sentences import say


class Joined(Struct, frozen=True):
    """What one record brought to another."""

    events: int
    photos: int


def root(record: Record) -> str:
    """Return the id of the event that everything else was written upon: it names the job."""
    return next((event.id for event in record.events if not event.parents), "")


def of_one_job(one: Record, other: Record) -> bool:
    """Tell whether two records are of one job: begun by one entry, or with any entry in common.

    A salvaged file may have lost its first entry.
    """
    if root(one) and root(one) == root(other):
        return True
    there = {event.id for event in other.events}
    return any(event.id in there for event in one.events)


def bring(target: sqlite3.Connection, source: Record, new: Sequence[Event]) -> Joined:
    """Bring events, and the photos that the target lacks, inside a transaction of the target.

    Photos that anybody withheld are taken out of the target and not brought.

    Args:
        target: where they go.
        source: where they come from; its events are all known to the target afterwards.
        new: those of its events that the target lacks, parents first.
    """
    for event in new:
        rows.keep_event(target, event)
    away = {e.body["photo"] for e in source.events if e.kind == "withheld"}
    away |= {sha256 for (sha256,) in target.execute("SELECT sha256 FROM withheld")}
    mine = rows.photo_hashes(target)
    for sha256 in mine & away:
        rows.erase_photo(target, sha256)
    with told(source.path):
        offered = rows.photo_hashes(source.connection)
    wanted = sorted(offered - mine - away)
    for sha256 in wanted:
        rows.keep_photo(target, sha256, source.photo_bytes(sha256))
    copy_facts(source.connection, target, wanted)
    return Joined(len(new), len(wanted))


def take_new(target: Record, source: Record) -> Joined:
    """Bring what is new in `source` to `target`, in one transaction; nothing is ever replaced.

    Raises:
        WrongUse: the two are of different jobs.
        Unreadable: the target cannot be written.
        Broken: a photo of the source no longer has its bytes.
    """
    if not of_one_job(source, target):
        raise WrongUse(say("merge.different", one=source.path.name, other=target.path.name))
    with target.writing():
        there = {event.id for event in target.events}
        new = [event for event in source.events if event.id not in there]
        with told(target.path):
            joined = bring(target.connection, source, new)
        target.refresh()
    return joined


def open_whole(path: Path) -> Record:
    """Open a record to take from it, after checking that it is whole.

    Raises:
        Broken: it is not; names the first fault.
        Unreadable: as for `open_record`.
    """
    found = faults(path)
    if found:
        raise Broken(say("merge.not-whole", name=path.name, fault=found[0]))
    return open_record(path)
