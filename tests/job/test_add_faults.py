"""Cards that vanish, workers that die, programs that are killed: no confirmed photo is lost."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from siltline.errors import Unreadable
from siltline.job import Job, open_job
from siltline.job import sketching as sketching_module
from siltline.job.add import Report, add, add_each
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing, undrawn
from siltline.photos import reader as reader_module
from siltline.photos import sources
from siltline.photos.reader import PhotoReader
from siltline.progress import Follower, Stopped
from siltline.record.audit import faults
from siltline.record.pictures import picture_looks
from siltline.sentences import say
from support.hostile import TUI, started_with
from support.pictures import photo

GONE = (errno.EIO, errno.ENOENT, errno.ENODEV, errno.ESTALE)
COUNT = 4


@pytest.fixture
def card(tmp_path: Path) -> dict[str, Path]:
    """Four photos on a card, by their hashes."""
    paths = [photo(tmp_path / "card", f"IMG_{n:04d}.JPG", n, size=(640, 480)) for n in range(COUNT)]
    return {hashlib.sha256(path.read_bytes()).hexdigest(): path for path in paths}


@pytest.fixture
def fresh(job: Job, tmp_path: Path) -> Callable[[], Job]:
    """A function that opens a fresh copy of a job with nothing in it."""
    job.close()
    opened: list[Job] = []

    def copied() -> Job:
        path = tmp_path / f"copy-{len(opened)}.siltline"
        shutil.copy(job.record.path, path)
        if opened:
            opened[-1].close()
            opened[-1].record.path.unlink()
        opened.append(open_job(path))
        return opened[-1]

    return copied


def photo_events(job: Job) -> list[str]:
    return [event.body["sha256"] for event in job.record.events if event.kind == "photo"]


def assert_sound(job: Job, card: dict[str, Path], confirmed: list[str]) -> None:
    """Hold that all that was confirmed is there byte for byte, and nothing half."""
    kept = photo_events(job)
    assert set(confirmed) <= set(kept)
    for sha256 in kept:
        assert job.record.photo_bytes(sha256) == card[sha256].read_bytes()
    assert faults(job.record.path) == []


def assert_complete_again(job: Job, card: dict[str, Path]) -> None:
    """Hold that offering all of a card again takes in what is missing, once."""
    there = photo_events(job)
    report = add(job, sorted(card.values()))
    assert [o.sha256 for o in report.of("already")] == there
    assert sorted(photo_events(job)) == sorted(card)
    assert_sound(job, card, list(card))


def assert_completes(job: Job, card: dict[str, Path]) -> None:
    """Hold that after offering all again every photo of a card is there, and is drawn."""
    assert_complete_again(job, card)
    draw_missing(job)
    assert undrawn(job) == []
    assert all(picture_looks(job.record.connection)[sha256] for sha256 in card)
    assert faults(job.record.path) == []


class Card:
    """What stands for the system while a card is read: the call of a number fails, or all from it.

    Attributes:
        calls: how many there were.
    """

    def __init__(self, fails: int, number: int, *, pulled: bool) -> None:
        self.calls = 0
        self._fails, self._number, self._pulled = fails, number, pulled

    def may(self) -> None:
        self.calls += 1
        if self.calls == self._fails or (self._pulled and self.calls > self._fails):
            raise OSError(self._number, os.strerror(self._number))

    def system(self) -> SimpleNamespace:
        """Return what `sources` needs of the module `os`."""

        def first(act: Callable[..., Any]) -> Callable[..., Any]:
            def done(*how: Any, **more: Any) -> Any:
                self.may()
                return act(*how, **more)

            return done

        return SimpleNamespace(
            open=first(os.open), fstat=first(os.fstat), read=first(os.read), close=os.close
        )


def handles() -> int:
    folder = Path("/proc/self/fd")
    return len(list(folder.iterdir())) if folder.exists() else 0


def calls_of_a_card(job: Job, card: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> int:
    """Return how many calls it takes to read a whole card."""
    whole = Card(0, 0, pulled=False)
    with monkeypatch.context() as patched:
        patched.setattr(sources, "os", whole.system())
        assert len(add(job, sorted(card.values())).of("taken")) == COUNT
    return whole.calls


@pytest.mark.parametrize("pulled", [False, True], ids=["one fault", "pulled"])
@pytest.mark.parametrize(
    "every", [pytest.param(False, id="a fault each"), pytest.param(True, marks=pytest.mark.full)]
)
def test_a_source_that_vanishes_at_any_read_costs_only_what_was_not_read_and_names_it(
    fresh: Callable[[], Job],
    card: dict[str, Path],
    monkeypatch: pytest.MonkeyPatch,
    figure: Callable[[str], None],
    pulled: bool,
    every: bool,
) -> None:
    calls = calls_of_a_card(fresh(), card, monkeypatch)
    assert calls >= 4 * COUNT  # opened, looked at, read, looked at again
    points = [
        (call, number)
        for call in range(1, calls + 1)
        for number in (GONE if every else GONE[call % len(GONE) :][:1])
    ]
    before = handles()
    for call, number in points:
        job = fresh()
        with monkeypatch.context() as patched:
            patched.setattr(sources, "os", Card(call, number, pulled=pulled).system())
            report = add(job, sorted(card.values()))
        taken, again = report.of("taken"), report.of("again")
        assert {o.path for o in again} == set(card.values()) - {o.path for o in taken}
        assert len(again) == (COUNT - (call - 1) * COUNT // calls if pulled else 1)
        assert {o.because for o in again} == {say("add.unreadable", fault=os.strerror(number))}
        assert not report.waiting
        (told,) = report.told()
        assert ("again" in told, again[0].path.name in told) == (True, True)
        assert_sound(job, card, [o.sha256 for o in taken])
        assert_complete_again(job, card)
    assert handles() <= before + 3  # the open job's own
    figure(
        f"{len(points)} faults of a card ({'pulled' if pulled else 'one'}): none lost, all named"
    )


@pytest.mark.parametrize("call", ["iterdir", "lstat"])
def test_a_card_that_vanishes_while_it_is_searched_names_what_to_offer_again(
    fresh: Callable[[], Job], card: dict[str, Path], monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    folder = next(iter(card.values())).parent
    real = getattr(Path, call)
    for fails in range(1, 2 if call == "iterdir" else COUNT + 2):
        seen = Card(fails, errno.EIO, pulled=True)

        def vanishing(path: Path, seen: Card = seen) -> object:
            seen.may()
            return real(path)

        job = fresh()
        with monkeypatch.context() as patched:
            patched.setattr(Path, call, vanishing)
            report = add(job, [folder])
        named = {o.path for o in report.of("again")}
        missing = set(card.values()) - {o.path for o in report.of("taken")}
        assert named in ({folder}, missing)
        assert_sound(job, card, [o.sha256 for o in report.of("taken")])
        assert_complete_again(job, card)


def test_a_source_that_gives_few_bytes_at_a_time_is_read_whole(
    job: Job, card: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As some drives do that a phone's cable brings: POSIX lets `read` give fewer than asked."""

    system = Card(0, 0, pulled=False).system()
    system.read = lambda handle, count: os.read(handle, min(count, 1000))
    monkeypatch.setattr(sources, "os", system)
    report = add(job, sorted(card.values()))
    assert [o.sha256 for o in report.of("taken")] == list(card)
    assert_sound(job, card, list(card))


