"""What was taken back is named by what it was about, not as the house sheet whatever it was."""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from pathlib import Path

import pytest

from siltline.job import Job
from siltline.job.acted import about
from siltline.job.acts import attach, tick, undo
from siltline.job.add import add
from siltline.job.laying import correct
from siltline.job.noting import note_photo
from siltline.job.points import add_meter
from siltline.job.reckoning import reckon
from siltline.job.rounds import air_typed, read_air, read_round
from support.crawl import STEP, crawl_job
from support.pictures import photo

DOSE = {"product": "Invented bleach", "strength": "6%", "bleach": "0.75cup", "water": "1gal",
        "batch": "5gal"}  # fmt: skip
FAN = {"blows": "out", "airflow": "300cfm", "inside": "18C/85%", "outside": "14C/60%",
       "which": "North vent", "area": "1100 ft2", "height": "3 ft"}  # fmt: skip
ACTS: dict[str, tuple[Callable[[Job], object], str]] = {
    "read": (lambda job: read_round(job, {"J1": "18", "R1": "11"}, by="Ada"), "J1, R1"),
    "air": (
        lambda job: read_air(
            job, [air_typed("affected", "65F/80%"), air_typed("outside", "50F/50%")], by="Ada"
        ),
        "beside what is wet 65F/80%, outdoors 50F/50%",
    ),
    "meter": (lambda job: add_meter(job, "Old pins"), "Old pins"),
    "corrected": (
        lambda job: correct(job, ["year-built=1990", "altitude=10m"], by="Ada", take=True),
        "year-built, altitude",
    ),
    "ticked": (lambda job: tick(job, "gear-on/house", by="Ada"), "gear-on/house"),
}


@pytest.mark.parametrize("kind", ACTS)
def test_what_was_taken_back_is_named(kind: str, tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    act, words = ACTS[kind]
    act(job)
    gone = undo(job)
    assert (gone.kind, about(job, gone)) == (kind, words)


@pytest.mark.parametrize(
    ("what", "given", "words"),
    [("fan", FAN, "a fan (North vent)"), ("dose", DOSE, "a dose (Invented bleach)")],
)
def test_the_thing_that_was_reckoned_is_named_with_its_step(
    what: str, given: dict[str, str], words: str, tmp_path: Path
) -> None:
    job, _ = crawl_job(tmp_path)
    step = next(v.step for v in job.board.steps.values() if v.step.place == "crawl-space")
    reckon(job, step.id, what, given, by="Ada")
    assert about(job, undo(job)) == f"{words}, {step.id}"
    job.names = attrgetter("do")  # as a screen calls steps
    reckon(job, step.id, what, given, by="Ada")
    assert about(job, undo(job)) == f"{words}, {step.do}"


def test_a_photo_is_named_as_its_file_is(tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    add(job, [photo(tmp_path, "JOIST.JPG", 1)])
    note_photo(job, "JOIST.JPG", "by the vent", by="Ada")
    assert about(job, undo(job)) == "JOIST.JPG"
    attach(job, STEP, "JOIST.JPG")
    assert about(job, undo(job)) == f"JOIST.JPG, {STEP}"
