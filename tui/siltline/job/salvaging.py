"""Salvage: what is intact of a damaged job goes into a new file, and what is lost is listed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from siltline import __version__, config, times
from siltline.errors import Broken
from siltline.record import make_record, open_record, seal
from siltline.record.connect import with_ending
from siltline.record.envelope import heads
from siltline.record.salvage import ordered, read_all
from siltline.sentences import say


@dataclass(frozen=True, slots=True)
class SalvageReport:
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
    found = read_all(damaged)
    if not found.events:
        raise Broken(say("salvage.nothing", name=damaged.name))
    events = ordered(found)
    body = {"from": damaged.name, "lost": found.lost, "program": __version__}
    told = seal(
        "salvaged",
        body,
        at=times.written(clock()),
        device=device or config.device(),
        by=by,
        parents=heads(events),
    )
    target = with_ending(out)
    make_record(target, [*events, told])
    record = open_record(target)
    try:
        for sha256, data in found.photos.items():
            with record.writing():
                record.keep_photo(sha256, data)
    finally:
        record.close()
    return SalvageReport(target, len(events), len(found.photos), tuple(found.lost))
