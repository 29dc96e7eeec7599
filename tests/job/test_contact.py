"""Contact times of a job: acts, what they prove, what the review and the claim say, two laptops."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace

from siltline.claim.contents import gather
from siltline.claim.report_steps import phases
from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, leave_out, tick, undo, untick
from siltline.job.add import add
from siltline.job.close_out import review
from siltline.job.contact import (
    begin_wet,
    end_wet,
    going,
    line,
    minutes_typed,
    seen_wet,
    told,
    wet_again,
)
from siltline.job.merge import merge
from siltline.job.pictures import seen
from siltline.job.tell import proof_told
from siltline.job.tell import step as tell
from siltline.judge.contact_findings import of_contact
from siltline.judge.next_thing import next_thing
from siltline.judge.photo_findings import Seen
from siltline.photos.stamps import Placed
from support.pictures import photo
from support.wetting import STEP, SetClock, wet_job


@pytest.fixture
def clock() -> SetClock:
    return SetClock()


@pytest.fixture
def made(tmp_path: Path, clock: SetClock) -> Iterator[Callable[..., Job]]:
    opened: list[Job] = []

    def make(contact: str = "10 min") -> Job:
        opened.append(wet_job(tmp_path, clock, contact))
        return opened[-1]

    yield make
    for job in opened:
        job.close()


def codes(job: Job) -> dict[str, str]:
    return {f.code: f.weight for f in review(job) if f.code.startswith("contact-")}


def whole(job: Job, clock: SetClock, *, looks: bool = True) -> None:
    begin_wet(job, STEP, by="Ada")
    clock.on(5)
    if looks:
        seen_wet(job, STEP, by="Ada")
    clock.on(6)
    end_wet(job, STEP, by="Ada")


def test_a_watched_clock_proves_the_step_with_the_minutes_that_passed(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    whole(job, clock)
    assert job.step(STEP).state == "todo"  # proof without a word
    view = tick(job, STEP, by="Ada")
    assert view.state == "documented"
    assert view.remarks == ()
    assert "11:00 by the clock, watched by Ada" in " ".join(proof_told(job, view))
    assert codes(job) == {}


def test_it_still_runs_in_a_program_that_was_closed_meanwhile(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    begin_wet(job, STEP, by="Ada", product="Sudsless (invented)")
    job.close()
    clock.on(4)
    again = open_job(job.record.path, clock, "00000000000000aa")
    (one,) = going(again)
    assert line(again, one) == "STILL WET? sanitise, den: 6:00 left"
    assert "Wetted with Sudsless (invented) by Ada, 12 Mar 2026 08:00." in told(again, one)
    clock.on(12 * 60)
    (one,) = going(again)
    assert line(again, one) == "TIME OVER since 08:10:00: sanitise, den"
    clock.on(-24 * 60)
    (one,) = going(again)
    assert line(again, one) == "CLOCK SET BACK: sanitise, den"
    assert "Go by a watch" in told(again, one)
    again.close()


def test_ended_early_it_is_recorded_as_such_and_must_be_made_good(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    begin_wet(job, STEP, by="Ada")
    clock.on(4)
    assert told(job, end_wet(job, STEP, by="Ada")).startswith("ENDED EARLY: wet for 4:00 of 10 min")
    view = tick(job, STEP, by="Ada")
    assert view.state == "done"
    assert "ended early, after 4:00 of 10 min" in " ".join(view.remarks)
    assert codes(job) == {"contact-early": "must-fix"}
    tick(job, STEP, by="Ada", values=["10 min"])  # what is typed does not undo what was seen
    assert job.step(STEP).state == "documented"
    assert codes(job) == {"contact-early": "must-fix"}
    whole(job, clock)
    assert codes(job) == {}
    assert job.step(STEP).state == "documented"


def test_a_step_that_is_left_out_has_no_contact_time_to_make_good(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    begin_wet(job, STEP, by="Ada")
    clock.on(4)
    end_wet(job, STEP, by="Ada")
    tick(job, STEP, by="Ada")
    leave_out(job, STEP, by="Ada", because="the wall comes down")
    assert codes(job) == {}


def test_a_typed_value_counts_and_is_told_as_typed(made: Callable[..., Job]) -> None:
    job = made()
    view = tick(job, STEP, by="Ada", values=["12 min"])
    assert view.state == "documented"
    assert view.remarks == ("The contact time was typed in, not watched by a clock.",)
    assert codes(job) == {"contact-typed": "note"}


def test_one_that_nobody_ended_or_saw_wet_is_told(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    begin_wet(job, STEP, by="Ada")
    tick(job, STEP, by="Ada")
    assert codes(job) == {"contact-open": "must-fix"}
    clock.on(11)
    end_wet(job, STEP, by="Ada")
    assert codes(job) == {"contact-unwatched": "note"}
    assert job.step(STEP).state == "documented"


def test_taking_the_word_back_leaves_what_the_clock_showed(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    whole(job, clock)
    tick(job, STEP, by="Ada")
    untick(job, STEP, by="Ada")
    assert tick(job, STEP, by="Ada").state == "documented"


def test_undo_goes_back_act_by_act(made: Callable[..., Job], clock: SetClock) -> None:
    job = made()
    whole(job, clock)
    assert undo(job).kind == "wet-ended"
    assert [one.state for one in going(job)] == ["over"]
    assert [undo(job).kind, undo(job).kind] == ["wet-seen", "wet-begun"]
    assert going(job) == []


@pytest.mark.parametrize(
    ("typed", "kept"), [("10", "10 min"), ("90 s", "90 s"), ("2.5", "2.5 min"), ("1 h", "1 h")]
)
def test_the_minutes_of_a_label_are_kept_as_typed(
    made: Callable[..., Job], typed: str, kept: str
) -> None:
    job = made("by-the-label")
    assert begin_wet(job, STEP, by="Ada", minutes=typed).run.minutes == kept


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "The label says it"),
        ("0", "more than nothing"),
        ("-3 min", "more than nothing"),
        ("2 d", "a day at most"),
        ("wet", "wet"),
        ("5 in", "5 in"),
    ],
)
def test_no_time_is_made_up_where_the_label_must_say_it(
    made: Callable[..., Job], typed: str, why: str
) -> None:
    job = made("by-the-label")
    with pytest.raises(WrongUse, match=why):
        begin_wet(job, STEP, by="Ada", minutes=typed)
    assert job.board.ledger.wet == {}


def test_a_label_may_want_more_than_the_step_and_never_less(made: Callable[..., Job]) -> None:
    job = made()
    with pytest.raises(WrongUse, match="wants 10 min at least"):
        begin_wet(job, STEP, by="Ada", minutes="5")
    assert begin_wet(job, STEP, by="Ada", minutes="15").wanted_s == 900


def test_what_was_typed_for_a_product_is_offered_and_nothing_else(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made("by-the-label")
    view = job.step(STEP)
    assert minutes_typed(job, view) == []
    for minutes, product in (("4", "One"), ("7", "Two"), ("5", "One")):
        begin_wet(job, STEP, by="Ada", minutes=minutes, product=product)
        clock.on(8)
        end_wet(job, STEP, by="Ada")
    assert minutes_typed(job, view) == ["5 min", "7 min", "4 min"]
    assert minutes_typed(job, job.step("carpet/den"), "two") == ["7 min"]


def test_acts_that_fit_nothing_are_refused_and_record_nothing(made: Callable[..., Job]) -> None:
    job = made()
    for act in (seen_wet, wet_again, end_wet):
        with pytest.raises(NotNow, match="Begin one"):
            act(job, STEP, by="Ada")
    with pytest.raises(NotNow):
        begin_wet(job, "close/low", by="Ada", minutes="5")  # waits for its cable
    with pytest.raises(WrongUse):
        begin_wet(job, STEP, by=" ")
    begin_wet(job, STEP, by="Ada")
    with pytest.raises(NotNow, match="runs at sanitise/den already"):
        begin_wet(job, STEP, by="Ben")
    assert len(job.board.ledger.acts) == 1


def test_the_next_thing_is_the_surface_that_must_be_seen_to(
    made: Callable[..., Job], clock: SetClock
) -> None:
    job = made()
    before = next_thing(job.board, clock())
    begin_wet(job, STEP, by="Ada")
    assert next_thing(job.board, clock()) == before
    clock.on(4)
    found = next_thing(job.board, clock())
    assert before is not None
    assert before.step.hold_point  # with a DANGER: safety stays first
    assert found == before
    leave_out(job, before.step.id, by="Ben", because="a licensed person is on the way")
    found = next_thing(job.board, clock())
    assert found is not None
    assert found.step.id == STEP
    tick(job, STEP, by="Ada", values=["10 min"])
    clock.on(7)
    found = next_thing(job.board, clock())
    assert found is not None
    assert found.step.id == STEP  # documented, and its surface still waits


def test_two_laptops_merge_to_both_contact_times(
    made: Callable[..., Job], clock: SetClock, tmp_path: Path
) -> None:
    job = made()
    job.close()
    other = Path(shutil.copy(job.record.path, tmp_path / "other.siltline"))
    for path, device in ((job.record.path, "00000000000000aa"), (other, "00000000000000bb")):
        laptop = open_job(path, clock, device)
        begin_wet(laptop, STEP, by=device[-2:])
        laptop.close()
    both = tmp_path / "both.siltline"
    merge([job.record.path, other], both)
    joined = open_job(both, clock, "00000000000000aa")
    assert {one.run.begun.by for one in going(joined)} == {"aa", "bb"}
    clock.on(11)
    end_wet(joined, STEP, by="Ada")
    assert going(joined) == []
    joined.close()


def placed(minutes: float, clock: str = "checked", doubt: float = 2) -> Placed:
    moment = datetime(2026, 3, 12, 13, 0, tzinfo=UTC) + timedelta(minutes=minutes)
    off = timedelta(seconds=doubt)
    return Placed(clock, None, None, moment - off, moment + off)


@pytest.mark.parametrize(
    ("minutes", "checked", "found"),
    [
        (11, "checked", {}),
        (9, "checked", {"contact-photos-near": "must-fix"}),
        (10, "checked", {"contact-photos-unsure": "note"}),  # within the doubt of the clock
        (11, "unchecked", {"contact-photos-unsure": "note"}),
    ],
)
def test_two_photos_show_it_where_their_times_are_as_far_apart(
    made: Callable[..., Job], tmp_path: Path, minutes: float, checked: str, found: dict[str, str]
) -> None:
    job = made()
    add(job, [photo(tmp_path, f"P{n}.JPG", n) for n in range(2)], by="Ada")
    one, other = job.board.ledger.photos
    attach(job, STEP, "P0.JPG", role="wet-begin")
    assert tick(job, STEP, by="Ada").state == "done"
    attach(job, STEP, "P1.JPG", role="wet-end")
    assert job.step(STEP).state == "documented"
    file = next(iter(seen(job).values()))
    known: dict[str, Seen] = {
        one: replace(file, placed=placed(0, checked)),
        other: replace(file, placed=placed(minutes, checked)),
    }
    assert {f.code: f.weight for f in of_contact(job.board, known)} == found


def test_json_and_report_tell_each_contact_time(made: Callable[..., Job], clock: SetClock) -> None:
    job = made()
    whole(job, clock)
    begin_wet(job, STEP, by="Ada")
    view = job.step(STEP)
    done, open_one = tell(view)["contact_times"]
    assert (done["state"], done["counted_s"], done["watched"]) == ("whole", 660, True)
    assert (open_one["state"], open_one["ended"]) == ("running", None)
    steps = [step for phase in phases(job, gather(job), set()) for step in phase["steps"]]
    (here,) = [step for step in steps if step["id"] == STEP]
    assert here["readings"][0].startswith("Kept wet for 11:00; 10 min wanted.")
