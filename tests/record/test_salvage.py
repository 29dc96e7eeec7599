"""Whatever is intact of a damaged job comes into a new file, and what is lost is told, all of it.

What is intact is found out by the tests themselves: they know the text of each entry and the
bytes of each photo, look up where these lie in the file, and see what a damage covers.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from siltline.claim.folder import write_claim
from siltline.errors import Broken, WrongUse
from siltline.job import open_job
from siltline.job.acts import attach, detach, tick, undo
from siltline.job.add import add
from siltline.job.close_out import review
from siltline.job.merge import merge
from siltline.job.salvaging import SalvageReport, salvage
from siltline.job.verifying import Verdict, verify
from siltline.job.withholding import withhold
from siltline.record import open_record
from siltline.record.audit import faults
from siltline.record.connect import PAGE_BYTES
from support.command import Shell
from support.pictures import photo
from support.records import begun, by_hand, told
from support.ticking import TickingClock


@dataclass(frozen=True)
class Job:
    """A job file, and which bytes hold what.

    Attributes:
        path, raw: the file.
        texts: id -> the text of each entry.
        photos: sha256 -> where the bytes of each photo lie, as (start, end).
    """

    path: Path
    raw: bytes
    texts: dict[str, bytes]
    photos: dict[str, list[tuple[int, int]]]

    def hit(self, damaged: bytes) -> set[str]:
        """Return what a damage of the file covers."""
        return {i for i, text in self.texts.items() if text not in damaged} | {
            sha256
            for sha256, runs in self.photos.items()
            if any(damaged[start:end] != self.raw[start:end] for start, end in runs)
        }

    @property
    def all(self) -> set[str]:
        return self.texts.keys() | self.photos.keys()


def runs(raw: bytes, content: bytes) -> list[tuple[int, int]]:
    """Return where random bytes lie in a file whose pages cut them apart."""
    found, done = [], 0
    while done < len(content):
        start = raw.index(content[done : done + 32])
        end = start
        while done < len(content) and raw[end] == content[done]:
            end, done = end + 1, done + 1
        found.append((start, end))
    return found


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Job:
    """A job of some thirty pages: words over several of them, photos over one to seven."""
    folder = tmp_path_factory.mktemp("lived")
    chance = random.Random(7064)
    job = begun(folder)
    contents: dict[str, bytes] = {}
    for number in range(7):
        data = chance.randbytes(12_000 + 15_000 * number)
        sha256 = hashlib.sha256(data).hexdigest()
        with job.acting():
            job.record.keep_photo(sha256, data)
            job.append("photo", {"sha256": sha256, "name": f"{number}", "bytes": len(data)}, "Ada")
        contents[sha256] = data
        for _ in range(9):
            tick(job, "power-off/house", by="Ada", note=chance.randbytes(150).hex())
            undo(job)
    texts = {event.id: event.text.encode() for event in job.record.events}
    job.close()
    raw = job.record.path.read_bytes()
    return Job(job.record.path, raw, texts, {s: runs(raw, d) for s, d in contents.items()})


def salvaged(lived: Job, damaged: bytes, folder: Path) -> SalvageReport:
    """Salvage a damage and check that nothing that is intact is missing, and nothing else there."""
    path, out = folder / "damaged.siltline", folder / "out.siltline"
    path.write_bytes(damaged)
    out.unlink(missing_ok=True)
    report = salvage(path, out, by="Ada", clock=TickingClock(), device="00000000000000bb")
    assert path.read_bytes() == damaged, "the damaged file is only read"
    assert faults(out) == []
    record = open_record(out)
    there = {e.id for e in record.events} | {
        sha256 for (sha256,) in record.connection.execute("SELECT sha256 FROM photo")
    }
    record.close()
    lost = lived.hit(damaged)
    assert there >= lived.all - lost, "everything intact is in the new file"
    assert there.isdisjoint(lost)
    return report


@pytest.mark.parametrize("how", ["zeros", "junk", "another page"])
def test_any_page_may_be_damaged(lived: Job, memory: Path, how: str) -> None:
    pages = len(lived.raw) // PAGE_BYTES
    chance = random.Random(how)
    for page in range(pages):
        damaged = bytearray(lived.raw)
        other = (page * 5 + 3) % pages * PAGE_BYTES
        what = {
            "zeros": bytes(PAGE_BYTES),
            "junk": chance.randbytes(PAGE_BYTES),
            "another page": lived.raw[other : other + PAGE_BYTES],
        }[how]
        damaged[page * PAGE_BYTES : (page + 1) * PAGE_BYTES] = what
        report = salvaged(lived, bytes(damaged), memory)
        assert set(report.lost) == lived.hit(damaged), f"page {page + 1}"


@pytest.mark.parametrize("left", [0.95, 0.75, 0.5])
def test_the_end_may_be_missing(lived: Job, memory: Path, left: float) -> None:
    damaged = lived.raw[: int(len(lived.raw) * left)]
    report = salvaged(lived, damaged, memory)
    assert set(report.lost) == lived.hit(damaged)
    assert report.lost


@pytest.mark.parametrize("half", ["first", "second"])
def test_half_the_file_may_be_zeros(lived: Job, memory: Path, half: str) -> None:
    middle = len(lived.raw) // 2
    zeros = bytes(middle)
    damaged = zeros + lived.raw[middle:] if half == "first" else lived.raw[:-middle] + zeros
    report = salvaged(lived, damaged, memory)
    lost = lived.hit(damaged)
    assert set(report.lost) <= lost, "nothing is called lost that is there"
    if half == "second":  # the indexes of ids lie in the first half, and tell of all
        assert set(report.lost) == lost
    else:  # then what is left tells of what it was written upon
        assert report.lost


@pytest.mark.parametrize("rounds", [6, pytest.param(300, marks=pytest.mark.full)])
def test_many_small_damages_at_once(lived: Job, memory: Path, rounds: int) -> None:
    """Three holes each, wherever they fall: nothing that is lost stays untold."""
    for seed in range(rounds):
        chance, damaged = random.Random(seed), bytearray(lived.raw)
        for _ in range(3):
            start = chance.randrange(PAGE_BYTES, len(damaged) - 64)
            damaged[start : start + 64] = bytes(64)
        path, out = memory / "damaged.siltline", memory / f"{seed}.siltline"
        path.write_bytes(damaged)
        report = salvage(path, out)
        assert faults(out) == []
        assert set(report.lost) >= lived.hit(damaged), seed


def broken(path: Path, what: bytes, folder: Path) -> Path:
    """Return a copy in which one byte, where something stands, is another."""
    raw = bytearray(path.read_bytes())
    assert raw.count(what) == 1
    raw[raw.index(what)] ^= 0x01
    damaged = folder / "damaged.siltline"
    damaged.write_bytes(raw)
    return damaged


def test_a_broken_photo_is_lost_and_nothing_else(lived: Job, tmp_path: Path) -> None:
    at = next(found[-1][0] for found in lived.photos.values() if len(found) > 1)
    damaged = broken(lived.path, lived.raw[at : at + 64], tmp_path)
    report = salvage(damaged, tmp_path / "out")
    assert set(report.lost) == lived.hit(damaged.read_bytes())
    assert len(report.lost) == 1


@pytest.mark.parametrize("which", [1, 40, -1])
def test_a_broken_entry_is_lost_and_named_even_if_nothing_was_written_upon_it(
    lived: Job, tmp_path: Path, which: int
) -> None:
    record = open_record(lived.path)
    event = record.events[which]
    record.close()
    damaged = broken(lived.path, event.text.encode()[:200], tmp_path)
    report = salvage(damaged, tmp_path / "out")
    assert report.lost == (event.id,)
    assert faults(tmp_path / "out.siltline") == []


@pytest.mark.parametrize("which", [3, -1])
def test_an_entry_of_which_a_letter_flipped_is_lost_and_never_taken_for_what_was_written(
    lived: Job, tmp_path: Path, which: int
) -> None:
    record = open_record(lived.path)
    event = record.events[which]
    record.close()
    old = f'"device":"{event.device}"'.encode()
    raw = lived.path.read_bytes()
    start = raw.index(event.text.encode()[:120])
    place = raw.index(old, start) + len(b'"device":"')
    flipped = b"b" if raw[place : place + 1] != b"b" else b"a"
    damaged = tmp_path / "flipped.siltline"
    damaged.write_bytes(raw[:place] + flipped + raw[place + 1 :])
    report = salvage(damaged, tmp_path / "out")
    assert report.lost == (event.id,)
    again = open_record(tmp_path / "out.siltline")
    assert flipped.decode() + event.device[1:] not in {e.device for e in again.events}
    again.close()


def test_an_intact_file_comes_over_whole_and_equal(lived: Job, tmp_path: Path) -> None:
    report = salvage(lived.path, tmp_path / "out", by="Ada")
    assert report.lost == ()
    was, now = told(lived.path), told(tmp_path / "out.siltline")
    assert now["events"][: len(was["events"])] == was["events"]
    assert [text for _, text in now["events"][len(was["events"]) :] if "salvaged" not in text] == []
    assert len(now["events"]) == len(was["events"]) + 1
    assert now["photos"] == was["photos"]
    assert now["states"] == was["states"]
    assert verify(tmp_path / "out.siltline").faults == ()


def test_a_photo_whose_entry_is_lost_is_taken_in_anew(tmp_path: Path) -> None:
    job = begun(tmp_path)
    add(job, [photo(tmp_path)])
    sha256, entry = next(iter(job.board.ledger.photos)), job.record.events[-1]
    job.close()
    damaged = broken(job.record.path, entry.text.encode()[:200], tmp_path)
    report = salvage(damaged, tmp_path / "out")
    assert report.lost == (entry.id,)
    again = open_job(report.path)
    assert again.board.ledger.photos[sha256].name == sha256[:12]
    attach(again, "power-off/house", sha256, role="before")
    again.close()
    assert verify(report.path).faults == ()


def test_nothing_that_stands_there_is_replaced_and_nothing_is_read_in_vain(
    lived: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    there = tmp_path / "out.siltline"
    there.write_bytes(b"mine")
    with pytest.raises(WrongUse, match="there already"):
        salvage(lived.path, tmp_path / "out")
    assert Shell(capsys)("verify", lived.path, "--salvage", there).code == 2
    assert there.read_bytes() == b"mine"
    assert list(tmp_path.iterdir()) == [there]


@pytest.mark.parametrize("raw", [b"", b"x", bytes(100_000), os.urandom(100_000)])
def test_a_file_in_which_nothing_is_found_makes_no_new_file(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "damaged"
    path.write_bytes(raw)
    with pytest.raises(Broken, match="Not one entry"):
        salvage(path, tmp_path / "out")
    assert list(tmp_path.iterdir()) == [path]


def test_a_withheld_photo_is_not_lost_and_does_not_come_back(tmp_path: Path) -> None:
    job = begun(tmp_path)
    add(job, [photo(tmp_path)])
    stale = tmp_path / "stale.siltline"
    shutil.copy(job.record.path, stale)
    sha256 = withhold(job, "IMG_0001.JPG", because="a private letter", by="Ada")
    job.close()
    report = salvage(job.record.path, tmp_path / "out")
    assert (report.lost, report.photos) == ((), 0)
    merged, _ = merge([stale], report.path)
    assert not merged.record.has_photo(sha256)
    merged.close()
    assert faults(report.path) == []


def test_an_act_that_was_cut_off_is_taken_back_first(lived: Job, tmp_path: Path) -> None:
    """A journal beside the file holds pages as they were before an act that was never finished."""
    path = tmp_path / "cut.siltline"
    shutil.copy(lived.path, path)
    writer = sqlite3.connect(path, isolation_level=None)
    writer.execute("PRAGMA cache_size = 1")
    with by_hand(tmp_path / "cut.siltline"):
        pass  # the same layout, and no statistics in the way
    writer.execute("BEGIN IMMEDIATE")
    for number in range(40):
        writer.execute(
            "INSERT INTO photo (sha256, bytes, data) VALUES (?, ?, randomblob(20000))",
            (f"{number:064x}", 20000),
        )
    for name in ("cut.siltline", "cut.siltline-journal"):
        shutil.copy(tmp_path / name, tmp_path / f"power-{name}")
    writer.execute("ROLLBACK")
    writer.close()
    before = {p.name for p in tmp_path.iterdir()}
    report = salvage(tmp_path / "power-cut.siltline", tmp_path / "out")
    assert report.lost == ()
    assert {p.name for p in tmp_path.iterdir()} - before == {"out.siltline"}
    assert told(report.path)["photos"] == told(lived.path)["photos"]


@pytest.fixture
def copies(tmp_path: Path) -> tuple[Path, Path, str]:
    """A salvaged job whose one proof is lost; a copy that still has it; the photo."""
    job = begun(tmp_path)
    add(job, [photo(tmp_path)])
    attach(job, "power-off/house", "IMG_0001.JPG", role="before")
    tick(job, "power-off/house", by="Ada")
    sha256 = next(iter(job.board.ledger.photos))
    data = job.record.photo_bytes(sha256)
    job.close()
    good = tmp_path / "good.siltline"
    shutil.copy(job.record.path, good)
    damaged = broken(job.record.path, data[-100:], tmp_path)
    return salvage(damaged, tmp_path / "out").path, good, sha256


def test_the_job_goes_on_and_says_what_is_lost(
    copies: tuple[Path, Path, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, _, sha256 = copies
    shell = Shell(capsys)
    ran = shell("verify", out, "--json")
    assert (ran.code, ran.json["whole"]) == (1, True)
    assert [line.split()[0] for line in ran.json["lost"]] == [sha256[:12]]
    assert "lost with damaged.siltline" in shell("photos", out).out
    job = open_job(out)
    lost = [(f.weight, f.step) for f in review(job) if f.code == "photo-lost"]
    assert lost == [("must-fix", "power-off/house")]
    written = write_claim(job, tmp_path / "claim")
    assert not [name for name in written if name.startswith("originals")]
    assert "damaged.siltline" in (tmp_path / "claim" / "photos.csv").read_text(encoding="utf-8")
    detach(job, "power-off/house", sha256)
    assert [f.weight for f in review(job) if f.code == "photo-lost"] == ["note"]
    job.close()


def test_the_photo_itself_taken_in_again_is_back_under_its_own_entry(
    copies: tuple[Path, Path, str], tmp_path: Path
) -> None:
    out, _, sha256 = copies
    job = open_job(out)
    events = len(job.record.events)
    assert [o.kind for o in add(job, [tmp_path / "IMG_0001.JPG"]).outcomes] == ["taken"]
    assert job.record.has_photo(sha256)
    assert len(job.record.events) == events
    assert [f for f in review(job) if f.code == "photo-lost"] == []
    job.close()
    assert verify(out) == Verdict(())


def test_a_copy_that_still_has_what_was_lost_brings_it_back(
    copies: tuple[Path, Path, str],
) -> None:
    out, good, sha256 = copies
    merge([good], out)[0].close()
    assert verify(out) == Verdict(())
    job = open_job(out)
    assert job.record.has_photo(sha256)
    assert [f for f in review(job) if f.code == "photo-lost"] == []
    job.close()


@pytest.mark.parametrize("first", ["out", "good"])
def test_a_file_that_lost_its_very_first_entries_joins_a_copy_that_has_them(
    lived: Job, tmp_path: Path, first: str
) -> None:
    record = open_record(lived.path)
    root = record.events[0].text.encode()
    plan = record.events[1].text.encode()
    record.close()
    raw = bytearray(lived.raw)
    for text in (root, plan[:200]):
        raw[raw.index(text[:200])] ^= 1
    (tmp_path / "damaged.siltline").write_bytes(raw)
    out = salvage(tmp_path / "damaged.siltline", tmp_path / "out").path
    assert verify(out).faults == ("out.siltline holds no plan; it was left as it is.",)
    sources = {"out": [out, lived.path], "good": [lived.path, out]}[first]
    merge(sources, tmp_path / "both")[0].close()
    both = tmp_path / "both.siltline"
    assert verify(both).faults == ()
    assert verify(both).lost == ()
    was, now = told(lived.path), told(both)
    assert {i for i, _ in was["events"]} < {i for i, _ in now["events"]}
    assert now["states"] == was["states"]


def test_by_command(
    lived: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str], figure: Callable[[str], None]
) -> None:
    damaged = tmp_path / "damaged.siltline"
    damaged.write_bytes(lived.raw[: len(lived.raw) * 6 // 10])
    shell = Shell(capsys)
    ran = shell("verify", damaged, "--salvage", tmp_path / "out")
    assert ran.code == 1
    lost = lived.hit(damaged.read_bytes())
    assert all(f"lost: {what}" in ran.out for what in lost)
    assert f"{len(lost)} things are lost." in ran.out
    total, kept = len(lived.all), len(lived.all) - len(lost)
    figure(f"salvage of a file cut at 60 %: {kept} of {total} entries and photos, all intact ones")
    again = shell("verify", lived.path, "--salvage", tmp_path / "whole", "--json")
    assert again.code == 0
    assert again.json["lost"] == []


def test_the_tests_know_where_things_lie(lived: Job) -> None:
    """Each photo lies in one place only: SQLite left no stale copy of a part of it."""
    assert all(text in lived.raw for text in lived.texts.values())
    for found in lived.photos.values():
        assert [lived.raw.count(lived.raw[start:end]) for start, end in found] == [1] * len(found)
