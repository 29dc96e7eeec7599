"""`wet`: each act, what it prints, its exit codes; without a step, what runs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from siltline import times
from siltline.cli.exits import run
from siltline.cli.root import root
from support.wetting import STEP, SetClock, wet_job


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> SetClock:
    found = SetClock()
    monkeypatch.setattr("siltline.job.desk.open_job.__defaults__", (found, None))
    return found


class Wet:
    """Runs `wet` on a job."""

    def __init__(self, job: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.job, self.capsys = job, capsys

    def __call__(self, *args: str, code: int = 0) -> Any:
        self.capsys.readouterr()
        found = run(root, ["wet", str(self.job), *args])
        told = self.capsys.readouterr()
        assert found == code, told.err
        if code:
            assert told.out == ""
            return told.err
        return json.loads(told.out) if "--json" in args else told.out


@pytest.fixture
def wet(tmp_path: Path, clock: SetClock, capsys: pytest.CaptureFixture[str]) -> Wet:
    job = wet_job(tmp_path, clock)
    job.close()
    return Wet(job.record.path, capsys)


def test_a_contact_time_from_begin_to_end(wet: Wet, clock: SetClock) -> None:
    assert wet() == "No contact time runs.\n"
    told = wet(STEP, "--by", "Ada", "--product", "Sudsless (invented)")
    first, second, third, _ = told.splitlines()
    assert first.startswith("DANGER: Never mix it with ammonia, acids or any other cleaner")
    assert "Gloves and eye protection" in second
    assert "Air the room" in second
    assert "The label decides" in third
    clock.on(4)
    assert wet() == "STILL WET? sanitise, den: 6:00 left\n"
    wet(STEP, "--seen", "--by", "Ada")
    assert wet() == "WET sanitise, den: 6:00 left\n"
    clock.on(7)
    assert wet().startswith("TIME OVER since 08:10:00")
    told = wet(STEP, "--end", "--by", "Ada")
    assert told.startswith("Kept wet for 11:00; 10 min wanted.")
    assert "One person watched it by the clock." in told
    assert wet("--json") == []


def test_json_is_flat(wet: Wet, clock: SetClock) -> None:
    begun = wet(STEP, "--by", "Ada", "--minutes", "12", "--json")
    assert begun == {
        "step": STEP, "state": "running", "minutes": "12 min", "product": "",
        "begun": times.written(clock()), "by": "Ada", "wanted_s": 720, "counted_s": 0,
        "left_s": 720, "over_at": "2026-03-12T13:12:00.000+00:00", "asks": False, "seen_wet": 0,
        "wetted_again": 0, "watched": False, "ended": None, "ended_by": None,
        "ended_dry": False, "clock_set_back": False, "laptops": 1,
    }  # fmt: skip
    clock.on(6)
    (one,) = wet("--json")
    assert (one["left_s"], one["asks"]) == (360, True)
    clock.on(-30)
    (one,) = wet("--json")
    assert (one["clock_set_back"], one["left_s"]) == (True, 720)


def test_wetted_again_counts_anew_or_goes_on(wet: Wet, clock: SetClock) -> None:
    wet(STEP, "--by", "Ada")
    clock.on(4)
    wet(STEP, "--seen", "--by", "Ada")
    clock.on(1)
    assert wet(STEP, "--again", "--goes-on", "--by", "Ada", "--json")["counted_s"] == 240
    assert wet(STEP, "--again", "--by", "Ada", "--json")["counted_s"] == 0
    clock.on(11)
    found = wet(STEP, "--dried", "--by", "Ada", "--json")
    assert (found["state"], found["ended_dry"], found["wetted_again"]) == ("early", True, 2)


@pytest.mark.parametrize(
    ("args", "code", "why"),
    [
        ((STEP, "--seen", "--by", "Ada"), 1, "Begin one"),
        ((STEP,), 2, "Say who"),
        ((STEP, "--seen", "--end", "--by", "Ada"), 2, "One at a time: --seen, --end"),
        ((STEP, "--goes-on", "--by", "Ada"), 2, "--goes-on goes with --again only"),
        ((STEP, "--end", "--minutes", "4", "--by", "Ada"), 2, "not with --end"),
        ((STEP, "--minutes", "4", "--by", "Ada"), 2, "wants 10 min at least"),
        (("--seen", "--by", "Ada"), 2, "At which step"),
        (("sanitize/den", "--by", "Ada"), 2, "sanitise/den"),
        (("close/low", "--minutes", "4", "--by", "Ada"), 1, "cable/low"),
    ],
)
def test_what_does_not_go_is_refused_in_a_sentence(
    wet: Wet, args: tuple[str, ...], code: int, why: str
) -> None:
    assert why in wet(*args, code=code)
    assert wet("--json") == []
