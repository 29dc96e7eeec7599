"""A drive that is full, or fails, at any call of any command: one sentence, and nothing is lost.

Each command runs once for each open, write, sync, truncation, unlink and rename that it does in the
folder of the job, with that call failing (`support/cuts.c`): once, or from there on, as a drive
that stays full or was pulled. Then the fault is gone, and the same command must do its work.
"""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from itertools import cycle
from pathlib import Path

import pytest

from siltline.record.audit import faults
from siltline.sentences import say
from support import cuts
from support.pictures import photo
from support.small import write_tiny
from support.warm import Arm, Told, Warm

FINE, FINDINGS, WRONG_USE, UNREADABLE, BROKEN = range(5)  # the README's table
FULLY = pytest.mark.full
FULL = cuts.CREATE | cuts.WRITE | cuts.GROW
ANY = FULL | cuts.OPEN | cuts.SYNC | cuts.SHRINK | cuts.UNLINK | cuts.RENAME
# how it fails: what fails first, and what fails afterwards
FAULTS = {
    "full once": (errno.ENOSPC, FULL | cuts.SYNC, 0),
    "full from now": (errno.ENOSPC, FULL | cuts.SYNC, FULL),
    "error once": (errno.EIO, ANY, 0),
    "gone from now": (errno.EIO, ANY, ANY | cuts.READ),
    "unread once": (errno.EIO, cuts.READ, 0),
}
READS = {"gone", "unread"}
# what is said where an act stands although it failed
ARRIVED = (
    "may be in the file all the same",
    "was made; do not begin it again",
    "not be taken away",
    "may hold only a part",
    "were new to it.",  # a merge tells that first, and then what there is to decide
)
JOB, OLD = "job.siltline", "old.siltline"
STEP = "power-off/house"
ACTS: dict[str, list[str]] = {
    "begin": ["begin", "{out}/tiny.yaml", "{job}", "--checklist", "{out}/tiny"],
    "add": ["add", "{job}", "{out}/two.JPG"],
    "attach": ["attach", "{job}", STEP, "one.JPG", "--as", "during"],
    "tick": ["tick", "{job}", "walk/house", "--by", "Ada"],
    "measure": ["tick", "{job}", "outlet/one", "--by", "Ada", "--value", "14 in"],
    "untick": ["untick", "{job}", STEP],
    "leave-out": ["leave-out", "{job}", "walk/house", "--by", "Ada", "--because", "no time"],
    "undo": ["undo", "{job}"],
    "handoff": ["handoff", "{job}", "--from", "Ada", "--to", "Ben"],
    "withhold": ["withhold", "{job}", "one.JPG", "--because", "a face", "--by", "Ada"],
    "merge": ["merge", "{job}", "{out}/other.siltline", "--into", "{job}"],
    "merge into a new one": ["merge", "{out}/other.siltline", "--into", "{job}"],
    "upgrade": ["tick", "{old}", "lines-as-found/kitchen", "--by", "Ada"],
}

NEW = ("begin", "merge into a new one")


@dataclass
class Place:
    """The folders of one campaign, and how the folder of the job was before each command."""

    warm: Warm
    disk: Path
    out: Path
    job: dict[str, bytes]

    def words(self, act: str) -> list[str]:
        names = {"job": self.disk / JOB, "old": self.disk / OLD, "out": self.out}
        return [word.format(**names) for word in ACTS[act]]

    def before(self, act: str) -> dict[str, bytes]:
        frozen = (cuts.TESTS / "data" / "job-v1.siltline").read_bytes()
        if act in NEW:
            return {}
        return {OLD: frozen} if act == "upgrade" else self.job

    def run(self, act: str, arm: Arm | None = None, *, watch: Path | None = None) -> Told:
        return self.warm.command(*self.words(act), watch=watch or self.disk, arm=arm)


@pytest.fixture(scope="module")
def place(shim: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Place]:
    folder = tmp_path_factory.mktemp("faults")
    disk, out = folder / "disk", folder / "out"
    disk.mkdir()
    write_tiny(out)
    one = photo(out, "one.JPG", 1)
    photo(out, "two.JPG", 2, size=(900, 700))
    with Warm(folder / "home", shim) as warm:
        place = Place(warm, disk, out, {})
        assert place.run("begin").code == 0
        for words in (["add", one], ["attach", STEP, "one.JPG"], ["tick", STEP, "--by", "Ada"]):
            assert warm.command(words[0], disk / JOB, *words[1:]).code == 0
        place.job = {JOB: (disk / JOB).read_bytes()}
        (out / "other.siltline").write_bytes(place.job[JOB])
        other = ["leave-out", out / "other.siltline", "walk/house", "--by", "Ben"]
        assert warm.command(*other, "--because", "no time").code == 0
        yield place


