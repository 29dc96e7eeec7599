"""A crawl space that dries over three weeks: points, unaffected wood, the air of each day."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from siltline import resources
from siltline.job import Job
from siltline.job.begin import begin
from siltline.job.points import add_meter, add_point
from siltline.job.rounds import air_typed, read_air, read_round
from siltline.judge.measured import points_of

STEP = "soil-dry/crawl-space"
START = datetime(2026, 3, 14, 13, 15, tzinfo=UTC)
# Each joist: percent at first, and the days in which a part of 1/e of its way is left.
JOISTS = {"J1": (24.0, 7.0), "J2": (21.5, 5.0), "J3": (27.0, 6.0)}
DAYS = (0, 1, 2, 3, 4, 6, 8, 10, 12, 14, 17, 19, 20, 21)


class Days:
    """A clock that stands where it is put."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def on(self, day: float) -> None:
        self.now = START + timedelta(days=day)


def humidity(day: float) -> int:
    """The first three days nobody dried the air."""
    return 85 if day < 3 else 45


def moisture(joist: str, day: float) -> float:
    first, slow = JOISTS[joist]
    return 9.5 + (first - 9.5) * math.exp(-day / slow)


def crawl_job(folder: Path) -> tuple[Job, Days]:
    """Begin a job of the invented sample house, with its points and its meter."""
    clock = Days()
    job = begin(
        resources.folder("sample_job") / "house.yaml",
        folder / "crawl",
        clock=clock,
        device="51717e0000000009",
    )
    add_meter(job, "Pin meter", tolerance="1%", resolution="0.5%", corrects="yes")
    for number, name in enumerate(JOISTS, 1):
        where = f"joist {number} from the access"
        add_point(job, STEP, name, where=where, material="joist", height="-6in", air="crawl-space")
    add_point(job, STEP, "R1", where="sill under the porch, never wet", reference=True)
    return job, clock


def read_on(job: Job, clock: Days, days: tuple[float, ...] = DAYS) -> Iterator[float]:
    """Read every point and the air on each day; yields the day when that is recorded."""
    for day in days:
        clock.on(day)
        round_of = {name: f"{round(2 * moisture(name, day)) / 2:g}" for name in JOISTS}
        read_round(job, round_of | {"R1": "11"}, meter="Pin meter", by="Ada", sure=True)
        air = air_typed("affected", f"65F/{humidity(day)}%", "crawl-space", "58F")
        read_air(job, [air, air_typed("outside", "50F/50%")], by="Ada")
        yield day


def many_points(folder: Path, count: int) -> Job:
    """Begin a job with so many points, each read on ten days."""
    job, clock = crawl_job(folder)
    for number in range(count - len(JOISTS)):
        add_point(job, STEP, f"P{number}", where="a joist", air="crawl-space")
    noise = random.Random(1)
    names = [one.name for one in points_of(job.board.ledger)]
    for day in range(10):
        clock.on(day + 3)
        level = moisture("J1", day)
        read = {name: f"{round(2 * (level + noise.gauss(0, 0.3))) / 2:g}" for name in names}
        read_round(job, read, by="Ada", sure=True)
        read_air(job, [air_typed("affected", "65F/45%", "crawl-space")], by="Ada")
    return job