class Stopping(Follower):
    """Stops work when it has come so far."""

    def __init__(self, what: str, after: int) -> None:
        self.what, self.after = what, after

    def reached(self, what: str, done: int, total: int | None = None) -> None:
        del total
        if (what, done) == (self.what, self.after):
            raise Stopped


@pytest.mark.parametrize("after", range(COUNT))
def test_stopped_between_two_photos_what_is_waiting_is_named(
    job: Job, card: dict[str, Path], after: int
) -> None:
    paths, report = sorted(card.values()), Report()
    with pytest.raises(Stopped):
        list(add_each(job, paths, follow=Stopping("take", after), report=report))
    assert [o.path for o in report.of("taken")] == paths[:after]
    assert [found.path for found in report.waiting] == paths[after:]
    (told,) = report.told()
    assert paths[after].name in told
    assert_sound(job, card, [o.sha256 for o in report.of("taken")])
    assert_completes(job, card)


# What is killed by itself at its Nth step: a statement to SQLite, a read, a word with the worker.
_KILLED = f"""
import os, signal, sys
sys.path.insert(0, {TUI!r})
from pathlib import Path
from siltline.job import add as adding, open_job, sketching
from siltline.photos.reader import PhotoReader
left = int(sys.argv[3])
def step(*_):
    global left
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)
def stepping(act):
    def done(*how, **more):
        step()
        found = act(*how, **more)
        step()
        return found
    return done
for name in ("begin", "finish", "begin_sketch", "finish_sketch"):
    setattr(PhotoReader, name, stepping(getattr(PhotoReader, name)))
adding.read = stepping(adding.read)
sketching.KEPT_EVERY_S = 0
job = open_job(Path(sys.argv[1]))
job.record.connection.set_trace_callback(step)
for outcome in adding.add_each(job, [Path(sys.argv[2])]):
    print(outcome.sha256, flush=True)
print("safe", flush=True)
sketching.draw_missing(job)
print("drawn", -left, flush=True)
"""


