"""Cards that vanish, programs that are killed, drives that fill: no confirmed photo is lost."""

from __future__ import annotations

import errno
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

from siltline.job import Job, open_job
from siltline.job import sketching as sketching_module
from siltline.job.add import Report, add, add_each
from siltline.job.sketching import draw_missing, undrawn
from siltline.photos import sources
from siltline.progress import Stopped
from siltline.record.audit import faults
from siltline.sentences import say
from support.cards import (
    Stopping,
    assert_complete_again,
    assert_completes,
    assert_sound,
    card_of,
)
from support.hostile import TUI

GONE = (errno.EIO, errno.ENOENT, errno.ENODEV, errno.ESTALE)
COUNT = 4


@pytest.fixture
def card(tmp_path: Path) -> dict[str, Path]:
    return card_of(tmp_path / "card", COUNT)


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


def pages(job: Job, limit: int | None = None) -> int:
    """Return how many pages the file has; first let it grow to no more than a limit."""
    if limit is not None:
        job.record.connection.execute(f"PRAGMA max_page_count = {limit}")
    (count,) = job.record.connection.execute("PRAGMA page_count").fetchone()
    return int(count)


def test_a_drive_that_fills_up_while_photos_are_drawn_ends_that_and_it_goes_on_later(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sketching_module, "KEPT_EVERY_S", 0)  # a write for every photo
    card = card_of(tmp_path / "card", 30)
    add(job, sorted(card.values()))
    full = 0
    for room in range(3):
        if not undrawn(job):
            break
        before = len(undrawn(job))
        pages(job, pages(job) + room)
        assert draw_missing(job) == 0  # the photos are safe, so nobody is told of a fault
        full += 1
        assert not job.record.connection.in_transaction
        assert len(undrawn(job)) <= before
        assert_sound(job, card, list(card))
        pages(job, 1_000_000)
    assert full >= 2
    assert_completes(job, card)
