"""A disk as a power cut leaves it, rebuilt from a log of what a program wrote (see `cuts.c`).

The model, which grants a program no more than POSIX does:

- What was written to a file is safe when that file was synced afterwards; what was done to the
  names of a folder (made, unlinked, renamed) is safe when the folder was synced afterwards. Syncing
  a new file does not make its name safe.
- Everything else is kept, or dropped, or torn: file by file, each write by 512-byte sectors, each
  truncation, and each chain of acts upon a name up to some point. Where a file had grown, lost
  sectors read as zeros or as rubbish. A rename happens whole or not at all.
- Within 512 bytes a write happens whole or not at all, and what was synced stays. No test can
  promise anything about a drive that lies about syncing.
"""

from __future__ import annotations

import os
import random
import shutil
import struct
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

SECTOR = 512
_ENTRY = struct.Struct("<IiqII")
_SOURCE = Path(__file__).with_name("cuts.c")
TESTS = _SOURCE.parents[1]

OPEN, CREATE, WRITE, SYNC, GROW, SHRINK, UNLINK, RENAME, READ = (1 << n for n in range(9))


def built(folder: Path) -> Path:
    """Compile the shim into a folder; skip the test where that cannot be, but fail on CI."""
    if not sys.platform.startswith("linux") or sys.maxsize < 2**32:
        pytest.skip("LD_PRELOAD and these calls are those of 64-bit Linux")
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("no C compiler: install gcc")
    shim = folder / "cuts.so"
    command = [compiler, "-O1", "-shared", "-fPIC", "-o", str(shim), str(_SOURCE), "-ldl"]
    ran = subprocess.run([*command, "-lpthread"], capture_output=True, text=True, check=False)
    if ran.returncode:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"no shim: {ran.stderr}")
    return shim


def environment(shim: Path | None = None, **more: object) -> dict[str, str]:
    """Return the environment of a Python that finds siltline and the tests, under the shim."""
    path = os.pathsep.join([str(TESTS.parent / "tui"), str(TESTS)])
    preload = {"LD_PRELOAD": str(shim)} if shim else {}
    return {**os.environ, "PYTHONPATH": path, **preload, **{k: str(v) for k, v in more.items()}}


@dataclass(frozen=True)
class Entry:
    """A call that succeeded.

    Kinds: o open, w write, t truncate, s sync, r rename, u unlink, c close, m mark.
    """

    kind: str
    fd: int
    number: int
    words: str
    data: bytes


def entries(log: Path) -> Iterator[Entry]:
    """Read a log; a call that the model does not know fails the test."""
    with log.open("rb") as stream:
        while head := stream.read(_ENTRY.size):
            kind, fd, number, words, size = _ENTRY.unpack(head)
            entry = Entry(chr(kind), fd, number, stream.read(words).decode(), stream.read(size))
            assert entry.kind != "x", f"the model knows no {entry.words}"
            yield entry


@dataclass
class File:
    """What is safe of a file, and what was done to it since: (offset, bytes) or (size, None)."""

    safe: bytes = b""
    since: list[tuple[int, bytes | None]] = field(default_factory=list)

    def kept(self) -> bytes:
        return _played(self.safe, self.since)


def _played(safe: bytes, acts: list[tuple[int, bytes | None]]) -> bytes:
    found = bytearray(safe)
    for place, data in acts:
        if data is None:
            del found[place:]
            found.extend(bytes(place - len(found)))
        else:
            found.extend(bytes(max(0, place - len(found))))
            found[place : place + len(data)] = data
    return bytes(found)


def _sectors(place: int, data: bytes) -> Iterator[tuple[int, bytes]]:
    at = 0
    while at < len(data):
        size = SECTOR - (place + at) % SECTOR
        yield place + at, data[at : at + size]
        at += size


def torn(file: File, rng: random.Random) -> bytes:
    """Return a file of which an unsynced part arrived."""
    how = rng.choice(("kept", "dropped", "prefix", "sectors", "sectors"))
    if how == "kept" or not file.since:
        return file.kept()
    if how == "dropped":
        return file.safe
    if how == "prefix":
        pieces = [
            piece
            for place, data in file.since
            for piece in ([(place, None)] if data is None else _sectors(place, data))
        ]
        return _played(file.safe, pieces[: rng.randrange(len(pieces) + 1)])
    return _scattered(file, rng)


def _scattered(file: File, rng: random.Random) -> bytes:
    found, chance, rubbish = bytearray(file.safe), rng.choice((0.2, 0.5, 0.8)), rng.random() < 0.5

    def grow(size: int) -> None:
        missing = max(0, size - len(found))
        found.extend(rng.randbytes(missing) if rubbish else bytes(missing))

    for place, data in file.since:
        if data is None:
            if rng.random() < chance:
                del found[place:]
                grow(place)
            continue
        for at, piece in _sectors(place, data):
            if rng.random() < chance:
                grow(at)
                found[at : at + len(piece)] = piece
        if rng.random() < 0.5:  # the size of a file may be ahead of what is in it
            grow(place + len(data))
    return bytes(found)


