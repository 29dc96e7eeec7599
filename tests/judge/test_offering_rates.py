"""How often the right photo and the right step are offered first, and among three; printed.

Right for a step is a photo that the crew took of it, in the role in question on invented days;
right for a photo is the step that it was taken of. Each figure stands beside that of the order
in which photos were listed before there were offers: those at no step first, as they were taken
in; for steps, the first of the plan that lacks proof.

Invented days go by the plan, place by place, room by room, or in an order of their own that no
offer knows; words are given live or all in the evening; one camera of two has a wrong clock.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pytest

from siltline import resources
from siltline.job import Job
from siltline.job.acts import attach, detach
from siltline.job.begin import begin
from siltline.job.offering import offering
from siltline.job.replay import Day as Recorded
from siltline.job.replay import StoppedClock, moment, read_day, replay
from siltline.judge.offer_words import because
from siltline.judge.offering import Offer, Offering
from support import crews

DAYS = 6


@dataclass
class Rate:
    """How often something was right: first, among three, and where an offer was clear."""

    asked: int = 0
    first: int = 0
    three: int = 0
    plain: int = 0
    clear: int = 0
    clear_right: int = 0

    def take(self, right: Callable[[Offer], bool], offers: list[Offer], plain: bool) -> None:
        self.asked += 1
        self.first += right(offers[0])
        self.three += any(map(right, offers[:3]))
        self.plain += plain
        if offers[0].clear:
            self.clear += 1
            self.clear_right += right(offers[0])

    def __str__(self) -> str:
        sure = self.clear_right / max(1, self.clear)
        first, three, plain, clear = (
            f"{n / max(1, self.asked):.0%}"
            for n in (self.first, self.three, self.plain, self.clear)
        )
        return (
            f"first {first}, among three {three} of {self.asked}, by plain order {plain}; "
            f"clear {clear}, of those right {sure:.0%}"
        )

    def keep(self, first: float, three: float) -> None:
        """Hold the floors."""
        assert self.first >= first * self.asked, self
        assert self.three >= three * self.asked, self


def ask_for_step(rate: Rate, found: Offering, step: str, right: set[str]) -> None:
    unused = found.board.unused_photos()
    offers = found.photos(step)
    assert because(found, offers[0])  # never in silence
    rate.take(lambda offer: offer.photo in right, offers, bool(unused) and unused[0] in right)


def ask_for_photo(rate: Rate, found: Offering, photo: str, right: str) -> None:
    views = found.board.steps.values()
    plain = next(v.step.id for v in views if v.missing and v.state != "not-needed")
    offers = found.steps(photo)
    assert because(found, offers[0])
    rate.take(lambda offer: offer.step == right, offers, plain == right)


# The recorded day of the sample job.


@pytest.fixture
def sample_day() -> Recorded:
    return read_day(resources.folder("sample_job") / "day.yaml")


@pytest.fixture
def begun(tmp_path: Path, sample_day: Recorded) -> Iterator[tuple[Job, StoppedClock]]:
    clock = StoppedClock(moment(sample_day.acts[0].at, crews.SITE))
    sheet = resources.folder("sample_job") / "house.yaml"
    job = begin(sheet, tmp_path / "sample", clock=clock, device=sample_day.device)
    yield job, clock
    job.close()


def truths(day: Recorded) -> dict[str, set[str]]:
    """Return step -> the names of the photos that the day leaves at it."""
    found: dict[str, set[str]] = {}
    for act, after in zip(day.acts, day.acts[1:], strict=False):
        if act.act == "attach" and after.act != "undo":
            found.setdefault(act.step, set()).add(act.photo)
    return found


def test_on_the_recorded_day_in_its_order(
    begun: tuple[Job, StoppedClock], sample_day: Recorded, figure: Callable[[str], None]
) -> None:
    """Nothing is at a step when the day starts; each attachment is asked for before it is made."""
    job, clock = begun
    of_step, of_photo, right = Rate(), Rate(), truths(sample_day)
    photos = resources.folder("sample_job") / "photos"
    done = 0
    days = replay(job, sample_day, photos, clock)
    for act in sample_day.acts:
        if act.act == "attach" and act.photo in right.get(act.step, ()):
            by_name = {taken.name: photo for photo, taken in job.board.ledger.photos.items()}
            here = {by_name[name] for name in right[act.step] if name in by_name}
            here -= {one.photo for one in job.step(act.step).attached}
            found = offering(job)
            ask_for_step(of_step, found, act.step, here)
            ask_for_photo(of_photo, found, by_name[act.photo], act.step)
        done = next(days)
    assert done == len(sample_day.acts)
    figure(f"offers on the recorded day in its order, photo for a step: {of_step}")
    figure(f"offers on the recorded day in its order, step for a photo: {of_photo}")
    of_step.keep(*FLOORS["sample-step"])
    of_photo.keep(*FLOORS["sample-photo"])


def test_on_the_recorded_day_with_one_attachment_hidden(
    begun: tuple[Job, StoppedClock], sample_day: Recorded, figure: Callable[[str], None]
) -> None:
    job, clock = begun
    of_step, of_photo = Rate(), Rate()
    list(replay(job, sample_day, resources.folder("sample_job") / "photos", clock))
    standing = [(step, a) for step, there in job.board.ledger.attached.items() for a in there]
    for step, one in list(standing):
        if len(job.board.used_photos()[one.photo]) > 1:
            continue  # it stays used, and what is used is never first
        detach(job, step, one.photo)
        found = offering(job)
        ask_for_step(of_step, found, step, {one.photo})
        ask_for_photo(of_photo, found, one.photo, step)
        attach(job, step, one.photo, role=one.role)
    figure(f"offers on the recorded day, one hidden, photo for a step: {of_step}")
    figure(f"offers on the recorded day, one hidden, step for a photo: {of_photo}")
    of_step.keep(*FLOORS["hidden-step"])
    of_photo.keep(*FLOORS["hidden-photo"])


# Days of invented crews.


def in_turn(seeds: range) -> dict[str, Rate]:
    """Nothing is at a step at first; live in the order of work, in the evening in the plan's."""
    rates = {f"{when}, {what}": Rate() for when in ("live", "in the evening")
             for what in ("photo for a step", "step for a photo")}  # fmt: skip
    for day in map(crews.day, seeds):
        record, at = day.begun(day.said), day.evening
        steps = record.board().steps
        left = crews.truth(day)
        if not day.live:
            left.sort(key=lambda shot: steps[shot.step].step.order)
        when = "live" if day.live else "in the evening"
        while left:
            shot = left[0]
            found = Offering(record.board(), day.seen, at)
            right = {s.sha256 for s in left if (s.step, s.role) == (shot.step, shot.role)}
            ask_for_step(rates[f"{when}, photo for a step"], found, shot.step, right)
            ask_for_photo(rates[f"{when}, step for a photo"], found, shot.sha256, shot.step)
            crews.attach(record, left.pop(0), at)
            at += timedelta(seconds=20)
    return rates


