"""The sample job, lived through once and copied for each test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from siltline.job import Job, open_job
from siltline.screens import app, desk, working
from siltline.screens.app import SiltlineApp
from siltline.tour import JOB_NAME, lay_out
from support.crawl import crawl_job, read_on


class ScreenText(SingleFileSnapshotExtension):
    """Keeps each picture as a text file of its own."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


@pytest.fixture(autouse=True)
def undisturbed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no photo be drawn and no deadline told: a picture would depend on how far that is.

    Hands of tests press Enter on the desk as soon as a form has gone, and mean it.
    """
    monkeypatch.setattr(app, "BOUNCE_S", 0.0)
    monkeypatch.setattr(working, "DRAW_AFTER_S", 3600)
    monkeypatch.setattr(desk, "DUE_AFTER_S", 3600)


@pytest.fixture
def kept(snapshot: SnapshotAssertion) -> SnapshotAssertion:
    """The kept pictures of screens."""
    return snapshot.use_extension(ScreenText)


@pytest.fixture(scope="session")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The job file of the tour."""
    folder = tmp_path_factory.mktemp("tour") / "tour"
    list(lay_out(folder))
    return folder / JOB_NAME


@pytest.fixture
def sample(lived: Path, tmp_path: Path) -> Iterator[Job]:
    """The sample job, open."""
    job = open_job(Path(shutil.copy(lived, tmp_path)))
    yield job
    job.close()


@pytest.fixture
def crawl(tmp_path: Path) -> Iterator[Job]:
    """A crawl space that was read on three days, open."""
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (0, 1, 2)))
    yield job
    job.close()


@pytest.fixture
def on_screen() -> Callable[..., object]:
    """A function that runs an app at a size."""
    return lambda job, size=(80, 24): SiltlineApp(job).run_test(size=size)
