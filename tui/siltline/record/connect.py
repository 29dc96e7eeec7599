"""Opens the SQLite file: settings that survive a power cut, and faults told in words."""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import quote

from siltline.errors import Broken, Busy, Refusal, Unreadable, WrongUse
from siltline.record.derived import make_sure
from siltline.record.upgrade import copy_name, upgrade
from siltline.sentences import say

APPLICATION_ID = 0x53494C54  # "SILT"
SCHEMA_VERSION = 2
OLDEST_SQLITE = (3, 37, 0)  # the first with STRICT tables
PAGE_BYTES = 16384  # photos commit twice as fast as at 4 KiB; acts stay small
BUSY_MS = 5000

# TRUNCATE with FULL loses no acknowledged row in simulated power cuts, and needs no
# directory sync on Windows. The triggers that keep rows need recursive_triggers.
_SETTINGS = (
    "PRAGMA trusted_schema = OFF",
    "PRAGMA journal_mode = TRUNCATE",
    "PRAGMA synchronous = FULL",
    "PRAGMA recursive_triggers = ON",
    "PRAGMA foreign_keys = ON",
    f"PRAGMA busy_timeout = {BUSY_MS}",
)

_TOLD: dict[str, tuple[type[Refusal], str]] = {
    "SQLITE_BUSY": (Busy, "record.locked"),
    "SQLITE_LOCKED": (Busy, "record.locked"),
    "SQLITE_READONLY_DBMOVED": (Unreadable, "record.moved"),
    "SQLITE_READONLY_ROLLBACK": (Unreadable, "record.cut-off"),
    "SQLITE_READONLY": (Unreadable, "record.read-only"),
    "SQLITE_FULL": (Unreadable, "record.disk-full"),
    "SQLITE_IOERR": (Unreadable, "record.drive-fault"),
    "SQLITE_CANTOPEN": (Unreadable, "record.cannot-open"),
    "SQLITE_PERM": (Unreadable, "record.cannot-open"),
    "SQLITE_NOTADB": (Unreadable, "record.not-a-job"),
    "SQLITE_CORRUPT": (Broken, "record.damaged"),
}


ENDING = ".siltline"


def located(path: Path) -> Path:
    """Return the job that a person named, with its ending where that was left off."""
    whole = path.with_name(path.name + ENDING) if path.name else path
    return whole if not os.path.lexists(path) and os.path.lexists(whole) else path


def with_ending(path: Path) -> Path:
    """Return the path of a new job file, with the ending that jobs have.

    Raises:
        WrongUse: it names no file, or its folder is not there.
    """
    if not path.name:
        raise WrongUse(say("record.no-name"))
    if not path.absolute().parent.is_dir():
        raise WrongUse(say("record.no-folder", folder=path.absolute().parent))
    return path if path.suffix == ENDING else path.with_name(path.name + ENDING)


def uri(path: Path, mode: str) -> str:
    """Return SQLite's name for a file: drive letters and network shares included."""
    whole = path.absolute().as_posix()
    return f"file://{'' if whole.startswith('/') else '/'}{quote(whole)}?mode={mode}"


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn SQLite's faults into sentences that say what was kept and what to do."""
    try:
        yield
    except UnicodeDecodeError as fault:  # SQLite quotes torn bytes in what it says
        raise Broken(say("record.damaged", name=path.name)) from fault
    except sqlite3.Error as fault:
        if str(fault).startswith("Could not decode"):  # Python's own, which has no code
            raise Broken(say("record.damaged", name=path.name)) from fault
        whole = getattr(fault, "sqlite_errorname", "")
        family = "_".join(whole.split("_")[:2])
        kind, key = _TOLD.get(whole) or _TOLD.get(family, (Unreadable, "record.other-fault"))
        raise kind(say(key, name=path.name, fault=fault)) from fault


def _version(path: Path, connection: sqlite3.Connection) -> int:
    """Return the version of a job file.

    Raises:
        Unreadable: it is no job, or newer than this program.
        Broken: it says to be of a version that never was.
    """
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if application != APPLICATION_ID:
        raise Unreadable(say("record.not-a-job", name=path.name))
    if version > SCHEMA_VERSION:
        raise Unreadable(say("record.newer", name=path.name, version=version, ours=SCHEMA_VERSION))
    if version < 1:
        raise Broken(say("record.damaged", name=path.name))
    return int(version)


def _bring_up(path: Path, connection: sqlite3.Connection, version: int) -> None:
    """Bring an older file up to this version; one that cannot be written is read as it is."""
    kept = copy_name(path)
    if version == SCHEMA_VERSION:
        if kept.exists():  # a kill came between the last two steps of `upgrade`
            with suppress(OSError):
                kept.unlink()
        return
    with suppress(sqlite3.OperationalError, OSError):
        upgrade(path, connection, version, SCHEMA_VERSION)


def _refuse_at_sight(path: Path) -> None:
    """Refuse what needs no opening to be seen as no job, and a library that is too old."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        wanted = ".".join(map(str, OLDEST_SQLITE))
        raise Unreadable(say("record.old-sqlite", found=sqlite3.sqlite_version, wanted=wanted))
    try:
        seen = path.stat()
    except FileNotFoundError as fault:
        told = say("record.missing", name=path.name, folder=path.absolute().parent)
        raise Unreadable(told) from fault
    except (OSError, ValueError) as fault:  # no right to look; a name no system can have
        raise Unreadable(say("record.cannot-open", name=path.name)) from fault
    if stat.S_ISDIR(seen.st_mode):
        raise Unreadable(say("record.is-a-folder", name=path.name))
    if seen.st_size == 0:
        raise Unreadable(say("record.empty", name=path.name))


def connect(path: Path) -> sqlite3.Connection:
    """Open an existing job file for reading and, where the drive lets it, writing.

    Raises:
        Unreadable: missing, empty, not a job, newer than this program, or locked.
        Broken: SQLite finds the file damaged.
    """
    _refuse_at_sight(path)
    with told(path):
        connection = sqlite3.connect(uri(path, "rw"), uri=True, isolation_level=None)
        try:
            connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
            version = _version(path, connection)
            for setting in _SETTINGS:
                connection.execute(setting)
            _bring_up(path, connection, version)
            make_sure(connection)
        except BaseException:
            connection.close()
            raise
    return connection
