"""Whatever was acknowledged is there after a power cut at any moment.

A scripted job (`support/scripted.py`) runs under a shim that logs its writes. The disk is rebuilt
as a cut after each of them may have left it, by the model told in `support/cuts.py`, and the job is
opened, as on the next morning. Weaker settings of SQLite must lose acts here, or the harness sees
nothing.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from siltline.errors import Refusal
from siltline.job import open_job
from siltline.record.audit import faults
from siltline.record.derived import step_rows
from siltline.sentences import say
from support import cuts
from support.warm import Warm

FROZEN = cuts.TESTS / "data" / "job-v1.siltline"
SCRIPT = cuts.TESTS / "support" / "scripted.py"
FILES = ("job.siltline", "old.siltline")
PART = re.compile(r"\.job\.siltline\.[0-9a-f]{8}\.part$")  # left by a begin that was cut off
Image = dict[str, bytes]


@dataclass(frozen=True)
class Run:
    """One run of the scripted job: how the disk was, what it wrote, pieces of what it erased."""

    start: Image
    log: list[cuts.Entry]
    erased: dict[str, list[bytes]]


@dataclass(frozen=True)
class Morning:
    """What opening one file found.

    Attributes:
        ids: of the events, in order.
        absent: it is not there, or empty, and that was said.
        refused: the sentence, where it would not open otherwise.
        faults: what verify found, and pieces of photos that were withheld.
        left: names in the folder besides the job's.
    """

    ids: tuple[str, ...] = ()
    absent: bool = False
    refused: str = ""
    faults: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


@dataclass
class Counts:
    """What a campaign counted; each lost act and each unreadable file with where it was."""

    points: int = 0
    disks: int = 0
    lost: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        told = f"{self.points} points, {self.disks} disks rebuilt"
        return f"{told}: {len(self.lost)} with acts lost, {len(self.wrong)} unreadable or not whole"


def run_script(shim: Path, folder: Path, *settings: str) -> Run:
    disk = folder / "disk"
    disk.mkdir()
    shutil.copy(FROZEN, disk / "old.siltline")
    log = folder / "log"
    paths = {"CUTS_UNDER": disk, "CUTS_LOG": log, "SILTLINE_HOME": folder / "home"}
    command = [sys.executable, str(SCRIPT), str(disk), *settings]
    subprocess.run(command, env=cuts.environment(shim, **paths), check=True)
    with closing(sqlite3.connect(FROZEN)) as frozen:
        (letter,) = frozen.execute("SELECT data FROM photo ORDER BY seq").fetchone()
    face = (folder / "outside" / "P1.JPG").read_bytes()
    erased = {
        FILES[0]: [face[at : at + 64] for at in range(100, 60_000, 2000)],
        FILES[1]: [letter],
    }
    start = {"old.siltline": FROZEN.read_bytes()}
    found = Run(start, list(cuts.entries(log)), erased)
    told = replayed(found).kept()
    assert told == {path.name: path.read_bytes() for path in disk.iterdir()}, "the log tells all"
    return found


def scratch() -> str | None:
    """Return where thousands of small disks are written and read back: in memory, if it can be."""
    memory = "/dev/shm"  # noqa: S108
    return memory if Path(memory).is_dir() else None


def replayed(run: Run) -> cuts.Disk:
    disk = cuts.Disk(run.start)
    for entry in run.log:
        disk.feed(entry)
    return disk


class Mornings:
    """Opens rebuilt files, each different one once."""

    def __init__(self, folder: Path, run: Run) -> None:
        self.folder, self.run = folder, run
        self.known: dict[str, Morning] = {}

    def of(self, file: str, image: Image) -> Morning:
        mine = {name: data for name, data in sorted(image.items()) if file in name}
        key = hashlib.sha256(file.encode())
        for name, data in mine.items():
            key.update(f"{name} {len(data)} ".encode() + data)
        if key.digest() not in self.known:
            self.known[key.digest()] = self._look(file, mine)
        return self.known[key.digest()]

    def _look(self, file: str, image: Image) -> Morning:
        cuts.laid_out(self.folder, image)
        path = self.folder / file
        try:
            job = open_job(path)
        except Refusal as fault:
            empty = say("record.empty", name=file)
            missing = say("record.missing", name=file, folder=self.folder)
            absent = str(fault) in (empty, missing)
            left = tuple(sorted(name for name in image if name != file and not PART.match(name)))
            return Morning(absent=absent, refused="" if absent else str(fault), left=left)
        ids = tuple(event.id for event in job.record.events)
        withheld = bool(job.board.ledger.withheld)
        found = faults(path)  # without reading each photo again, as `verify` does besides
        with suppress(Refusal):  # then a fault was found above
            if job.record.derived(step_rows) not in ({}, job.step_rows()):
                found.append("the step table is of another state")
        job.close()
        data = path.read_bytes()
        if withheld and any(piece in data for piece in self.run.erased[file]):
            found.append("bytes of a withheld photo")
        left = tuple(sorted(there.name for there in self.folder.iterdir() if there != path))
        return Morning(ids, faults=tuple(found), left=left)


def acts_of(run: Run, file: str) -> list[tuple[str, ...]]:
    """Return the event ids after each acknowledged act on a file."""
    marks = [json.loads(entry.data) for entry in run.log if entry.kind == "m"]
    return [tuple(mark["events"]) for mark in marks if mark["file"] == file]


def judge(file: str, morning: Morning, acts: list[tuple[str, ...]], done: int) -> tuple[str, str]:
    """Return what is lost and what is wrong, "" each where nothing is.

    Args:
        file: which job.
        morning: what opening it found.
        acts: event ids after each act.
        done: how many of the acts were acknowledged before the cut.
    """
    if morning.refused or morning.absent:
        wrong = "; ".join(filter(None, (morning.refused, *morning.left)))
        return ("all of it" if morning.absent and done else ""), wrong
    if morning.faults or morning.left:
        return "", "; ".join((*morning.faults, *morning.left))
    reached = [number for number, ids in enumerate(acts, 1) if ids == morning.ids]
    if not reached:
        return "", f"half an act: {len(morning.ids)} entries"
    return (f"{done - reached[-1]} acts" if reached[-1] < done else ""), ""


def cut(run: Run, *, seeds: int, stride: int = 1, files: tuple[str, ...] = FILES) -> Counts:
    """Cut at every point (or each `stride`-th), in every way."""
    counts, disk = Counts(), cuts.Disk(run.start)
    acts = {file: acts_of(run, file) for file in files}
    done = dict.fromkeys(FILES, 0)
    with TemporaryDirectory(dir=scratch()) as folder:
        mornings = Mornings(Path(folder), run)
        for number, entry in enumerate(run.log):
            differs = disk.feed(entry)
            if entry.kind == "m":
                done[json.loads(entry.data)["file"]] += 1
            if not differs or (number % stride and entry.kind != "m"):
                continue
            counts.points += 1
            for way, image in cuts.cut_ways(disk, number, seeds):
                counts.disks += 1
                for file in files:
                    where = f"{file} after call {number} ({way}): "
                    morning = mornings.of(file, image)
                    lost, wrong = judge(file, morning, acts[file], done[file])
                    counts.lost += [where + lost] if lost else []
                    counts.wrong += [where + wrong] if wrong else []
    return counts


@pytest.mark.parametrize(
    ("seeds", "stride"), [pytest.param(2, 5), pytest.param(40, 1, marks=pytest.mark.full)]
)
def test_nothing_acknowledged_is_lost(
    shim: Path, tmp_path: Path, figure: Callable[[str], None], seeds: int, stride: int
) -> None:
    counts = cut(run_script(shim, tmp_path), seeds=seeds, stride=stride)
    figure(f"power cuts: {counts}")
    assert counts.lost == []
    assert counts.wrong == []


def half_done(run: Run, most: int) -> dict[bytes, tuple[Image, int]]:
    """Return rebuilt disks that hold a journal to be rolled back, spread over the run."""
    found: dict[bytes, tuple[Image, int]] = {}
    disk, done = cuts.Disk(run.start), 0
    for number, entry in enumerate(run.log):
        differs = disk.feed(entry)
        done += entry.kind == "m" and json.loads(entry.data)["file"] == FILES[0]
        for _, image in cuts.cut_ways(disk, number, 2) if differs else ():
            mine = {name: data for name, data in image.items() if FILES[0] in name}
            if mine.get(f"{FILES[0]}-journal"):
                found[hashlib.sha256(repr(sorted(mine.items())).encode()).digest()] = mine, done
    return dict(list(found.items())[:: max(1, len(found) // most)])


@pytest.mark.full
def test_a_second_cut_while_the_first_is_mended_loses_nothing(
    shim: Path, tmp_path: Path, figure: Callable[[str], None]
) -> None:
    run, counts, disk = run_script(shim, tmp_path), Counts(), tmp_path / "mended"
    acts = acts_of(run, FILES[0])
    disk.mkdir()
    with Warm(tmp_path / "home", shim) as warm, TemporaryDirectory(dir=scratch()) as folder:
        mornings = Mornings(Path(folder), run)
        for turn, (image, done) in enumerate(half_done(run, 60).values()):
            cuts.laid_out(disk, image)
            log = tmp_path / f"log-{turn}"
            warm.command("steps", disk / FILES[0], watch=disk, log=log)
            again = cuts.Disk(image)
            for number, entry in enumerate(cuts.entries(log)):
                if not again.feed(entry):
                    continue
                counts.points += 1
                for way, second in cuts.cut_ways(again, number, 8):
                    counts.disks += 1
                    lost, wrong = judge(FILES[0], mornings.of(FILES[0], second), acts, done)
                    where = f"disk {turn}, call {number} ({way}): "
                    counts.lost += [where + lost] if lost else []
                    counts.wrong += [where + wrong] if wrong else []
    figure(f"second power cuts: {counts}")
    assert counts.disks
    assert counts.lost == []
    assert counts.wrong == []


@pytest.mark.parametrize("weaker", ["OFF", "NORMAL", "FULL"])
def test_the_harness_sees_what_weaker_settings_lose(
    shim: Path, tmp_path: Path, figure: Callable[[str], None], weaker: str
) -> None:
    """DELETE needs EXTRA: with FULL the folder is not synced after the journal's name goes."""
    weak = ("PRAGMA journal_mode = DELETE", f"PRAGMA synchronous = {weaker}")
    counts = cut(run_script(shim, tmp_path, *weak), seeds=1, stride=9, files=FILES[:1])
    figure(f"power cuts with DELETE/{weaker}: {counts}")
    assert counts.lost