def ids_of(path: Path) -> list[str]:
    """Return the events of a job, [] where there is none; nothing else looks at the file."""
    if not path.exists() or not path.stat().st_size:
        return []
    with closing(sqlite3.connect(path)) as connection:
        return [found for (found,) in connection.execute("SELECT id FROM event ORDER BY seq")]


def sentences(act: str, told: Told, how: str) -> list[str]:
    """Return what is wrong with how a fault was told."""
    wrong = []
    ours = say("cli.our-fault", where="|").split("|")[0]
    if "Traceback" in told.err or ours in told.err:
        wrong.append(f"no sentence: {told.err[-300:]}")
    # SQLite calls a page that cannot be read damaged; the sentence tells both
    allowed = {FINE, UNREADABLE, BROKEN} if READS & set(how.split()) else {FINE, UNREADABLE}
    if told.code not in allowed:
        wrong.append(f"exit code {told.code}: {told.err}")
    lines = len(told.err.splitlines())
    silent = not told.out or act.startswith("merge")
    if told.code != FINE and (not silent or lines not in ((1, 2, 3) if act == "add" else (1,))):
        wrong.append(f"not one sentence: {told.out} {told.err}")
    return wrong


@dataclass
class Counts:
    """What a campaign counted; `besides` are acts that arrived although it said that it failed."""

    runs: int = 0
    told: int = 0
    besides: int = 0
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        told = f"{self.told} told, {self.besides} of them recorded all the same, and that was said"
        return f"{self.runs} calls failed: {told}; {len(self.wrong)} wrong"


class Once:
    """One command with one fault: what was there before, what it said, what was there after."""

    def __init__(self, place: Place, act: str, how: str, at: int) -> None:
        cuts.laid_out(place.disk, place.before(act))
        self.place, self.act, self.how = place, act, how
        self.path = place.disk / (OLD if act == "upgrade" else JOB)
        self.before = ids_of(self.path)
        with_, first, later = FAULTS[how]
        self.told = place.run(act, Arm(at, with_, first, later))
        self.copies = list(place.disk.glob(".*.before-upgrade"))
        self.half = "full" in how and any(ids_of(copy) != self.before for copy in self.copies)
        self.after = ids_of(self.path)
        self.besides = self.told.code != FINE and len(self.after) > len(self.before)

    def wrong(self) -> Iterator[str]:
        """Yield what is wrong; does the command again, without the fault."""
        yield from sentences(self.act, self.told, self.how)
        if self.half:
            yield "half a copy fills the drive"
        if self.after[: len(self.before)] != self.before:
            yield "lost what was there"
        if self.told.code == FINE and len(self.after) == len(self.before):
            yield "said that it was done, and it is not there"
        if self.besides and not any(word in self.told.out + self.told.err for word in ARRIVED):
            yield f"is there, but: {self.told.err}"
        if self.path.exists() and not self.path.stat().st_size:
            if self.how != "gone from now" or f"delete {self.path.name}" not in self.told.err:
                yield f"an empty file, but: {self.told.err}"
            self.path.unlink()  # as it says
        yield from self._again()

    def _again(self) -> Iterator[str]:
        again = self.place.run(self.act)
        done = len(self.after) > len(self.before)  # then some acts are refused a second time
        if again.code != FINE and not (done and again.code in (FINDINGS, WRONG_USE)):
            yield f"not possible afterwards: {again.code} {again.err}"
        ids = ids_of(self.path)
        if ids[: len(self.after)] != self.after or len(ids) <= len(self.before):
            yield "not there afterwards"
        yield from faults(self.path)
        self.place.warm.command("steps", self.path)  # the next program that opens and closes it
        if self.act in NEW and self.how == "gone from now":
            for part in self.place.disk.glob(f".{JOB}.*.part"):
                part.unlink()  # nobody could take it away, and nobody reads it
        yield from (there.name for there in self.place.disk.iterdir() if there != self.path)


def campaign(place: Place, act: str, how: str, *, every: int = 1, start: int = 1) -> Counts:
    counts, (with_, first, later) = Counts(), FAULTS[how]
    cuts.laid_out(place.disk, place.before(act))
    calls = place.run(act, Arm(0, with_, first, later)).calls
    assert calls > 5
    for at in range(start, calls + 1, every):
        once = Once(place, act, how, at)
        counts.runs += 1
        counts.told += once.told.code != FINE
        counts.besides += once.besides
        where = f"{act}, {how}, call {at} of {calls}: "
        counts.wrong += [where + what for what in once.wrong()]
    return counts


