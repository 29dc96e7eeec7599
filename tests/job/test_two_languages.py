"""Two people work on one job in a language each: steps speak it, the file does not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from siltline.job import Job, open_job
from siltline.job.acts import tick
from siltline.job.begin import begin
from siltline.job.verifying import verify
from support.ticking import TickingClock
from support.wide import write_wide

Opens = Callable[[str], Job]


@pytest.fixture
def in_language(
    tmp_path: Path, clock: TickingClock, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Opens]:
    """Open one job in a language, by turns."""
    checklist, house = write_wide(tmp_path)
    path = tmp_path / "wide.siltline"
    begin(house, path, checklist=str(checklist), clock=clock, device="00000000000000aa").close()
    opened: list[Job] = []

    def opens(language: str) -> Job:
        while opened:
            opened.pop().close()
        monkeypatch.setenv("SILTLINE_LANGUAGE", language)
        opened.append(open_job(path, clock))
        return opened[-1]

    yield opens
    opened.pop().close()


def test_steps_and_phases_speak_another_language_at_once(in_language: Opens) -> None:
    job = in_language("")
    assert job.step("carpet/den").step.do == "Take out the carpet of Den."
    assert job.phase_titles() == {"one": "One"}
    job.speak("es")
    assert job.step("carpet/den").step.do == "Saque la alfombra de Den."
    assert job.phase_titles() == {"one": "Uno"}
    job.speak("fr")
    assert job.step("carpet/den").step.do == "Take out the carpet of Den."


def test_the_step_table_is_the_same_whoever_wrote_last(in_language: Opens) -> None:
    job = in_language("es")
    tick(job, "read/den", by="Ada Lovelorn", values=["14 %"])
    rows = job.step_rows()
    assert rows["carpet/den"][4] == "Take out the carpet of Den."
    for language in ("", "es"):
        job = in_language(language)
        assert job.step_rows() == rows
        assert verify(job.record.path).faults == ()
