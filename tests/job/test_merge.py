"""Two laptops' work becomes one: nothing lost, no order matters, nothing decides by itself."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from siltline.errors import Broken, Refusal, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, detach, leave_out, tick, undo, untick
from siltline.job.add import add
from siltline.job.begin import begin
from siltline.job.close_out import hand_off, review
from siltline.job.laying import correct
from siltline.job.merge import merge
from siltline.job.withholding import withhold
from siltline.record import connect as connecting
from siltline.record.audit import faults
from support.command import Shell
from support.house import HOUSE
from support.pictures import photo
from support.small import write_tiny

START = datetime(2026, 3, 12, 8, tzinfo=UTC)


class Laptop:
    """A laptop with its own copy of the job, its own id and its own wrong clock."""

    def __init__(self, path: Path, device: str, wrong_by: timedelta) -> None:
        self.path = path
        self.device = device
        self.time = START + wrong_by

    def clock(self) -> datetime:
        self.time += timedelta(minutes=1)
        return self.time

    @contextmanager
    def job(self) -> Iterator[Job]:
        job = open_job(self.path, self.clock, self.device)
        try:
            yield job
        finally:
            job.close()


@pytest.fixture
def laptops(tmp_path: Path) -> tuple[Laptop, Laptop]:
    """Two laptops with copies of one job; the second one's clock is a year behind."""
    checklist, house = write_tiny(tmp_path)
    one = Laptop(tmp_path / "one.siltline", "a" * 16, timedelta())
    begin(house, one.path, checklist=str(checklist), clock=one.clock, device=one.device).close()
    two = Laptop(tmp_path / "two.siltline", "b" * 16, timedelta(days=-365))
    shutil.copy(one.path, two.path)
    return one, two


def told(path: Path) -> dict[str, object]:
    """Return all that a job says, in a form in which two jobs can be compared."""
    job = open_job(path)
    try:
        board = job.board
        return {
            "events": sorted(e.id for e in job.record.events),
            "heads": sorted(job.record.heads),
            "photos": sorted(board.ledger.photos),
            "states": {s: v.state for s, v in board.steps.items()},
            "remarks": {s: v.remarks for s, v in board.steps.items()},
            "attached": {s: [a.photo for a in v.attached] for s, v in board.steps.items()},
            "findings": [(f.code, f.step, f.text) for f in review(job)],
        }
    finally:
        job.close()


def joined(into: Path, *paths: Path) -> dict[str, object]:
    job, _ = merge(list(paths), into)
    job.close()
    return told(into)


def decide(path: Path) -> set[tuple[str, str | None]]:
    job = open_job(path)
    try:
        return {(f.code, f.step) for f in review(job) if f.weight == "decide"}
    finally:
        job.close()


def test_the_work_of_both_is_there_once(laptops: tuple[Laptop, Laptop], tmp_path: Path) -> None:
    one, two = laptops
    same = photo(tmp_path, "same.JPG", 1)
    with one.job() as job:
        add(job, [same, photo(tmp_path, "one.JPG", 2)])
        tick(job, "power-off/house", by="Ada")
    with two.job() as job:
        add(job, [same, photo(tmp_path, "two.JPG", 3)])
        leave_out(job, "walk/house", by="Ben", because="no time")
    both = joined(tmp_path / "both", one.path, two.path)
    assert len(both["photos"]) == 3  # type: ignore[arg-type]
    assert both["states"]["power-off/house"] == "done"  # type: ignore[index]
    assert both["states"]["walk/house"] == "not-done"  # type: ignore[index]
    assert faults(tmp_path / "both.siltline") == []
    for path in (one.path, two.path):
        assert set(told(path)["events"]) < set(both["events"])  # type: ignore[call-overload,arg-type]


