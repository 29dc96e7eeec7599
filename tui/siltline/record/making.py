"""Makes a new job file beside its final name and moves it into place when it is whole."""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
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
            "PRAGMA journal_mode = OFF;"  # whole or thrown away: a journal could only be left over
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


def _let_go(path: Path) -> None:
    """Take away what was begun under a name that was ours alone.

    Raises:
        Unreadable: the drive does not let it; says what to delete later.
    """
    try:
        path.unlink(missing_ok=True)
    except OSError as fault:
        told = say("record.cannot-let-go", name=path.name, fault=why(fault))
        raise Unreadable(told) from fault


@contextmanager
def appearing(path: Path) -> Iterator[Path]:
    """Give a hidden file to fill; it gets its name when the block ends well, and lasts then.

    A kill or a power cut at any moment leaves either no file of that name or the whole one (at
    worst an empty one, which says so when opened), and perhaps a hidden `.NAME.….part` that
    nothing ever reads.

    Raises:
        WrongUse: something of that name is there already; it is left as it is.
        Unreadable: the folder cannot be written to; nothing is left, or it says what is.
    """
    if os.path.lexists(path):
        raise WrongUse(say("record.exists", name=path.name))
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    taken = False
    try:
        with told(path):
            yield part
        with path.open("xb"):
            taken = True  # nothing is ever replaced, and from here on the name is ours
        part.replace(path)
        sync_folder(path.absolute().parent)
    except FileExistsError as fault:
        raise WrongUse(say("record.exists", name=path.name)) from fault
    except OSError as fault:
        if taken:
            _let_go(path)
        raise Unreadable(say("record.cannot-make", name=path.name, fault=why(fault))) from fault
    finally:
        with suppress(OSError):
            part.unlink()


def make_record(path: Path, events: Sequence[Event]) -> None:
    """Write a new job file that holds these events; errors as for `appearing`."""
    with appearing(path) as part:
        _fill(part, events)


def copy_record(source: sqlite3.Connection, path: Path) -> None:
    """Write a new job file that is a copy of an open one; errors as for `appearing`."""
    with appearing(path) as part, closing(sqlite3.connect(part)) as target:
        target.execute("PRAGMA journal_mode = OFF")  # thrown away where it fails
        source.backup(target)
