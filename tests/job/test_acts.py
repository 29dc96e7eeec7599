"""Acts change a step's state as the judge says, or refuse in one sentence and record nothing."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, detach, leave_out, tick, undo, untick
from siltline.job.add import add
from siltline.job.close_out import hand_off, review
from support.pictures import photo
from support.ticking import TickingClock
from support.walking import document

LICENCE = "Electrician X-1"


def state(job: Job, step: str) -> str:
    return job.step(step).state


def prove(job: Job, folder: Path, step: str, role: str, number: int, **how: str) -> None:
    """Document a step that wants one photo."""
    path = photo(folder, f"P{number}.JPG", number)
    add(job, [path])
    attach(job, step, path.name, role=role)
    tick(job, step, by="Ada", **how)


def make_dead(job: Job, folder: Path, *circuits: str) -> None:
    """Document what comes before an electrical part is touched."""
    document(job, folder, "gear-on/house")
    for circuit in circuits:
        document(job, folder, f"prove-dead/{circuit}")


def test_a_tick_without_its_proof_is_done_and_with_it_documented(job: Job, tmp_path: Path) -> None:
    assert state(job, "gear-on/house") == "todo"
    tick(job, "gear-on/house", by="Ada")
    assert state(job, "gear-on/house") == "done"
    add(job, [photo(tmp_path)])
    attach(job, "gear-on/house", "IMG_0001.JPG")
    assert state(job, "gear-on/house") == "documented"


def test_proof_without_a_tick_leaves_the_step_to_do_and_says_so(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path)])
    attach(job, "gear-on/house", "IMG_0001.JPG")
    view = job.step("gear-on/house")
    assert view.state == "todo"
    assert any("nobody has said" in remark for remark in view.remarks)


def test_a_step_waits_until_its_hold_point_is_documented_not_only_ticked(
    job: Job, tmp_path: Path
) -> None:
    tick(job, "gear-on/house", by="Ada")
    tick(job, "power-off/house", by="Ada", licence=LICENCE)
    assert state(job, "prove-dead/circuit-4") == "blocked"
    with pytest.raises(NotNow, match="power-off/house"):
        tick(job, "prove-dead/circuit-4", by="Ada", licence=LICENCE)
    for need in job.step("prove-dead/circuit-4").step.needs:
        if need != "power-off/house":
            document(job, tmp_path, need)
    assert job.step("prove-dead/circuit-4").waiting == ("power-off/house",)
    add(job, [photo(tmp_path)])
    attach(job, "power-off/house", "IMG_0001.JPG")
    assert state(job, "prove-dead/circuit-4") == "todo"


def test_leaving_a_hold_point_out_releases_nothing(job: Job) -> None:
    leave_out(job, "power-off/house", by="Ada", because="no time")
    view = job.step("power-off/house")
    assert view.state == "not-done"
    assert any("hold point" in remark for remark in view.remarks)
    assert state(job, "prove-dead/circuit-4") == "blocked"


def test_leaving_an_ordinary_step_out_lets_what_needs_it_go_on(job: Job, tmp_path: Path) -> None:
    prove(job, tmp_path, "gear-on/house", "crew", 1)
    assert state(job, "wet-photos-frozen/album") == "blocked"
    leave_out(job, "wet-photos-bagged/album", by="Ada", because="bagged by the owner")
    assert state(job, "wet-photos-frozen/album") == "todo"


def test_an_electrical_part_wants_the_licence_of_its_trade(job: Job, tmp_path: Path) -> None:
    make_dead(job, tmp_path, "circuit-4")
    step = "outlet-replaced/low-outlet"
    for number, role in ((20, "before"), (21, "after")):
        path = photo(tmp_path, f"{role}.JPG", number)
        add(job, [path])
        attach(job, step, path.name, role=role)
    tick(job, step, by="Ada")
    assert state(job, step) == "done"
    tick(job, step, by="Ada", licence=LICENCE)
    assert state(job, step) == "documented"


def test_an_outlet_of_unknown_height_asks_and_is_not_needed_once_it_is_measured_high(
    job: Job, tmp_path: Path
) -> None:
    step = "outlet-replaced/hidden-outlet"
    view = job.step(step)
    assert view.state == "measure"
    assert view.measure.startswith("Prove circuit 4 dead first. Measure the height")
    with pytest.raises(NotNow, match="prove-dead/circuit-4"):
        tick(job, step, by="Ada", values=["50in"])
    make_dead(job, tmp_path, "circuit-4")
    with pytest.raises(NotNow, match="tick it with the value"):
        tick(job, step, by="Ada")
    view = tick(job, step, by="Ada", values=["50in"])
    assert view.state == "not-needed"
    assert "50in" in " ".join(view.remarks)


def test_an_outlet_measured_low_becomes_a_step_to_do(job: Job, tmp_path: Path) -> None:
    make_dead(job, tmp_path, "circuit-4")
    view = tick(job, "outlet-replaced/hidden-outlet", by="Ada", values=["20in"])
    assert view.state == "todo"
    assert not view.step.asks
    undo(job)
    assert state(job, "outlet-replaced/hidden-outlet") == "measure"


def dry_out(job: Job, folder: Path) -> None:
    """Go as far as the soil of the crawl space may be read."""
    for need in job.step("soil-dry/crawl-space").step.needs:
        document(job, folder, need)
    path = photo(folder, "sheet.JPG", 13)
    add(job, [path])
    attach(job, "soil-dry/crawl-space", path.name)


def test_readings_are_kept_with_their_times_and_count_a_day_apart(
    job: Job, tmp_path: Path, clock: TickingClock
) -> None:
    dry_out(job, tmp_path)
    soil = "soil-dry/crawl-space"

    def read(*values: str, hours: float) -> str:
        clock.time += timedelta(hours=hours)
        return tick(job, soil, by="Ada", values=values).state

    assert read("14%", "13%", hours=1) == "done", "two readings of one hour are one"
    assert any("less than 24 hours" in remark for remark in job.step(soil).remarks)
    assert read("16%", hours=30) == "done", "wet again: it begins anew"
    assert any("above 15 %" in remark for remark in job.step(soil).remarks)
    assert state(job, "poly-back/crawl-space") == "blocked"
    assert read("14.9%", hours=24) == "done"
    assert read("15%", hours=23) == "done"
    assert read("15%", hours=2) == "documented"
    assert state(job, "poly-back/crawl-space") == "todo"
    untick(job, soil)
    assert read("12%", hours=1) == "done", "a word taken back takes its readings with it"


@pytest.mark.parametrize("value", ["-14%", "14F", "14in"])
def test_a_value_that_cannot_be_or_is_not_asked_for_is_refused(
    job: Job, tmp_path: Path, value: str
) -> None:
    dry_out(job, tmp_path)
    with pytest.raises(WrongUse, match=r"cannot be|asks for no such"):
        tick(job, "soil-dry/crawl-space", by="Ada", values=[value])
    with pytest.raises(WrongUse, match="asks for no such value"):
        tick(job, "gear-on/house", by="Ada", values=["14%"])


def test_a_fact_found_out_wrongly_can_be_found_out_anew_and_taken_back(
    job: Job, tmp_path: Path
) -> None:
    """A slip (140 in for 14 in) must not drop a wetted outlet for good."""
    make_dead(job, tmp_path, "circuit-4")
    step = "outlet-replaced/hidden-outlet"
    assert tick(job, step, by="Ada", values=["140in"]).state == "not-needed"
    document(job, tmp_path, "lines-as-found/kitchen")
    assert "not-needed" in {f.code for f in review(job)}
    assert tick(job, step, by="Ada", values=["14in"]).state == "todo"
    assert tick(job, step, by="Ada", values=["15in"]).state == "todo"
    assert untick(job, step).state == "measure"
    with pytest.raises(WrongUse, match="Nobody has given a word"):
        untick(job, step)
    with pytest.raises(WrongUse, match="no height in a house"):
        tick(job, step, by="Ada", values=["140ft"])


def test_what_was_put_back_holds_no_more_for_a_step_that_nobody_has_done(
    job: Job, tmp_path: Path
) -> None:
    """With the power on again nobody goes into the crawl space before it is cut again."""
    document(job, tmp_path, "power-back/house")
    entry = job.step("entry-safe/crawl-space")
    assert entry.state == "blocked"
    assert "power-off/house" in entry.waiting
    assert state(job, "prove-dead/circuit-4") == "documented", "what was done before stays done"
    tick(job, "power-off/house", by="Pella", licence=LICENCE)
    assert "power-off/house" not in job.step("entry-safe/crawl-space").waiting
    back = job.step("power-back/house")
    assert back.state != "done"
    assert any("taken out again" in remark for remark in back.remarks)


def test_undo_stops_at_a_hand_off(job: Job) -> None:
    tick(job, "gear-on/house", by="Ada")
    hand_off(job, giver="Ada", taker="Ben")
    with pytest.raises(NotNow, match="handed over already"):
        undo(job)
    tick(job, "power-off/house", by="Ben", licence=LICENCE)
    undo(job)
    assert state(job, "power-off/house") == "todo"
    assert state(job, "gear-on/house") == "done"


def test_undo_goes_back_act_by_act_to_the_beginning_and_then_says_so(job: Job) -> None:
    tick(job, "gear-on/house", by="Ada")
    leave_out(job, "power-off/house", by="Ada", because="later")
    untick(job, "power-off/house")
    undo(job)
    assert state(job, "power-off/house") == "not-done"
    undo(job)
    assert state(job, "power-off/house") == "todo"
    undo(job)
    assert state(job, "gear-on/house") == "todo"
    with pytest.raises(NotNow, match="nothing to take back"):
        undo(job)


def test_a_photo_is_named_by_file_name_or_first_digits_and_ambiguity_is_refused(
    job: Job, tmp_path: Path
) -> None:
    report = add(job, [photo(tmp_path / "a", number=1), photo(tmp_path / "b", number=2)])
    one, two = (outcome.sha256 for outcome in report.of("taken"))
    with pytest.raises(WrongUse, match="2 photos"):
        attach(job, "gear-on/house", "IMG_0001.JPG")
    attach(job, "gear-on/house", one[:10])
    with pytest.raises(WrongUse, match="no photo"):
        attach(job, "gear-on/house", "zz")
    with pytest.raises(WrongUse, match="no photo"):
        attach(job, "gear-on/house", "")
    detach(job, "gear-on/house", one[:10])
    with pytest.raises(WrongUse, match="not attached"):
        detach(job, "gear-on/house", two[:10])
    assert job.board.unused_photos() == [one, two]


def test_the_same_attachment_twice_is_said_once(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path)])
    attach(job, "gear-on/house", "IMG_0001.JPG", role="crew")
    events = len(job.record.events)
    attach(job, "gear-on/house", "IMG_0001.JPG", role="crew")
    assert len(job.record.events) == events
    attach(job, "gear-on/house", "IMG_0001.JPG", role="other")
    assert [a.role for a in job.step("gear-on/house").attached] == ["other"]


@pytest.mark.parametrize(
    ("act", "match"),
    [
        (lambda job: tick(job, "gear-onn/house", by="Ada"), "gear-on/house"),
        (lambda job: tick(job, "gear-on/house", by="  "), "who"),
        (lambda job: tick(job, "gear-on/house", by="A" * 121), "121"),
        (lambda job: tick(job, "gear-on/house", by="Ada", values=["15"]), "unit"),
        (lambda job: leave_out(job, "gear-on/house", by="Ada", because=" "), "why"),
        (lambda job: untick(job, "gear-on/house"), "word"),
        (lambda job: attach(job, "gear-on/house", "x", role="nonsense"), "no photo"),
    ],
)
def test_wrong_use_is_refused_in_a_sentence_and_nothing_is_recorded(
    job: Job, act: object, match: str
) -> None:
    events = [event.id for event in job.record.events]
    with pytest.raises(WrongUse, match=match):
        act(job)  # type: ignore[operator]
    assert [event.id for event in job.record.events] == events
    again = open_job(job.record.path)
    assert [event.id for event in again.record.events] == events
    again.close()


def test_two_programs_see_each_others_acts(job: Job) -> None:
    other = open_job(job.record.path)
    try:
        tick(other, "gear-on/house", by="Ben")
        assert job.record.touched_by_others()
        assert job.refresh()
        assert state(job, "gear-on/house") == "done"
        tick(job, "gear-on/house", by="Ada")
        leave_out(other, "power-off/house", by="Ben", because="the act sees the other's word first")
        assert other.step("gear-on/house").word.by == "Ada"  # type: ignore[union-attr]
    finally:
        other.close()


def test_a_job_reopened_shows_the_same_states(job: Job, tmp_path: Path) -> None:
    make_dead(job, tmp_path, "circuit-4")
    tick(job, "outlet-replaced/hidden-outlet", by="Ada", values=["50in"])
    again = open_job(job.record.path)
    try:
        assert {s: v.state for s, v in again.board.steps.items()} == {
            s: v.state for s, v in job.board.steps.items()
        }
    finally:
        again.close()
