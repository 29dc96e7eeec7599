"""Makes a new job file beside its final name and moves it into place when it is whole."""

from __future__ import annotations

import os
import secrets
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from siltline.errors import Unreadable, WrongUse, why
from siltline.record.connect import APPLICATION_ID, PAGE_BYTES, SCHEMA_VERSION, told
from siltline.record.derived import DERIVED
from siltline.record.envelope import Event
from siltline.record.layout import SCHEMA
from siltline.record.upgrade import WITHHELD
from siltline.sentences import say


def _fill(path: Path, events: Sequence[Event]) -> None:
    # 160 ms to import, and a job is made once
    from sqlite_utils import Database  # noqa: PLC0415

    database = Database(path)
    try:
        database.conn.executescript(
            f"PRAGMA page_size = {PAGE_BYTES};"
            f"PRAGMA application_id = {APPLICATION_ID};"
            f"PRAGMA user_version = {SCHEMA_VERSION};"
            "PRAGMA synchronous = FULL;"
        )
        database.conn.executescript(SCHEMA.read_text(encoding="utf-8"))
        database.conn.executescript(WITHHELD.read_text(encoding="utf-8"))
        database.conn.executescript(DERIVED.read_text(encoding="utf-8"))
        database.table("event").insert_all({"id": e.id, "envelope": e.text} for e in events)
        away = {e.body["photo"] for e in events if e.kind == "withheld"}
        database.table("withheld").insert_all({"sha256": sha256} for sha256 in sorted(away))
    finally:
        database.close()


def sync_folder(folder: Path) -> None:
    """Make a new name in a folder last through a power cut, where the system needs telling."""
    flag = getattr(os, "O_DIRECTORY", None)
    if flag is None:  # Windows keeps names by itself
        return
    handle = os.open(folder, flag | os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_record(path: Path, events: Sequence[Event]) -> None:
    """Write a new job file that holds these events.

    A kill at any moment leaves either no job of that name or the whole one (at worst an
    empty file, which says so when opened).

    Raises:
        WrongUse: something of that name is there already; it is left as it is.
        Unreadable: the folder cannot be written to.
    """
    if os.path.lexists(path):
        raise WrongUse(say("record.exists", name=path.name))
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with told(path):
            _fill(part, events)
        with path.open("xb"):
            pass  # takes the name, so that nothing is ever replaced
        part.replace(path)
        sync_folder(path.absolute().parent)
    except FileExistsError as fault:
        raise WrongUse(say("record.exists", name=path.name)) from fault
    except OSError as fault:
        raise Unreadable(say("record.cannot-make", name=path.name, fault=why(fault))) from fault
    finally:
        for left in (part, Path(f"{part}-journal")):
            with suppress(OSError):
                left.unlink()
