"""Whatever bit of a job file flips, `verify` finds it, or the record is the same as before.

What is harmless: free space, counters of SQLite, an index that says the same. "The same" means
every event in its order, every photo's bytes, every state, and what the views tell SQL alone.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import nullcontext
from pathlib import Path

import pytest

from siltline.errors import Broken, Unreadable
from siltline.job import add as adding
from siltline.job.verifying import verify
from siltline.photos.reader import PhotoReader
from siltline.record import connect as connecting
from siltline.record.audit import faults
from support.records import large_job, tiny_job, told

PARTS = 4  # of the full campaign, for as many cores
EVERY_BIT = tuple(1 << bit for bit in range(8))
Flip = tuple[int, int]  # where, and which bits


def outcome(path: Path, was: dict[str, object]) -> str:
    """Return what becomes of a flip: found, harmless or missed."""
    try:
        if faults(path):
            return "found"
        if told(path) == was:
            return "harmless"
        return "found" if verify(path).faults else "missed"
    except (Unreadable, Broken):
        return "found"
    except Exception as fault:  # noqa: BLE001 - what is no sentence of ours is a miss
        return f"fell over: {fault!r}"


def campaign(path: Path, flips: Iterable[Flip]) -> tuple[Counter[str], list[str]]:
    """Flip bits in turn; return how many ended how, and what was missed."""
    raw, was = path.read_bytes(), told(path)
    assert path.read_bytes() == raw, "looking changes nothing"
    counted: Counter[str] = Counter()
    missed = []
    with PhotoReader() as reader, pytest.MonkeyPatch.context() as patched:
        patched.setattr(adding, "PhotoReader", lambda: nullcontext(reader))  # one for all flips
        for offset, bits in flips:
            spoilt = bytearray(raw)
            spoilt[offset] ^= bits
            path.write_bytes(spoilt)
            what = outcome(path, was)
            counted[what] += 1
            if what not in ("found", "harmless"):
                missed.append(f"byte {offset} of page {offset // 16384 + 1} ^ {bits:#x}: {what}")
            for left in path.parent.glob(f"*{path.name}?*"):
                left.unlink()
    path.write_bytes(raw)
    assert told(path) == was
    return counted, missed


def line(name: str, path: Path, counted: Counter[str], missed: list[str]) -> str:
    return (
        f"flips in {name} of {path.stat().st_size} bytes: {counted.total()} tried, "
        f"{counted['found']} found, {counted['harmless']} harmless, {len(missed)} missed"
    )


def sampled(raw: bytes, held: int, free: int) -> Iterator[Flip]:
    """Yield a flip of every `held`-th byte that holds something and of every `free`-th zero."""
    chance = random.Random(97)
    for step, zero in ((held, False), (free, True)):
        for offset in [n for n, byte in enumerate(raw) if (byte == 0) is zero][::step]:
            yield offset, chance.choice((0xFF, *EVERY_BIT))


def header_flips() -> Iterator[Flip]:
    """Yield every bit of the file's header: 100 bytes, that say what all others mean."""
    yield from ((offset, bits) for offset in range(100) for bits in EVERY_BIT)


def row_flips(raw: bytes) -> Iterator[Flip]:
    """Yield the top bits of what tells the type and size of each 64 letters: ids and hashes.

    The 141 that stands there for such a text (2 * 64 + 13) becomes the 1 of a small number.
    """
    for found in re.finditer(rb"\x81\x0d", raw):
        yield found.start(), 0x80
        yield found.start(), 0x01


def test_a_flip_here_and_there_in_a_tiny_job_is_found_or_changes_nothing(
    memory: Path, monkeypatch: pytest.MonkeyPatch, figure: Callable[[str], None]
) -> None:
    monkeypatch.setattr(connecting, "BUSY_MS", 0)
    path = tiny_job(memory)
    flips = [*header_flips(), *row_flips(path.read_bytes())]
    flips += sampled(path.read_bytes(), 89, 1999)
    counted, missed = campaign(path, flips)
    figure(line("a tiny job (a sample)", path, counted, missed))
    assert missed == []
    assert counted["found"] > 250


@pytest.mark.full
@pytest.mark.parametrize("part", range(PARTS))
def test_every_flip_in_a_tiny_job_is_found_or_changes_nothing(
    part: int, memory: Path, figure: Callable[[str], None]
) -> None:
    """Every bit of every byte that holds something; all and one at random of every zero."""
    path = tiny_job(memory)
    raw, chance = path.read_bytes(), random.Random(part)
    mine = range(part * len(raw) // PARTS, (part + 1) * len(raw) // PARTS)
    flips = (
        (offset, bits)
        for offset in mine
        for bits in ((0xFF, *EVERY_BIT) if raw[offset] else (0xFF, chance.choice(EVERY_BIT)))
    )
    counted, missed = campaign(path, flips)
    figure(line(f"a tiny job (part {part + 1} of {PARTS})", path, counted, missed))
    assert missed == []


@pytest.mark.full
def test_random_flips_in_a_large_job_are_found_or_change_nothing(
    memory: Path, figure: Callable[[str], None]
) -> None:
    path = large_job(memory)
    size, chance = path.stat().st_size, random.Random(2000)
    assert size > 20_000_000
    flips = [(chance.randrange(size), chance.choice(EVERY_BIT)) for _ in range(2000)]
    counted, missed = campaign(path, flips)
    figure(line("a large job", path, counted, missed))
    assert missed == []
