"""Looks at the laptop before it is relied on: what is fine, what wants a look, in plain words."""

from __future__ import annotations

import os
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from msgspec import Struct

from siltline import __version__, config, times
from siltline.errors import Refusal
from siltline.job.machine import drive
from siltline.job.second_copy import is_copy, second_copy
from siltline.job.synced import synced_folder
from siltline.record import Record, open_record
from siltline.record.connect import OLDEST_SQLITE
from siltline.sentences import say

LITTLE_SPACE = 2_000_000_000  # bytes: 500 photos of 4 MB
_BUILT = datetime(2026, 1, 1, tzinfo=UTC)  # no clock can be right before this was written
_FAR = datetime(2040, 1, 1, tzinfo=UTC)
_DRIFT_S = 120  # between the laptop's clock and the stamp that its drive gives a new file


class Sign(Struct, frozen=True):
    """One thing that was looked at: fine, look (at it), or unknown; in words."""

    about: str
    verdict: str
    text: str


def _sign(about: str, fine: bool, well: str, ill: str, /, **values: object) -> Sign:
    """Return a sign with the sentence for when all is well, or the one for when it is not."""
    return Sign(about, "fine" if fine else "look", say(well if fine else ill, **values))


def _program(_: Path) -> Iterator[Sign]:
    python = ".".join(map(str, sys.version_info[:3]))
    yield Sign("program", "fine", say("doctor.program", version=__version__, python=python))
    versions = {"found": sqlite3.sqlite_version, "wanted": ".".join(map(str, OLDEST_SQLITE))}
    new = sqlite3.sqlite_version_info >= OLDEST_SQLITE
    yield _sign("sqlite", new, "doctor.sqlite", "doctor.sqlite-old", **versions)


def _settings(_: Path) -> Iterator[Sign]:
    folder = config.settings_folder()
    now = times.written(times.now())
    config.keep("written", now)
    there = config.kept("written") == now
    yield _sign("settings", there, "doctor.settings", "doctor.settings-lost", folder=folder)


def _drive(folder: Path) -> Iterator[Sign]:
    found = drive(folder)
    unknown = say("doctor.unknown")
    kind = say(f"doctor.kind.{found.kind}") if found.kind else unknown
    text = say("doctor.drive", kind=kind, system=found.system or unknown)
    lasting = found.kind in ("fixed", "")
    text = text if lasting else f"{text} {say('doctor.lasting')}"
    yield Sign("drive", "fine" if lasting else "look", text)
    gigabytes = f"{found.free / 1e9:.1f}"
    roomy = found.free >= LITTLE_SPACE
    yield _sign("space", roomy, "doctor.space", "doctor.space-little", free=gigabytes)
    if found.encrypted == "yes":
        yield Sign("encryption", "fine", say("doctor.encrypted"))
    else:
        yield Sign("encryption", "unknown", say("doctor.encryption-unknown"))
    synced = synced_folder(folder / "doctor.job")
    if synced is not None:
        yield Sign("folder", "look", say("doctor.synced", folder=synced))


def _terminal(_: Path) -> Iterator[Sign]:
    if not sys.stdout.isatty():
        yield Sign("terminal", "unknown", say("doctor.no-terminal"))
        return
    columns, lines = os.get_terminal_size()
    large = columns >= 80 and lines >= 24  # noqa: PLR2004 - what the screen is laid out for
    size = {"columns": columns, "lines": lines}
    yield _sign("terminal", large, "doctor.terminal", "doctor.terminal-small", **size)
    encoding = (sys.stdout.encoding or "").lower().replace("-", "")
    utf8 = encoding == "utf8"
    yield _sign("letters", utf8, "doctor.letters", "doctor.letters-few", encoding=encoding)


def _zones(_: Path) -> Iterator[Sign]:
    there = times.zone("America/Chicago") is not None
    yield _sign("zones", there, "doctor.zones", "doctor.zones-none")


def _clock(folder: Path) -> Iterator[Sign]:
    now = times.now()
    sane = _BUILT <= now <= _FAR
    yield _sign("clock", sane, "doctor.clock", "doctor.clock-wrong", at=times.shown(now, None))
    probe = folder / f".siltline-{os.getpid()}.tmp"
    try:
        probe.touch()
        drift = abs(probe.stat().st_mtime - time.time())
        probe.unlink()
    except OSError:
        return
    if drift > _DRIFT_S:
        yield Sign("clock", "look", say("doctor.clock-drive", seconds=round(drift)))


def _copy_signs(record: Record) -> Iterator[Sign]:
    """Look at the second copy of a job, and write nothing to it."""
    if is_copy(record):
        return
    copy = second_copy(record)
    if copy is None:
        yield Sign("copy", "look", say("doctor.copy-none", name=record.path.name))
        return
    state = copy.look()
    told = {"path": state.path, "n": state.behind, "because": state.because}
    if state.because:
        key = "doctor.copy-lost" if state.behind else "doctor.copy-unseen"
    else:
        key = "doctor.copy-behind" if state.behind else "doctor.copy"
    yield Sign("copy", "fine" if key == "doctor.copy" else "look", say(key, **told))


def _job_signs(job: Path) -> Iterator[Sign]:
    """Look at a job: whether it opens, and whether its newest entry lies in the future."""
    try:
        record = open_record(job)
    except Refusal as fault:
        yield Sign("job", "look", str(fault))
        return
    try:
        newest = max((times.read(event.at) for event in record.events), default=None)
        copy = list(_copy_signs(record)) if newest is not None else []
    finally:
        record.close()
    if newest is None:
        yield Sign("job", "look", say("record.no-plan", name=job.name))
        return
    yield from copy
    ahead = newest > times.now()
    at = times.shown(newest, None)
    yield _sign("job", not ahead, "doctor.job", "doctor.job-ahead", name=job.name, at=at)


_LOOKS: tuple[Callable[[Path], Iterator[Sign]], ...] = (
    _program, _settings, _drive, _zones, _clock, _terminal,
)  # fmt: skip


def examine(job: Path | None = None) -> list[Sign]:
    """Return what was found: of the laptop, of the drive of a job (or of this folder), of it."""
    folder = job.absolute().parent if job is not None else Path.cwd()
    found = [sign for look in _LOOKS for sign in look(folder)] if folder.is_dir() else []
    return [*found, *_job_signs(job)] if job is not None else found
