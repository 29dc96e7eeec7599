"""What is reckoned is filled in from the job and kept on its step; fans are reviewed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from siltline import resources
from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import tick, undo
from siltline.job.begin import begin
from siltline.job.laying import correct
from siltline.job.reckoning import briefly, on_hand, plainly, reckon, told
from siltline.job.rounds import air_typed, read_air
from siltline.judge.findings import findings
from siltline.reckon import works_out
from support.crawl import Days, crawl_job

STEP = "drying-begun/crawl-space"
OUT = {"blows": "out", "airflow": "300 cfm"}


@pytest.fixture
def crawl(tmp_path: Path) -> Iterator[tuple[Job, Days]]:
    job, clock = crawl_job(tmp_path)
    yield job, clock
    job.close()


def airs(job: Job, inside: str, outside: str) -> None:
    taken = [air_typed("affected", inside, place="crawl-space"), air_typed("outside", outside)]
    read_air(job, taken, by="Ada", sure=True)


def fans(job: Job) -> list[tuple[str, str]]:
    return [(f.code, f.weight) for f in findings(job.board) if f.code.startswith("fan-")]


def given(job: Job, **more: str) -> dict[str, str]:
    return on_hand(job, job.step(STEP).step, "fan") | OUT | more


def test_the_sheet_and_the_airs_read_last_are_filled_in(crawl: tuple[Job, Days]) -> None:
    job, _ = crawl
    assert on_hand(job, job.step(STEP).step, "fan") == {"area": "1100 ft2", "height": "3 ft"}
    airs(job, "18C/85%", "14C/60%")
    there = on_hand(job, job.step(STEP).step, "fan")
    assert (there["inside"], there["outside"]) == ("18C/85%", "14C/60%")
    reckon(job, STEP, "fan", {**there, **OUT}, by="Ada")
    airs(job, "19C/70%", "10C/50%")
    again = on_hand(job, job.step(STEP).step, "fan")
    assert again == {**there, **OUT, "inside": "19C/70%", "outside": "10C/50%"}
    assert on_hand(job, job.step(STEP).step, "dose") == {}  # the floor is not what is treated


def test_what_was_typed_is_kept_and_what_comes_of_it_is_reckoned_anew(
    crawl: tuple[Job, Days],
) -> None:
    job, clock = crawl
    airs(job, "18C/85%", "14C/60%")
    found = reckon(job, STEP, "fan", given(job), by="Ada")
    path = job.record.path
    job.close()
    again = open_job(path, clock, "51717e0000000009")
    (one,) = again.board.ledger.reckoned[STEP]
    assert dict(one.given) == given(again)
    assert plainly(one)["found"] == found.flat
    assert told(one)[0] == (
        "Fan reckoned (blows out, airflow 300 cfm, area 1100 ft2, height 3 ft, inside 18C/85%, "
        "outside 14C/60%)."
    )
    (line,) = briefly(again, one)
    assert line.startswith("Fan (out, 300 cfm, 18C/85%, 14C/60%): Verdict: outside air dries it;")
    again.close()


def test_each_fan_stands_by_itself_and_a_later_word_on_one_replaces_it(
    crawl: tuple[Job, Days],
) -> None:
    job, _ = crawl
    airs(job, "18C/85%", "14C/60%")
    reckon(job, STEP, "fan", given(job, which="North vent", blows="in"), by="Ada")
    reckon(job, STEP, "fan", given(job, which="South vent"), by="Ada")
    assert fans(job) == [("fan-blows-in", "must-fix")]
    reckon(job, STEP, "fan", given(job, which="north vent"), by="Ada")
    assert fans(job) == []
    assert [one.which for one in job.board.ledger.reckoned[STEP]] == ["south vent", "north vent"]
    undo(job, by="Ada")
    assert fans(job) == [("fan-blows-in", "must-fix")]


def test_of_another_fan_only_the_space_is_taken_over(crawl: tuple[Job, Days]) -> None:
    job, _ = crawl
    airs(job, "18C/85%", "14C/60%")
    reckon(job, STEP, "fan", given(job, which="North vent", fans="2", area="900 ft2"), by="Ada")
    step = job.step(STEP).step
    assert on_hand(job, step, "fan", "hatch") == {
        "area": "900 ft2", "height": "3 ft", "inside": "18C/85%", "outside": "14C/60%",
    }  # fmt: skip
    assert on_hand(job, step, "fan", "north VENT ")["fans"] == "2"


def test_what_was_reckoned_in_other_airs_says_so(crawl: tuple[Job, Days]) -> None:
    job, _ = crawl
    airs(job, "18C/85%", "14C/60%")
    reckon(job, STEP, "fan", given(job), by="Ada")
    (one,) = job.board.ledger.reckoned[STEP]
    assert len(briefly(job, one)) == 1
    airs(job, "18C/70%", "14C/60%")
    assert briefly(job, one)[1:] == ["The airs were read again since: reckon it anew."]


def test_a_crawl_space_is_no_room_and_gets_no_air_movers(crawl: tuple[Job, Days]) -> None:
    job, _ = crawl
    there = on_hand(job, job.step(STEP).step, "machines")
    assert there["rooms"] == "0"
    (movers,) = (line for line in works_out("machines", there).lines if line.name == "movers")
    assert movers.text.startswith("no rule: it is one of rooms")


DRAWS = """\
phase: one
title: One
steps:
  - step: dry
    each: crawl-space
    do: Begin to dry {place}.
    why: It matters.
    ways:
      - {way: fan, draws-in: outdoor-air, do: A fan blows outdoors.}
      - {way: closed, do: It is closed.}
    caution: [{NOTICE: Mind it.}]
    source: common practice
