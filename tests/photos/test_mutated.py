"""Whatever bytes come as a photo: an outcome with a sentence each, in time, and a sound job."""

from __future__ import annotations

import json
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from siltline.job import Job
from siltline.job.add import add, misread
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing
from siltline.photos.reader import PATIENCE_S, STOPPED, PhotoReader
from siltline.photos.signs import of_bytes
from siltline.record.audit import faults
from siltline.sentences import say
from support.mutants import invented, mutants
from support.pictures import picture
from support.real_photos import real_photo

SLACK_S = 3.0  # a worker is started anew; the machine has other things to do
EVERY = 5  # one in so many goes into a job, too
REAL = (
    "evil1.jpg", "test1.jpg", "01.tif", "L01.jpg", "02.jpg", "r_olympus.jpg", "r_sigma.jpg",
    "IMG_0001.JPG",
)  # fmt: skip
HEIC = ("xiaomi.heic", "aux_YCbCr.heic", "arrow.heic", "cat.hif")  # half a second each to draw


class Timed:
    """A reader whose every answer must come within its patience; knows whether it was replaced."""

    def __init__(self, reader: PhotoReader) -> None:
        self.reader = reader
        self.slowest = 0.0

    def __call__(self, name: str, ask: Callable[[], Any]) -> tuple[Any, bool]:
        """Return an answer, and whether the worker had to be stopped or died for it."""
        self.reader.read(b"")  # a worker that is gone is replaced here
        before = self.reader._process
        started = time.monotonic()
        answer = ask()
        lasted = time.monotonic() - started
        self.slowest = max(self.slowest, lasted)
        assert lasted < PATIENCE_S + SLACK_S, name
        return answer, self.reader._process is not before


def sketched(reader: PhotoReader, data: bytes) -> tuple[dict[str, Any], bytes]:
    reader.begin_sketch(data)
    return reader.finish_sketch()


def became(timed: Timed, name: str, data: bytes) -> str:
    """Ask everything of some bytes; return what became of them."""
    reader = timed.reader
    facts, _ = timed(name, lambda: reader.read(data))
    json.dumps(facts, allow_nan=False)
    (looks, small), sketch_stopped = timed(name, lambda: sketched(reader, data))
    assert bool(looks) == small.startswith(b"\xff\xd8"), name
    (wide, high, pixels), cells_stopped = timed(name, lambda: reader.cells(data, 80, 48))
    assert len(pixels) == wide * high * 3, name
    assert (wide <= 80, high <= 48) == (True, True), name
    tags, tags_stopped = timed(name, lambda: reader.tags(data))
    assert all(isinstance(part, str) for tag in tags for part in tag), name
    if "format" not in facts:
        assert facts in ({}, {"raw": True}, {"faults": {"first": STOPPED}}), name
        return "stopped" if facts.get("faults") else "refused"
    of_bytes(data, facts["format"])
    if sketch_stopped or cells_stopped or tags_stopped or STOPPED in facts["faults"].values():
        return "stopped"
    return "taken" if looks else "undrawn"


def asked_of_all(reader: PhotoReader, whole: dict[str, bytes], count: int, seed: int) -> str:
    """Ask everything of many mutants; return the figures."""
    counts: Counter[str] = Counter()
    timed = Timed(reader)
    for name, data in mutants(whole, count, seed):
        counts[became(timed, name, data)] += 1
    assert reader.read(picture())["make"] == "Invented"
    kinds = ", ".join(
        f"{counts[kind]} {kind}" for kind in ("taken", "refused", "undrawn", "stopped")
    )
    return f"{count} mutants: {kinds}; slowest answer {timed.slowest:.2f} s"


def card_of(folder: Path, whole: dict[str, bytes], count: int, seed: int) -> list[Path]:
    folder.mkdir()
    paths = []
    for number, (_, data) in enumerate(mutants(whole, count, seed)):
        paths.append(folder / f"IMG_{number:05d}.JPG")
        paths[-1].write_bytes(data)
    return paths


def take_all_in(job: Job, paths: list[Path]) -> str:
    """Take files in and draw them; every one has its outcome and its sentence, the job is sound."""
    report = add(job, paths)
    assert [o.path for o in report.outcomes] == paths
    assert not report.waiting
    assert not report.of("again")
    for outcome in report.of("refused"):
        assert outcome.because in {
            say("add.no-picture"), say("add.raw"), say("add.empty"), say("add.reading-stopped")
        }  # fmt: skip
    drawn = draw_missing(job)
    shown = describe(job)
    assert drawn == len(shown) == len(report.of("taken"))
    for outcome in report.of("taken"):
        assert job.record.photo_bytes(outcome.sha256) == outcome.path.read_bytes()
    undrawn = sum(say("sign.undrawn") in said["notes"] for said in shown)
    assert misread(job) == []  # the same bytes say the same again
    assert faults(job.record.path) == []
    counts = report.counts()
    return (
        f"{len(paths)} into a job: {counts['taken']} taken ({undrawn} undrawn), "
        f"{counts['already']} already there, {counts['refused']} refused"
    )


@pytest.fixture(scope="module")
def reader() -> Iterator[PhotoReader]:
    with PhotoReader() as one:
        yield one


@pytest.fixture(scope="module")
def invented_pictures() -> dict[str, bytes]:
    return invented()


@pytest.fixture(scope="module")
def real_pictures() -> dict[str, bytes]:
    return {name: real_photo(name).read_bytes() for name in REAL}


@pytest.fixture(scope="module")
def heic_pictures() -> dict[str, bytes]:
    return {name: real_photo(name).read_bytes() for name in HEIC}


KINDS = [
    pytest.param("invented_pictures", 100, id="invented"),
    pytest.param("real_pictures", 40, id="real", marks=pytest.mark.real),
    pytest.param("heic_pictures", 12, id="heic", marks=pytest.mark.real),
    pytest.param("invented_pictures", 6000, id="invented, all", marks=pytest.mark.full),
    pytest.param("real_pictures", 3750, id="real, all", marks=[pytest.mark.full, pytest.mark.real]),
    pytest.param("heic_pictures", 250, id="heic, all", marks=[pytest.mark.full, pytest.mark.real]),
]


@pytest.mark.parametrize(("pictures", "count"), KINDS)
def test_a_mutant_is_answered_in_time_whatever_is_asked_of_it(
    reader: PhotoReader,
    request: pytest.FixtureRequest,
    figure: Callable[[str], None],
    pictures: str,
    count: int,
) -> None:
    whole = request.getfixturevalue(pictures)
    figure(f"{pictures}: {asked_of_all(reader, whole, count, seed=count)}")


@pytest.mark.parametrize(("pictures", "count"), KINDS)
def test_a_mutant_that_goes_into_a_job_has_its_sentence_and_leaves_the_job_sound(
    job: Job,
    tmp_path: Path,
    request: pytest.FixtureRequest,
    figure: Callable[[str], None],
    pictures: str,
    count: int,
) -> None:
    whole = request.getfixturevalue(pictures)
    paths = card_of(tmp_path / "card", whole, max(count // EVERY, 5), seed=count + 1)
    figure(f"{pictures}: {take_all_in(job, paths)}")