def killed_at(job: Path, folder: Path, step: int) -> list[str]:
    """Let a program add and draw a card, killed at a step (0: never); return what it printed."""
    command = [sys.executable, "-c", _KILLED, str(job), str(folder), str(step)]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode in (0, -9), ran.stderr
    return ran.stdout.split()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")
@pytest.mark.parametrize("every", [11, pytest.param(1, marks=pytest.mark.full)])
def test_a_program_killed_at_any_step_of_adding_or_drawing_loses_nothing(
    job: Job, tmp_path: Path, card: dict[str, Path], figure: Callable[[str], None], every: int
) -> None:
    begun, copy, folder = job.record.path, tmp_path / "killed.siltline", tmp_path / "card"
    job.close()
    shutil.copy(begun, copy)
    *_, last, steps = killed_at(copy, folder, 0)
    assert last == "drawn"
    points = range(1, int(steps) + 1, every)
    while_drawing = 0
    for step in points:
        shutil.copy(begun, copy)
        told = killed_at(copy, folder, step)
        assert "drawn" not in told
        while_drawing += "safe" in told
        again = open_job(copy)
        try:
            assert_sound(again, card, [word for word in told if word != "safe"])
            assert_completes(again, card)
        finally:
            again.close()
        assert faults(copy) == []
    assert while_drawing
    figure(f"{len(points)} kills of {steps} steps ({while_drawing} while drawing): no photo lost")


def dying_at(monkeypatch: pytest.MonkeyPatch, request: int, when: str) -> list[int]:
    """Let the worker die at a request; return the list that counts them."""
    feed, fetch, seen = PhotoReader._feed, PhotoReader._patiently, [0]

    def end(reader: PhotoReader) -> None:
        assert reader._process is not None
        reader._process.kill()
        reader._process.wait()

    def feeding(reader: PhotoReader, *how: Any) -> None:
        seen[0] += 1
        if (seen[0], when) == (request, "before it is asked"):
            end(reader)
        feed(reader, *how)
        if (seen[0], when) == (request, "while it works"):
            end(reader)

    def fetching(reader: PhotoReader) -> Any:
        if (seen[0], when) == (request, "before it is heard"):
            end(reader)
        return fetch(reader)

    monkeypatch.setattr(PhotoReader, "_feed", feeding)
    monkeypatch.setattr(PhotoReader, "_patiently", fetching)
    return seen


WHEN = ("before it is asked", "while it works", "before it is heard")


@pytest.mark.parametrize("when", WHEN)
@pytest.mark.parametrize("request_number", range(1, COUNT + 1))
def test_a_worker_that_dies_while_photos_are_read_costs_no_photo(
    job: Job,
    card: dict[str, Path],
    monkeypatch: pytest.MonkeyPatch,
    request_number: int,
    when: str,
) -> None:
    """The system may end it for want of memory, and the photo is as good as any."""
    with monkeypatch.context() as patched:
        seen = dying_at(patched, request_number, when)
        report = add(job, sorted(card.values()))
    assert seen[0] >= COUNT
    assert [o.sha256 for o in report.of("taken")] == list(card)
    assert all(shown["camera"] == "Invented T1" for shown in describe(job))
    assert_completes(job, card)