def test_the_order_and_the_number_of_times_do_not_matter(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    with one.job() as job:
        tick(job, "power-off/house", by="Ada")
    with two.job() as job:
        tick(job, "power-off/house", by="Ben")
        tick(job, "outlet/one", by="Ben", values=["14 in"])
    first = joined(tmp_path / "ab", one.path, two.path)
    assert joined(tmp_path / "ba", two.path, one.path) == first
    assert joined(tmp_path / "ab", two.path, one.path, one.path) == first
    assert joined(one.path, two.path) == first
    assert joined(two.path, one.path) == first


def test_two_words_unknown_to_each_other_stand_side_by_side_until_somebody_says_it_again(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    with one.job() as job:
        add(job, [photo(tmp_path)])
        attach(job, "power-off/house", "IMG_0001.JPG", role="before")
        assert tick(job, "power-off/house", by="Ada").state == "documented"
    with two.job() as job:
        leave_out(job, "power-off/house", by="Ben", because="the meter is gone")
    both = tmp_path / "both.siltline"
    joined(both, one.path, two.path)
    assert decide(both) == {("two-words", "power-off/house")}
    job = open_job(both)
    view = job.step("power-off/house")
    assert view.state == "not-done", "what says least counts: nobody passes on half a word"
    assert {word.by for word in view.disputed} == {"Ada", "Ben"}
    assert job.step("walk/house").state == "blocked"
    tick(job, "power-off/house", by="Cleo")
    assert job.step("power-off/house").state == "documented"
    assert not job.step("power-off/house").disputed
    job.close()
    assert decide(both) == set()
    joined(both, one.path, two.path)
    assert decide(both) == set(), "a settled word stays settled when old files come again"


def test_two_values_for_one_fact_ask_again(laptops: tuple[Laptop, Laptop], tmp_path: Path) -> None:
    one, two = laptops
    with one.job() as job:
        assert tick(job, "outlet/one", by="Ada", values=["14 in"]).state == "todo"
        assert tick(job, "outlet/two", by="Ada", values=["50 in"]).state == "not-needed"
    with two.job() as job:
        assert tick(job, "outlet/one", by="Ben", values=["50 in"]).state == "not-needed"
    both = tmp_path / "both.siltline"
    states = joined(both, one.path, two.path)["states"]
    assert states["outlet/one"] == "measure"  # type: ignore[index]
    assert states["outlet/two"] == "not-needed"  # type: ignore[index]
    assert decide(both) == {("two-values", "outlet/one")}
    job = open_job(both)
    assert tick(job, "outlet/one", by="Cleo", values=["15 in"]).state == "todo"
    job.close()
    assert decide(both) == set()


def test_the_same_value_found_twice_is_no_dispute(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    for laptop, name in zip(laptops, ("Ada", "Ben"), strict=True):
        with laptop.job() as job:
            tick(job, "outlet/one", by=name, values=["14 in"])
    both = tmp_path / "both.siltline"
    states = joined(both, *(laptop.path for laptop in laptops))["states"]
    assert states["outlet/one"] == "todo"  # type: ignore[index]
    assert decide(both) == set()


def test_a_photo_taken_off_on_one_laptop_and_attached_anew_on_the_other_stays(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    with one.job() as job:
        add(job, [photo(tmp_path)])
        attach(job, "walk/house", "IMG_0001.JPG", role="other")
    shutil.copy(one.path, two.path)
    with one.job() as job:
        detach(job, "walk/house", "IMG_0001.JPG")
    with two.job() as job:
        attach(job, "walk/house", "IMG_0001.JPG", role="before")
    both = joined(tmp_path / "both", one.path, two.path)
    assert len(both["attached"]["walk/house"]) == 1  # type: ignore[index]


def test_a_copied_laptop_shows_as_a_fork_and_nothing_is_dropped(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    clone = Laptop(two.path, one.device, timedelta())
    with one.job() as job:
        tick(job, "power-off/house", by="Ada")
    with clone.job() as job:
        leave_out(job, "walk/house", by="Ada", because="r")
    both = joined(tmp_path / "both", one.path, clone.path)
    assert any(code == "copied-laptop" for code, _, _ in both["findings"])  # type: ignore[attr-defined]
    assert both["states"]["walk/house"] == "not-done"  # type: ignore[index]


def test_different_houses_are_refused_and_nothing_is_written(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, _ = laptops
    checklist, house = tmp_path / "tiny", tmp_path / "tiny.yaml"
    other = tmp_path / "other.siltline"
    begin(house, other, checklist=str(checklist), clock=one.clock).close()
    with pytest.raises(WrongUse, match="not of one job"):
        merge([one.path, other], tmp_path / "both")
    assert not (tmp_path / "both.siltline").exists()
    before = other.read_bytes()
    with pytest.raises(WrongUse, match="not of one job"):
        merge([one.path], other)
    assert other.read_bytes() == before


def test_a_file_that_is_not_whole_gives_nothing(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    with two.job() as job:
        tick(job, "power-off/house", by="Ben")
    connection = sqlite3.connect(two.path)
    connection.execute("DROP TRIGGER event_stays")
    connection.execute("UPDATE event SET envelope = replace(envelope, 'Ben', 'Bob')")
    connection.commit()
    connection.close()
    with pytest.raises(Broken, match="not whole"):
        merge([one.path, two.path], tmp_path / "both")
    assert not (tmp_path / "both.siltline").exists()


def test_merging_into_an_open_job_is_seen_by_it(laptops: tuple[Laptop, Laptop]) -> None:
    one, two = laptops
    with two.job() as job:
        tick(job, "power-off/house", by="Ben")
    with one.job() as opened:
        tick(opened, "power-off/house", by="Ada")
        job, new = merge([two.path], one.path)
        job.close()
        assert new.events == 1
        assert opened.record.touched_by_others()
        assert opened.refresh()
        assert {w.by for w in opened.step("power-off/house").disputed} == {"Ada", "Ben"}
        assert len(opened.record.heads) == 2
        tick(opened, "power-off/house", by="Cleo")
        assert len(opened.record.heads) == 1


def test_a_withheld_photo_comes_back_from_no_other_laptop(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    one, two = laptops
    private = photo(tmp_path)
    for laptop in laptops:
        with laptop.job() as job:
            add(job, [private])
    with one.job() as job:
        sha256 = withhold(job, "IMG_0001.JPG", because="a stranger's face", by="Ada")
    both = tmp_path / "both.siltline"
    for order in permutations((one.path, two.path)):
        with suppress(FileNotFoundError):
            both.unlink()
        joined(both, *order)
        assert faults(both) == []
        assert private.read_bytes()[-200:] not in both.read_bytes()
    joined(two.path, one.path)
    assert private.read_bytes()[-200:] not in two.path.read_bytes()
    with two.job() as job:
        assert sha256 in job.board.ledger.withheld


def test_by_command(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = laptops
    for laptop, name in zip(laptops, ("Ada", "Ben"), strict=True):
        with laptop.job() as job:
            tick(job, "power-off/house", by=name)
    shell = Shell(capsys)
    ran = shell("merge", one.path, two.path, "--into", tmp_path / "both", "--json")
    assert ran.code == 0, ran.err
    assert [d["code"] for d in ran.json["decide"]] == ["two-words"]
    assert json.loads(ran.out)["job"].endswith("both.siltline")
    shell("begin", tmp_path / "tiny.yaml", tmp_path / "x", "--checklist", tmp_path / "tiny")
    assert shell("merge", one.path, tmp_path / "x", "--into", tmp_path / "y").code == 2


# laws over random work of three laptops with wrong clocks, one of which may be copied

STEPS = ("power-off/house", "walk/house", "outlet/one", "outlet/two", "power-back/house")
ACTS: dict[str, Callable[[Job, str, int], object]] = {
    "tick": lambda job, step, n: tick(job, step, by=f"P{n % 3}"),
    "measure": lambda job, step, n: tick(job, step, by=f"P{n % 3}", values=[f"{10 + n % 40} in"]),
    "untick": lambda job, step, _: untick(job, step),
    "leave out": lambda job, step, n: leave_out(job, step, by=f"P{n % 3}", because="r"),
    "undo": lambda job, *_: undo(job),
    "hand off": lambda job, *_: hand_off(job, giver="A", taker="B"),
}


class Laptops(RuleBasedStateMachine):
    """Three laptops and copies of them; every event ever acknowledged is remembered."""

    laptops = Bundle("laptops")

    @initialize(target=laptops)
    def start(self) -> Laptop:
        self.scratch = TemporaryDirectory()
        self.folder = Path(self.scratch.name)
        checklist, house = write_tiny(self.folder)
        self.all: list[Laptop] = []
        first = self._laptop("a" * 16, timedelta())
        begin(
            house, first.path, checklist=str(checklist), clock=first.clock, device="a" * 16
        ).close()
        for device, wrong_by in (("b" * 16, timedelta(days=-400)), ("c" * 16, timedelta(hours=5))):
            shutil.copy(first.path, self._laptop(device, wrong_by).path)
        self.acknowledged: set[str] = set()
        self.photos = [photo(self.folder, f"{n}.JPG", n) for n in range(4)]
        return first

    def _laptop(self, device: str, wrong_by: timedelta) -> Laptop:
        path = self.folder / f"laptop-{len(self.all)}.siltline"
        self.all.append(Laptop(path, device, wrong_by))
        return self.all[-1]

    @rule(target=laptops, number=st.integers(0, 5))
    def pick(self, number: int) -> Laptop:
        return self.all[number % len(self.all)]

    @rule(target=laptops, of=laptops)
    def copy(self, of: Laptop) -> Laptop:
        if len(self.all) > 5:
            return of
        clone = self._laptop(of.device, timedelta(hours=len(self.all)))
        shutil.copy(of.path, clone.path)
        return clone

    @rule(
        on=laptops,
        act=st.sampled_from(sorted(ACTS)),
        step=st.sampled_from(STEPS),
        n=st.integers(0, 99),
    )
    def work(self, on: Laptop, act: str, step: str, n: int) -> None:
        with on.job() as job:
            before = len(job.record.events)
            with suppress(Refusal):
                ACTS[act](job, step, n)
            self.acknowledged.update(e.id for e in job.record.events[before:])

    @rule(on=laptops, number=st.integers(0, 3), step=st.sampled_from(STEPS))
    def take_and_attach(self, on: Laptop, number: int, step: str) -> None:
        with on.job() as job:
            before = len(job.record.events)
            (outcome,) = add(job, [self.photos[number]]).outcomes
            with suppress(Refusal):
                attach(job, step, outcome.sha256, role="before")
            self.acknowledged.update(e.id for e in job.record.events[before:])

    @rule(into=laptops, source=laptops)
    def join(self, into: Laptop, source: Laptop) -> None:
        if into is source:
            return
        wanted = set(told(into.path)["events"]) | set(told(source.path)["events"])  # type: ignore[call-overload]
        once = joined(into.path, source.path)
        assert set(once["events"]) == wanted  # type: ignore[call-overload]
        assert joined(into.path, source.path) == once

    @invariant()
    def every_file_is_whole(self) -> None:
        for laptop in getattr(self, "all", ()):
            assert faults(laptop.path) == []

    def teardown(self) -> None:
        if not hasattr(self, "all"):
            return
        try:
            self._all_ways()
        finally:
            self.scratch.cleanup()

    def _all_ways(self) -> None:
        """Put all laptops together in several orders and groupings: always the same."""
        paths = [laptop.path for laptop in self.all]
        first = joined(self.folder / "all", *paths)
        assert set(first["events"]) >= self.acknowledged  # type: ignore[call-overload]
        assert joined(self.folder / "back", *reversed(paths)) == first
        left = self.folder / "left.siltline"
        joined(left, *paths[:2])
        assert joined(self.folder / "associated", *paths[2:], left) == first
        assert faults(self.folder / "all.siltline") == []


@pytest.mark.parametrize(
    ("examples", "steps"), [(12, 14), pytest.param(150, 40, marks=pytest.mark.full)]
)
def test_whatever_laptops_do_nothing_is_lost_and_every_order_gives_the_same(
    examples: int, steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    quick = tuple(s for s in connecting._SETTINGS if "synchronous" not in s)
    monkeypatch.setattr(connecting, "_SETTINGS", (*quick, "PRAGMA synchronous = OFF"))
    run_state_machine_as_test(
        Laptops,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.mark.parametrize("turned", [False, True])
def test_a_step_that_a_disputed_fact_brings_back_is_needed_again(
    tmp_path: Path, turned: bool
) -> None:
    """One lead found the outlet above the water, so the power stopped waiting for it; the other
    found it below. Nobody knows now, so the power waits again."""
    sheet = tmp_path / "house.yaml"
    sheet.write_text(HOUSE, encoding="utf-8")
    one = Laptop(tmp_path / "one.siltline", "a" * 16, timedelta())
    begin(sheet, one.path, clock=one.clock, device=one.device).close()
    two = Laptop(tmp_path / "two.siltline", "b" * 16, timedelta())
    shutil.copy(one.path, two.path)
    step = "outlet-replaced/hidden-outlet"
    for laptop, height in ((one, "50 in"), (two, "10 in")):
        with laptop.job() as job:
            correct(job, [f"electrical.hidden-outlet.height={height}"], by="Ada", take=True)
    with one.job() as job:  # something else is found out afterwards, upon the shorter plan
        correct(job, ["year-built=1964"], by="Ada", take=True)
        assert step not in job.step("power-back/house").step.needs
    paths = [two.path, one.path] if turned else [one.path, two.path]
    merge(paths, tmp_path / "both.siltline")
    job = open_job(tmp_path / "both.siltline")
    try:
        assert job.step(step).state == "measure"
        assert step in job.step("power-back/house").step.needs
        correct(job, ["electrical.hidden-outlet.height=50 in"], by="Bo", take=True)
        assert step not in job.step("power-back/house").step.needs
    finally:
        job.close()
