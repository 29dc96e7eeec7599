"""Finds photos where a person pointed, and reads them without trusting what is there."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from siltline.sentences import say

LARGEST = 400_000_000  # bytes; a 200-megapixel phone photo has 50 million
DEEPEST = 12  # folders below the one that was named
# Linux and macOS can refuse links and not wait on pipes while opening; Windows lacks the flags.
_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
)


# What cameras and phones write that is no picture to be shown: told as what it is, by its name,
# since some raw files pass for a TIFF of a few pixels. Common practice; the list is from memory.
_RAW = "3fr arw cr2 cr3 crw dng erf iiq kdc mef mos mrw nef nrw orf pef raf raw rw2 rwl sr2 srw x3f"
_VIDEO = "3g2 3gp avi m2ts m4v mkv mov mp4 mpeg mpg mts webm wmv"
_SIDECAR = "aae ctg dat ini lrv thm xml xmp"
_TOLD_BY_NAME = {
    f".{ending}": key
    for key, endings in (("add.raw", _RAW), ("add.video", _VIDEO), ("add.sidecar", _SIDECAR))
    for ending in endings.split()
}


class NotTaken(Exception):  # noqa: N818 - told to people as a reason, not raised as a fault
    """A file that is not taken in; the text says why.

    Attributes:
        again: it could not be read now, so it should be offered again.
    """

    def __init__(self, because: str, *, again: bool = False) -> None:
        super().__init__(because)
        self.again = again


class Found(Struct, frozen=True):
    """A file to take in, or one that is refused at once; `again` as for `NotTaken`."""

    path: Path
    because: str = ""
    again: bool = False


def _inside(folder: Path, depth: int) -> Iterator[Found]:
    try:
        entries = sorted(folder.iterdir())
    except OSError as fault:
        yield Found(folder, say("add.folder", fault=fault.strerror), again=True)
        return
    for entry in entries:
        yield from _look(entry, depth + 1)


def _look(path: Path, depth: int) -> Iterator[Found]:
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        yield Found(path, say("add.missing"), again=True)
    except (OSError, ValueError) as fault:  # no right to look; a name no system can have
        told = say("add.unreadable", fault=getattr(fault, "strerror", fault))
        yield Found(path, told, again=isinstance(fault, OSError))
    else:
        yield from _of_mode(path, mode, depth)


def _of_mode(path: Path, mode: int, depth: int) -> Iterator[Found]:
    if stat.S_ISLNK(mode):
        yield Found(path, say("add.link"))
    elif not stat.S_ISDIR(mode) and not stat.S_ISREG(mode):
        yield Found(path, say("add.not-a-file"))  # to open a device can do something
    elif not stat.S_ISDIR(mode):
        named = _TOLD_BY_NAME.get(path.suffix.casefold())
        yield Found(path, say(named) if named else "")
    elif depth > DEEPEST:
        yield Found(path, say("add.too-deep", deepest=DEEPEST))
    else:
        yield from _inside(path, depth)


def find(path: Path) -> Iterator[Found]:
    """Yield the files of a folder and its folders in the order of their names, or the one file.

    Links are never followed: they come out with the reason why they are refused.
    """
    yield from _look(path, 0)


def _same(a: os.stat_result, b: os.stat_result) -> bool:
    return (a.st_size, a.st_mtime_ns) == (b.st_size, b.st_mtime_ns)


def read(path: Path) -> bytes:
    """Return the bytes of a regular file that did not change while it was read.

    Raises:
        NotTaken: a link, a pipe, a folder, empty, too large, unreadable, or still growing.
    """
    try:
        handle = os.open(path, _FLAGS)
    except OSError as fault:
        link = fault.errno in (errno.ELOOP, errno.EMLINK)  # what O_NOFOLLOW answers
        told = say("add.link") if link else say("add.unreadable", fault=fault.strerror)
        raise NotTaken(told, again=not link) from fault
    try:
        return _held(handle)
    except OSError as fault:
        raise NotTaken(say("add.unreadable", fault=fault.strerror), again=True) from fault
    finally:
        with suppress(OSError):  # nothing was written; a drive that is gone has told so already
            os.close(handle)


def _held(handle: int) -> bytes:
    """Return the bytes of an open file that holds still.

    Raises:
        NotTaken: as for `read`.
        OSError: the drive does not give them.
    """
    before = os.fstat(handle)
    if not stat.S_ISREG(before.st_mode):
        raise NotTaken(say("add.not-a-file"))
    if before.st_size == 0:
        raise NotTaken(say("add.empty"))
    if before.st_size > LARGEST:
        raise NotTaken(say("add.too-large", limit=LARGEST // 1_000_000))
    data = _bytes(handle, before.st_size + 1)
    if len(data) != before.st_size or not _same(before, os.fstat(handle)):
        raise NotTaken(say("add.changing"), again=True)
    return data


def _bytes(handle: int, most: int) -> bytes:
    """Return at most so many bytes: a read may give fewer than asked, none only at the end."""
    parts: list[bytes] = []
    while most > 0 and (part := os.read(handle, most)):
        parts.append(part)
        most -= len(part)
    return parts[0] if len(parts) == 1 else b"".join(parts)