def hidden(seeds: range) -> dict[str, Rate]:
    """All are at their steps but one, each fifth in turn."""
    rates = {"one hidden, photo for a step": Rate(), "one hidden, step for a photo": Rate()}
    for day in map(crews.day, seeds):
        shots = crews.truth(day)
        for away in shots[::5]:
            record = day.begun(day.said)
            for shot in shots:
                if shot is not away:
                    crews.attach(record, shot, day.evening)
            found = Offering(record.board(), day.seen, day.evening)
            ask_for_step(rates["one hidden, photo for a step"], found, away.step, {away.sha256})
            ask_for_photo(rates["one hidden, step for a photo"], found, away.sha256, away.step)
    return rates


# A little under what was measured; in DEVELOPERS.md stands what thirty days gave.
FLOORS = {
    "sample-step": (0.72, 0.88),
    # on the recorded day most of the 100 steps that wait lie between two photos: see DEVELOPERS.md
    "sample-photo": (0.34, 0.42),
    "hidden-step": (0.85, 0.95),
    "hidden-photo": (0.60, 0.82),
    "live, photo for a step": (0.75, 0.94),
    "live, step for a photo": (0.57, 0.82),
    "in the evening, photo for a step": (0.48, 0.70),
    "in the evening, step for a photo": (0.59, 0.72),
    "one hidden, photo for a step": (0.72, 0.94),
    "one hidden, step for a photo": (0.72, 0.90),
}


@pytest.mark.parametrize("way", [in_turn, hidden], ids=lambda way: way.__name__)
def test_on_days_of_invented_crews(
    way: Callable[[range], dict[str, Rate]], figure: Callable[[str], None]
) -> None:
    for what, rate in way(range(DAYS)).items():
        figure(f"offers on {DAYS} invented days, {what}: {rate}")
        rate.keep(*FLOORS[what])