Naming = tuple[str, str, int]  # (name, new name or "", number of the file or -1 for none)


class Disk:
    """One folder on a disk: feed it a log entry by entry, ask for what a cut now leaves."""

    def __init__(self, start: dict[str, bytes]) -> None:
        """Take what lies in the folder, safe, before the program starts."""
        self.files = [File(data) for data in start.values()]
        self.safe_names = {name: number for number, name in enumerate(start)}
        self.names = dict(self.safe_names)
        self.since: list[Naming] = []
        self.open: dict[int, int] = {}  # fd -> number of the file; -1 is the folder

    def feed(self, entry: Entry) -> bool:
        """Do what the program did; tell whether a cut now differs from one before."""
        return bool(getattr(self, f"_{entry.kind}")(entry))

    def _m(self, _: Entry) -> bool:
        return True

    def _c(self, entry: Entry) -> bool:
        del self.open[entry.fd]
        return False

    def _o(self, entry: Entry) -> bool:
        if not entry.words:
            self.open[entry.fd] = -1
            return False
        number = self.names.get(entry.words, -1)
        new = number < 0
        if new:
            number = len(self.files)
            self.files.append(File())
            self._name((entry.words, "", number))
        elif entry.number & os.O_TRUNC:
            self.files[number].since.append((0, None))
        self.open[entry.fd] = number
        return new or bool(entry.number & os.O_TRUNC)

    def _name(self, act: Naming) -> None:
        self.since.append(act)
        _rename(self.names, act)

    def _u(self, entry: Entry) -> bool:
        self._name((entry.words, "", -1))
        return True

    def _r(self, entry: Entry) -> bool:
        old, new = entry.words.split("\0")
        self._name((old, new, self.names[old]))
        return True

    def _w(self, entry: Entry) -> bool:
        self.files[self.open[entry.fd]].since.append((entry.number, entry.data))
        return True

    def _t(self, entry: Entry) -> bool:
        self.files[self.open[entry.fd]].since.append((entry.number, None))
        return True

    def _s(self, entry: Entry) -> bool:
        number = self.open[entry.fd]
        if number < 0:
            self.safe_names, self.since = dict(self.names), []
        else:
            file = self.files[number]
            self.files[number] = File(file.kept())
        return True

    def kept(self) -> dict[str, bytes]:
        """Return the folder when everything unsynced arrived."""
        return {name: self.files[number].kept() for name, number in self.names.items()}

    def dropped(self) -> dict[str, bytes]:
        """Return the folder when nothing unsynced arrived."""
        return {name: self.files[number].safe for name, number in self.safe_names.items()}

    def torn(self, seed: int) -> dict[str, bytes]:
        """Return the folder when some of the unsynced arrived."""
        rng = random.Random(seed)
        names = dict(self.safe_names)
        for act in self._some_names(rng):
            _rename(names, act)
        return {name: torn(self.files[number], rng) for name, number in names.items()}

    def _some_names(self, rng: random.Random) -> list[Naming]:
        """Return the acts upon names that arrived: in order for each name, not across names."""
        if rng.random() < 0.4:  # as a journalling file system has it
            return self.since[: rng.randrange(len(self.since) + 1)]
        chains: list[tuple[set[str], list[int]]] = []
        for place, (old, new, _) in enumerate(self.since):
            touched, places = {old, new} - {""}, [place]
            for chain in [chain for chain in chains if chain[0] & touched]:
                chains.remove(chain)
                touched |= chain[0]
                places = [*chain[1], *places]
            chains.append((touched, sorted(places)))
        arrived = [n for _, places in chains for n in places[: rng.randrange(len(places) + 1)]]
        return [self.since[place] for place in sorted(arrived)]


def _rename(names: dict[str, int], act: Naming) -> None:
    old, new, number = act
    if new:
        names.pop(old, None)
        names[new] = number
    elif number < 0:
        names.pop(old, None)
    else:
        names[old] = number


def laid_out(folder: Path, image: dict[str, bytes]) -> None:
    """Make a folder hold exactly this."""
    for there in folder.iterdir():
        there.unlink()
    for name, data in image.items():
        (folder / name).write_bytes(data)


def cut_ways(disk: Disk, point: int, seeds: int) -> Iterator[tuple[str, dict[str, bytes]]]:
    """Yield what a cut at a point can leave: all kept, all dropped, torn in several manners."""
    yield "kept", disk.kept()
    yield "dropped", disk.dropped()
    for seed in range(seeds):
        yield f"torn {seed}", disk.torn(1000 * point + seed)