@pytest.mark.parametrize("when", WHEN)
@pytest.mark.parametrize("request_number", range(1, COUNT + 1))
def test_a_worker_that_dies_while_photos_are_drawn_costs_no_photo(
    job: Job,
    card: dict[str, Path],
    monkeypatch: pytest.MonkeyPatch,
    request_number: int,
    when: str,
) -> None:
    add(job, sorted(card.values()))
    with monkeypatch.context() as patched:
        dying_at(patched, request_number, when)
        assert draw_missing(job) == COUNT
    assert_completes(job, card)
    assert all(say("sign.undrawn") not in shown["notes"] for shown in describe(job))


def test_a_photo_of_which_every_worker_dies_is_told_and_the_others_come_in(
    job: Job, card: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = sorted(card.values())[1]
    bad.write_bytes(bad.read_bytes() + b"die")
    dying = "lambda data: os._exit(11) if b'die' in data else real_first(data)"
    with monkeypatch.context() as patched:
        started_with(patched, f"worker.first_reader = {dying}")
        report = add(job, sorted(card.values()))
    (refused,) = report.of("refused")
    assert (refused.path, refused.because) == (bad, say("add.reading-stopped"))
    assert len(report.of("taken")) == COUNT - 1
    assert add(job, [bad]).of("taken")  # a better reader gets through it
    drawing = "lambda *how: os._exit(11) if b'die' in how[0] else real_sketch(*how)"
    with monkeypatch.context() as patched:
        answers = "real_sketch = worker.ANSWERS[worker.SKETCH]\nworker.ANSWERS[worker.SKETCH] = "
        started_with(patched, answers + drawing)
        assert draw_missing(job) == COUNT
    assert [said["name"] for said in describe(job) if say("sign.undrawn") in said["notes"]] == [
        bad.name
    ]
    assert faults(job.record.path) == []


def test_workers_end_when_drawing_is_stopped_also_while_the_reason_is_still_looked_at(
    job: Job, card: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    add(job, sorted(card.values()))
    running: list[subprocess.Popen[bytes]] = []
    real = subprocess.Popen

    def started(*how: Any, **more: Any) -> Any:
        running.append(real(*how, **more))
        return running[-1]

    monkeypatch.setattr(reader_module.subprocess, "Popen", started)
    with pytest.raises(Stopped) as told:
        draw_missing(job, Stopping("sketch", 1))
    assert running
    assert all(process.poll() is not None for process in running), told
    assert len(undrawn(job)) == COUNT - 1  # what was drawn stays
    monkeypatch.undo()
    assert_completes(job, card)


def pages(job: Job, limit: int | None = None) -> int:
    """Return how many pages the file has; first let it grow to no more than a limit."""
    if limit is not None:
        job.record.connection.execute(f"PRAGMA max_page_count = {limit}")
    (count,) = job.record.connection.execute("PRAGMA page_count").fetchone()
    return int(count)


def test_a_drive_that_fills_up_while_photos_are_drawn_says_so_and_drawing_goes_on_later(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sketching_module, "KEPT_EVERY_S", 0)  # a write for every photo
    paths = [photo(tmp_path / "card", f"IMG_{n:04d}.JPG", n, size=(640, 480)) for n in range(30)]
    card = {hashlib.sha256(path.read_bytes()).hexdigest(): path for path in paths}
    add(job, paths)
    full = 0
    for room in range(3):
        if not undrawn(job):
            break
        before = len(undrawn(job))
        pages(job, pages(job) + room)
        with pytest.raises(Unreadable, match="full; nothing was recorded now"):
            draw_missing(job)
        full += 1
        assert not job.record.connection.in_transaction
        assert len(undrawn(job)) <= before
        assert_sound(job, card, list(card))
        pages(job, 1_000_000)
    assert full >= 2
    assert_completes(job, card)
