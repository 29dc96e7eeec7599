"""What every test shares: settings of its own, a clock of its own, a small house."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from siltline.job import Job
from siltline.job.begin import begin
from siltline.sentences import BASE, speak
from support.house import HOUSE
from support.ticking import TickingClock

DEVICE = "00000000000000aa"


@pytest.fixture(autouse=True)
def _own_settings(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Keep every test away from the settings of the person who runs it."""
    monkeypatch.setenv("SILTLINE_HOME", str(tmp_path_factory.mktemp("settings")))
    for name in ("SILTLINE_THEME", "SILTLINE_LANGUAGE", "SILTLINE_ASCII", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")


@pytest.fixture(autouse=True)
def _own_language() -> Iterator[None]:
    """Speak the base language again after a test that switched it."""
    yield
    speak(BASE)


@pytest.fixture
def clock() -> TickingClock:
    """A clock that starts on a known morning and goes on a second at every look."""
    return TickingClock()


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """A small house sheet on disk."""
    path = tmp_path / "house.yaml"
    path.write_text(HOUSE, encoding="utf-8")
    return path


@pytest.fixture
def new_job(tmp_path: Path, clock: TickingClock) -> Iterator[Callable[..., Job]]:
    """A function that begins a job on a sheet text with a checklist; all are closed at the end."""
    opened: list[Job] = []

    def make(house: str = HOUSE, checklist: str = "river-flood", name: str = "job") -> Job:
        sheet = tmp_path / f"{name}-house.yaml"
        sheet.write_text(house, encoding="utf-8")
        path = tmp_path / f"{name}.siltline"
        job = begin(sheet, path, checklist=checklist, clock=clock, device=DEVICE)
        opened.append(job)
        return job

    yield make
    for job in opened:
        job.close()


@pytest.fixture
def job(new_job: Callable[..., Job]) -> Job:
    """A job on the small house."""
    return new_job()


@pytest.fixture
def figure(record_property: Callable[[str, object], None]) -> Callable[[str], None]:
    """A function that keeps a line of figures, to be printed when all tests are done."""
    return lambda line: record_property("figure", line)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the figures that tests measured, from whichever process they came."""
    lines = [
        str(value)
        for reports in terminalreporter.stats.values()
        for report in reports
        for name, value in getattr(report, "user_properties", ())
        if name == "figure" and report.when == "call"
    ]
    if lines:
        terminalreporter.section("figures")
        for line in lines:
            terminalreporter.write_line(line)
