"""Replays a recorded day through the same acts that commands and screens use."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Literal

from pydantic import Field

from siltline.job import acts
from siltline.job.add import add
from siltline.job.desk import Job
from siltline.rules.files import text_of
from siltline.rules.house import Moment
from siltline.rules.shapes import Name, Shape, Words, validated
from siltline.rules.yamltext import load


class Act(Shape):
    """One act of a recorded day."""

    at: Moment
    act: Literal["add", "attach", "detach", "tick", "untick", "leave-out", "undo"]
    photos: list[Name] = Field(default_factory=list)
    step: Name = ""
    photo: Name = ""
    as_: Name | None = None
    by: Name | None = None
    licence: str = ""
    way: str = ""
    values: list[Name] = Field(default_factory=list)
    note: str = ""
    because: str = ""


class HandOff(Shape):
    """Who hands over to whom, and when."""

    at: Moment
    from_: Name
    to: Name


class Day(Shape):
    """A recorded day."""

    device: Name
    lead: Words
    acts: list[Act]
    handoff: HandOff


def read_day(path: Path) -> Day:
    """Return a recorded day.

    Raises:
        Faulty: with every fault of the file.
    """
    return validated(Day, load(text_of(path), path.name))


def moment(text: str, site: tzinfo | None) -> datetime:
    """Return a time of the day in the zone of the house."""
    when = datetime.fromisoformat(text)
    return when.replace(tzinfo=site) if site else when.astimezone()


class StoppedClock:
    """A clock that shows what it was last set to."""

    def __init__(self, first: datetime) -> None:
        self.time = first

    def __call__(self) -> datetime:
        """Return the time it was set to."""
        return self.time


def _add(job: Job, act: Act, photos: Path) -> None:
    add(job, [photos / name for name in act.photos], by=act.by)


def _attach(job: Job, act: Act, _: Path) -> None:
    acts.attach(job, act.step, act.photo, role=act.as_, by=act.by)


def _detach(job: Job, act: Act, _: Path) -> None:
    acts.detach(job, act.step, act.photo, by=act.by)


def _tick(job: Job, act: Act, _: Path) -> None:
    told = {"licence": act.licence, "note": act.note, "way": act.way}
    acts.tick(job, act.step, by=act.by or "", values=act.values, **told)


def _untick(job: Job, act: Act, _: Path) -> None:
    acts.untick(job, act.step, by=act.by)


def _leave_out(job: Job, act: Act, _: Path) -> None:
    acts.leave_out(job, act.step, by=act.by or "", because=act.because)


def _undo(job: Job, act: Act, _: Path) -> None:
    acts.undo(job, by=act.by)


_ACTS: Mapping[str, Callable[[Job, Act, Path], None]] = {
    "add": _add,
    "attach": _attach,
    "detach": _detach,
    "tick": _tick,
    "untick": _untick,
    "leave-out": _leave_out,
    "undo": _undo,
}


def replay(job: Job, day: Day, photos: Path, clock: StoppedClock) -> Iterator[int]:
    """Do every act of a day at its time.

    Args:
        job: an open job that runs on `clock`.
        day: what was done.
        photos: the folder of its photos.
        clock: set to the time of each act before it is done.

    Yields:
        How many acts are done, after each.
    """
    for number, act in enumerate(day.acts, 1):
        clock.time = moment(act.at, job.zone)
        _ACTS[act.act](job, act, photos)
        yield number