"""


def test_no_way_that_draws_in_wetter_air_is_taken(tmp_path: Path) -> None:
    (tmp_path / "draws").mkdir()
    (tmp_path / "draws" / "checklist.yaml").write_text(
        "checklist: draws\ntitle: Draws\nphases: [one.yaml]\n", encoding="utf-8"
    )
    (tmp_path / "draws" / "one.yaml").write_text(DRAWS, encoding="utf-8")
    house = resources.folder("sample_job") / "house.yaml"
    job = begin(house, tmp_path / "job", checklist=str(tmp_path / "draws"), clock=Days())
    step = "dry/crawl-space"
    assert tick(job, step, by="Ada", way="fan").state == "documented"
    assert fans(job) == [("fan-air-unread", "decide")]
    airs(job, "14C/60%", "19C/85%")
    assert fans(job) == [("fan-draws-wet", "decide")]
    before = len(job.record.events)
    with pytest.raises(NotNow, match="outdoor air wets Crawl space: it must not be drawn in"):
        tick(job, step, by="Ada", way="fan")
    assert len(job.record.events) == before
    assert tick(job, step, by="Ada", way="closed").state == "documented"
    assert fans(job) == []
    job.close()


def test_a_fan_that_draws_in_wetter_air_is_for_the_review_to_decide(
    crawl: tuple[Job, Days],
) -> None:
    job, _ = crawl
    airs(job, "18C/85%", "14C/60%")
    reckon(job, STEP, "fan", given(job), by="Ada")
    assert fans(job) == []
    airs(job, "18C/60%", "28C/80%")  # the weather turned
    assert fans(job) == [("fan-draws-wet", "decide")]
    reckon(job, STEP, "fan", given(job, blows="off"), by="Ada")
    assert fans(job) == []


def test_a_step_that_applies_no_more_takes_none(crawl: tuple[Job, Days]) -> None:
    job, _ = crawl
    airs(job, "18C/85%", "14C/60%")
    typed = given(job)
    correct(job, ["crawl-space.flooded=no"], by="Ada", take=True)
    with pytest.raises(NotNow, match="is not needed"):
        reckon(job, STEP, "fan", typed, by="Ada")
    assert STEP not in job.board.ledger.reckoned


@pytest.mark.parametrize(
    ("what", "typed", "by", "says"),
    [
        ("fam", {}, "Ada", "did you mean 'fan'"),
        ("fan", {}, "Ada", "Still needed: Which way it blows."),
        ("dose", {"strength": "6 %", "label": "500 ppm"}, " ", "name"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    what: str, typed: dict[str, str], by: str, says: str, crawl: tuple[Job, Days]
) -> None:
    job, _ = crawl
    before = len(job.record.events)
    with pytest.raises(WrongUse, match=says):
        reckon(job, STEP, what, typed, by=by)
    assert len(job.record.events) == before
