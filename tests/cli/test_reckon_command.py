"""`reckon`: what is asked, what comes out, what is kept, its exit codes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from support.command import Shell

STEP = "drying-begun/crawl-space"
FAN = ("fan", "blows=out", "airflow=300cfm", "inside=18C/85%", "outside=14C/60%")


class Reckon:
    """Runs `reckon` on a job."""

    def __init__(self, shell: Shell, job: Path) -> None:
        self.shell, self.job = shell, job

    def __call__(self, *args: str, code: int = 0) -> Any:
        ran = self.shell("reckon", self.job, *args)
        assert ran.code == code, ran.err
        if code:
            return ran.err
        return ran.json if "--json" in args else ran.out

    def review(self) -> str:
        return " ".join(self.shell("review", self.job).out.split())


@pytest.fixture
def reckon(crawl: Path, shell: Shell) -> Reckon:
    return Reckon(shell, crawl)


def test_a_step_tells_what_it_asks_and_each_computation_what_it_wants(reckon: Reckon) -> None:
    assert "asks for: fan, machines" in " ".join(reckon(STEP).split())
    asked = reckon(STEP, "fan")
    assert "blows=out|in|inside|off" in asked
    assert "area=1100 ft2 (known)" in asked  # from the house sheet
    assert "[airflow=300 cfm]" in asked


def test_it_is_reckoned_and_kept_only_with_a_name(reckon: Reckon) -> None:
    told = " ".join(reckon(STEP, *FAN).split())
    assert told.startswith("WARNING: Burners first.")
    assert "Verdict: outside air dries it" in told
    assert told.endswith("Nothing was kept; give --by NAME to keep it with the step.")
    assert reckon(STEP, "--json") == []
    told = reckon(STEP, *FAN, "--by", "Ada")
    assert "Kept with this step." in told
    (kept,) = reckon(STEP, "--json")
    assert kept["given"]["airflow"] == "300cfm"
    assert kept["found"]["verdict"] == "dries"
    flat = reckon(STEP, "fan", "fans=2", "--json")  # the rest is as it was given before
    assert flat["removal_kg_day"] == pytest.approx(2 * kept["found"]["removal_kg_day"])
    assert flat["kept"] is False


def test_a_fan_that_blows_in_must_be_fixed_before_the_hand_off(reckon: Reckon) -> None:
    reckon(STEP, *FAN, "blows=in", "--by", "Ada")
    assert "A fan blows into Crawl space" in reckon.review()
    reckon(STEP, "fan", "blows=out", "--by", "Ada")
    assert "A fan blows into" not in reckon.review()


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("fam",), "There is no computation 'fam'; there are fan, dose, machines"),
        (("fan", "blows"), "'blows' is not NAME=VALUE"),
        (("fan", "blows=up", "inside=18C/85%", "outside=14C/60%"), "'up' is none of: out, in"),
        (("dose", "strength=0.06", "label=500ppm"), "0.06"),
        (("dose", "strength=6%", "label=500ppm", "bleach=1cup", "water=1gal"), "ppm"),
        (("fan", "inside=85%/18C", "outside=14C/60%", "blows=out"), "swapped"),
    ],
)
def test_a_slip_is_refused_with_a_sentence(
    args: tuple[str, ...], says: str, reckon: Reckon
) -> None:
    assert says in reckon(STEP, *args, "--by", "Ada", code=2)
    assert reckon(STEP, "--json") == []
