"""Salvage: what is intact of a damaged job goes into a new file, and what is lost is listed."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from msgspec import Struct

from siltline import __version__, config, times
from siltline.errors import Broken, Unreadable, WrongUse, why
from siltline.record import Record, open_record, seal
from siltline.record.connect import located, with_ending
from siltline.record.envelope import heads
from siltline.record.making import make_record
from siltline.record.salvage import Salvaged, intact_photos, ordered, read_all
from siltline.sentences import say
from siltline.text import storable


class SalvageReport(Struct, frozen=True):
    """Where the new file is, how much went into it, and the ids of what is lost."""

    path: Path
    events: int
    photos: int
    lost: tuple[str, ...]


def salvage(
    damaged: Path,
    out: Path,
    *,
    by: str | None = None,
    clock: times.Clock = times.now,
    device: str | None = None,
) -> SalvageReport:
    """Write all that is intact of a damaged job into a new file; the damaged one is only read.

    The new file says in its own record what could not be brought over.

    Raises:
        Broken: not one event could be found.
        WrongUse: something stands under the new name.
        Unreadable: the damaged file is not there, or the new one cannot be written.
    """
    damaged, target = located(damaged), with_ending(out)
    if os.path.lexists(target):  # before an hour is spent on reading
        raise WrongUse(say("record.exists", name=target.name))
    stamp: dict[str, Any] = {
        "at": times.written(clock()),
        "device": device or config.device(),
        "by": by,
    }
    with _settled(damaged, target) as source:
        found = read_all(source)
        if not found.events:
            raise Broken(say("salvage.nothing", name=damaged.name))
        events = ordered(found)
        body = {"from": storable(damaged.name), "lost": found.lost, "program": __version__}
        told = seal("salvaged", body, parents=heads(events), **stamp)
        make_record(target, [*events, told])
        record = open_record(target)
        try:
            _bring_photos(record, source, found, stamp)
        finally:
            record.close()
    return SalvageReport(target, len(events), len(found.photos), tuple(found.lost))


def _bring_photos(record: Record, source: Path, found: Salvaged, stamp: Mapping[str, Any]) -> None:
    """Bring the photos over; one whose entry is lost is taken in anew, under its hash."""
    named = found.of("photo", "sha256")
    for sha256, data in intact_photos(source):
        if sha256 not in found.photos:
            continue
        with record.writing():
            if record.keep_photo(sha256, data) and sha256 not in named:
                body = {"sha256": sha256, "name": sha256[:12], "bytes": len(data)}
                record.append("photo", body, **stamp)


@contextmanager
def _settled(damaged: Path, target: Path) -> Iterator[Path]:
    """Give the file to read: as it is, or where an act was cut off, a copy without that act.

    SQLite itself takes the act back, from the journal beside the file, as far as it can.

    Raises:
        Unreadable: the copy cannot be made.
    """
    journal = damaged.with_name(f"{damaged.name}-journal")
    if not (journal.is_file() and journal.stat().st_size):
        yield damaged
        return
    try:
        with TemporaryDirectory(prefix=".siltline-", dir=target.absolute().parent) as folder:
            copy = Path(folder) / "copy"
            shutil.copyfile(damaged, copy)
            shutil.copyfile(journal, copy.with_name("copy-journal"))
            with suppress(sqlite3.Error), closing(sqlite3.connect(copy)) as connection:
                connection.execute("SELECT count(*) FROM sqlite_schema")
            yield copy
    except OSError as fault:
        raise Unreadable(say("record.cannot-make", name=target.name, fault=why(fault))) from fault
