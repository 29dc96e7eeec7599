"""A worker that dies costs no photo: it is asked once more; what kills every one is told."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest

from siltline.job import Job
from siltline.job.add import add
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing, undrawn
from siltline.photos import reader as reader_module
from siltline.photos.reader import PhotoReader
from siltline.progress import Stopped
from siltline.record.audit import faults
from siltline.sentences import say
from support.cards import Stopping, assert_completes, card_of
from support.hostile import started_with
from support.pictures import commented

COUNT = 4


@pytest.fixture
def card(tmp_path: Path) -> dict[str, Path]:
    return card_of(tmp_path / "card", COUNT)


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
    bad.write_bytes(commented(bad.read_bytes(), b"die"))
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