def test_a_call_of_an_act_may_fail(place: Place, figure: Callable[[str], None]) -> None:
    """A sample: of each act some calls, each fault in turn."""
    wrong, runs = [], 0
    for number, (act, how) in enumerate(zip(ACTS, cycle(FAULTS), strict=False)):
        counts = campaign(place, act, how, every=31, start=1 + 2 * number)
        wrong += counts.wrong
        runs += counts.runs
    figure(f"I/O faults: {runs} calls failed, {len(wrong)} wrong")
    assert wrong == []


@pytest.mark.full
@pytest.mark.parametrize("how", FAULTS)
@pytest.mark.parametrize("act", ACTS)
def test_each_call_of_each_act_may_fail(
    place: Place, figure: Callable[[str], None], act: str, how: str
) -> None:
    counts = campaign(place, act, how)
    figure(f"{act}, {how}: {counts}")
    assert counts.wrong == []


STAYING = ("add", "attach", "tick", "undo", "handoff", "withhold")


def stay(place: Place, act: str, how: str, at: int) -> tuple[bool, list[str]]:
    """Act under a fault in a program that stays open, then again; return whether it failed."""
    cuts.laid_out(place.disk, place.job)
    path, (with_, first, later) = place.disk / JOB, FAULTS[how]
    before, new = ids_of(path), place.out / "two.JPG"
    arm = Arm(at, with_, first, later)
    told = place.warm.stay(path, act, arm, watch=place.disk, photo=new)
    ids = ids_of(path)
    wrong = list(faults(path))
    if len(told) != 4:
        return True, [f"no answer: {told}"]
    arrived = any(word in told[0] for word in ARRIVED)
    if ids[: len(before)] != before or len(ids) <= len(before):
        wrong.append(f"lost: {told}")
    if told[0] and told[2] and not (arrived and act == "withhold"):
        wrong.append(f"not possible afterwards: {told}")
    if told[0] and not arrived and len(ids) != len(before) + 1:
        wrong.append(f"recorded although it said not: {told}")
    wrong += [there.name for there in place.disk.iterdir() if there != path]
    return bool(told[0]), wrong


@pytest.mark.parametrize("how", [how for how in FAULTS if how != "unread once"])
@pytest.mark.parametrize(
    ("act", "every"), [("tick", 5), *(pytest.param(act, 1, marks=FULLY) for act in STAYING)]
)
def test_a_program_that_stays_open_goes_on_after_a_fault(
    place: Place, figure: Callable[[str], None], act: str, every: int, how: str
) -> None:
    wrong, failed, quiet, at = [], 0, 0, 1 - every
    while quiet < 3:  # past its last call the act meets no fault
        at += every
        told, found = stay(place, act, how, at)
        wrong += [f"call {at}: {what}" for what in found]
        failed, quiet = failed + told, 0 if told else quiet + 1
    figure(f"stays open, {act}, {how}: {failed} calls failed, {len(wrong)} wrong")
    assert failed
    assert wrong == []


# the second copy, on a drive of its own


@pytest.mark.parametrize("how", ["full from now", "gone from now", "error once"])
@pytest.mark.parametrize("every", [9, pytest.param(1, marks=pytest.mark.full)])
def test_a_fault_of_the_second_copy_fails_no_act_and_is_told(
    place: Place, figure: Callable[[str], None], tmp_path: Path, how: str, every: int
) -> None:
    cuts.laid_out(place.disk, place.job)
    path, (with_, first, later) = place.disk / JOB, FAULTS[how]
    assert place.warm.command("second-copy", path, tmp_path).code == FINE
    copy, told, wrong = (tmp_path / JOB).read_bytes(), 0, []
    calls = place.run("tick", Arm(0, with_, first, later), watch=tmp_path).calls
    assert calls > 5
    try:
        for at in range(1, calls + 1, every):
            cuts.laid_out(place.disk, place.job)
            cuts.laid_out(tmp_path, {JOB: copy})
            before = ids_of(path)
            ran = place.run("tick", Arm(at, with_, first, later), watch=tmp_path)
            lacks = len(ids_of(path)) - len(ids_of(tmp_path / JOB))
            if ran.code != FINE or len(ids_of(path)) != len(before) + 1:
                wrong.append(f"call {at}: {ran}")
            if lacks and "lacks" not in ran.err:
                wrong.append(f"call {at}: the copy lacks {lacks}, and nothing is said: {ran}")
            told += bool(ran.err)
            again = place.run("undo")
            if again.code or again.err or ids_of(path) != ids_of(tmp_path / JOB):
                wrong.append(f"call {at}: not brought up afterwards: {again}")
            left = [p.name for p in (*tmp_path.iterdir(), *place.disk.iterdir()) if p.name != JOB]
            wrong += [f"call {at}: {what}" for what in (*left, *faults(tmp_path / JOB))]
    finally:
        assert place.warm.command("second-copy", path, "--off").code == FINE
    figure(f"second copy, {how}: {calls} calls, {told} told, {len(wrong)} wrong")
    assert wrong == []
