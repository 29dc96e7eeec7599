"""A step that nobody touched is judged by a short way, which comes to the same as the long one."""

from __future__ import annotations

from pathlib import Path

import pytest

from siltline.job import open_job
from siltline.judge.board import _Judge, judge
from siltline.judge.ledger import fold
from siltline.record import Event
from siltline.tour import JOB_NAME, lay_out
from support.crawl import crawl_job, read_on


def both_ways(events: list[Event], monkeypatch: pytest.MonkeyPatch) -> int:
    """Judge both ways, and return how many steps went the short one."""
    ledger, short = fold(events), list[str]()
    look = _Judge.look_at_bare

    def counted(judging: _Judge, step: object) -> None:
        short.append("")
        look(judging, step)  # type: ignore[arg-type]

    for language in ("", "es"):
        with monkeypatch.context() as patched:
            patched.setattr(_Judge, "look_at_bare", counted)
            quick = judge(ledger, language)
        with monkeypatch.context() as patched:
            patched.setattr(_Judge, "untouched", lambda *_: False)
            slow = judge(ledger, language)
        assert list(quick.steps.values()) == list(slow.steps.values())
    return len(short)


def test_the_recorded_day_after_each_of_its_acts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    list(lay_out(tmp_path / "tour"))
    job = open_job(tmp_path / "tour" / JOB_NAME)
    events = job.record.events
    job.close()
    counts = [both_ways(events[:n], monkeypatch) for n in range(2, len(events) + 1, 7)]
    assert counts[0] > counts[-1] > 50


def test_a_crawl_space_with_measuring_points(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (0, 1)))
    assert 0 < both_ways(job.record.events, monkeypatch) < 2 * len(job.board.steps)
    job.close()
