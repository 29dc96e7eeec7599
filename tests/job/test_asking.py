"""All that a step can ask for: ways, pairs of photos, quantities, labels, rounds, who decides."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import attach, leave_out, tick, untick
from siltline.job.add import add
from siltline.job.begin import begin
from siltline.job.close_out import review
from siltline.judge.proofs import gap
from siltline.judge.put_back import still_to_put_back
from support.pictures import photo
from support.ticking import TickingClock
from support.wide import write_wide


@pytest.fixture
def wide(tmp_path: Path, clock: TickingClock) -> Iterator[Job]:
    checklist, house = write_wide(tmp_path)
    path = tmp_path / "wide.siltline"
    job = begin(house, path, checklist=str(checklist), clock=clock, device="0" * 16)
    add(job, [photo(tmp_path, f"P{number}.JPG", number) for number in range(6)])
    yield job
    job.close()


def lacks(job: Job, step: str) -> list[str]:
    return [gap(held) for held in job.step(step).missing]


def codes(job: Job) -> dict[str, str]:
    return {finding.code: finding.weight for finding in review(job)}


def test_the_photo_that_a_way_shows_may_come_before_the_word_that_chooses_it(
    wide: Job,
) -> None:
    assert attach(wide, "cable/low", "P0.JPG", role="meter") == ("meter", True)
    tick(wide, "cable/low", by="Ada", way="test", licence="Electrician X-1")
    assert wide.step("cable/low").state == "documented"


def test_a_step_with_ways_wants_one_and_then_what_that_way_shows(wide: Job) -> None:
    step = "cable/low"
    tick(wide, step, by="Ada")
    assert wide.step(step).state == "done"
    assert lacks(wide, step) == ["Missing: the way that was chosen: replace, test."]
    tick(wide, step, by="Ada", way="replace")
    assert wide.step(step).state == "documented"
    tick(wide, step, by="Ada", way="test")
    assert wide.step(step).state == "done"
    assert [held.proof.kind for held in wide.step(step).missing] == ["photo", "licence"]
    attach(wide, step, "P0.JPG", role="meter")
    tick(wide, step, by="Ada", way="test", licence="Electrician X-1")
    assert wide.step(step).state == "documented"
    with pytest.raises(WrongUse, match="'burn' is not a way to do cable/low; nothing was recorded"):
        tick(wide, step, by="Ada", way="burn")


def test_a_pair_is_one_spot_in_both_roles_and_two_pairs_are_two_spots(wide: Job) -> None:
    step = "carpet/den"

    def pairs() -> int:
        return next(h.have for h in wide.step(step).held if h.proof.kind == "same-spot")

    attach(wide, step, "P0.JPG", role="before", spot="north corner")
    attach(wide, step, "P1.JPG", role="after", spot="south corner")
    assert pairs() == 0
    attach(wide, step, "P2.JPG", role="after", spot="north corner")
    assert pairs() == 1
    attach(wide, step, "P3.JPG", role="before", spot="south corner")
    assert pairs() == 2
    attach(wide, step, "P4.JPG", role="before")  # no spot: one of its own, still without an after
    assert pairs() == 2


def test_quantities_of_one_kind_are_told_apart_by_their_names(wide: Job) -> None:
    step = "carpet/den"
    with pytest.raises(WrongUse, match="say which: cut height=24in, length=24in"):
        tick(wide, step, by="Ada", values=["24in"])
    tick(wide, step, by="Ada", values=["120 ft2", "cut height = 24 in", "Length=31 ft"])
    assert [h.proof.kind for h in wide.step(step).missing] == ["same-spot"]
    with pytest.raises(WrongUse, match="width=3ft"):
        tick(wide, step, by="Ada", values=["width=3ft"])
    with pytest.raises(WrongUse, match="-3ft2"):
        tick(wide, step, by="Ada", values=["-3ft2"])


def test_a_label_wants_its_photo_and_a_registration_number_and_no_other_number(wide: Job) -> None:
    step = "sanitise/den"
    tick(wide, step, by="Ada", values=["9 min"])
    assert any("9 min is below 10 min" in remark for remark in wide.step(step).remarks)
    # EPA Label Review Manual, chapter 14: the establishment number is not the registration number
    for wrong in ("EPA Est. No. 1234-TX-1", "1234", "12-34-56-78"):
        with pytest.raises(WrongUse, match="no registration number"):
            tick(wide, step, by="Ada", registration=wrong)
    tick(wide, step, by="Ada", values=["12 min"], registration="EPA Reg. No. 1234-56")
    assert [h.proof.kind for h in wide.step(step).missing] == ["label"]
    attach(wide, step, "P0.JPG")  # the role that is missing is taken by itself
    view = wide.step(step)
    assert (view.state, view.attached[0].role) == ("documented", "label")
    assert view.word
    assert view.word.registration == "1234-56"
    with pytest.raises(WrongUse, match="asks for no label"):
        tick(wide, "lead/house", by="Ada", registration="1234-56")


def test_a_round_goes_on_until_its_reading_holds(wide: Job, clock: TickingClock) -> None:
    step = "read/den"
    for number, value in enumerate(("22 %", "18 %"), 1):
        tick(wide, step, by="Ada", values=[value])
        view = wide.step(step)
        assert view.state == "done"
        assert any(
            f"{'once' if number == 1 else '2 times'} so far; again by" in r for r in view.remarks
        )
        clock.time += timedelta(hours=24)
    assert "round-missed" not in codes(wide)
    clock.time += timedelta(hours=24)
    tick(wide, step, by="Ada", values=["14 %"])
    assert wide.step(step).state == "documented"
    assert codes(wide)["round-missed"] == "note"  # 48 hours lay between two rounds
    untick(wide, step)
    assert "round-missed" not in codes(wide)


def test_a_round_goes_on_until_the_step_that_ends_it_which_it_does_not_block(wide: Job) -> None:
    assert wide.step("done-pumping/house").state == "blocked"
    tick(wide, "pump/house", by="Ada")
    assert wide.step("pump/house").state == "done"
    tick(wide, "done-pumping/house", by="Ada")
    assert wide.step("pump/house").state == "documented"
    assert wide.step("done-pumping/house").state == "documented"


def test_a_licensed_person_decides_otherwise_only_where_the_sources_differ(wide: Job) -> None:
    step = "cable/low"
    leave_out(wide, step, by="Ada", because="Looks fine.")
    assert wide.step("close/low").state == "blocked"
    assert codes(wide)["safety-left-out"] == "must-fix"
    leave_out(wide, step, by="Ada", because="Megger 500 MOhm.", licence="Electrician X-1")
    assert wide.step(step).overridden
    assert wide.step("close/low").state == "todo"
    assert codes(wide)["overridden"] == "note"
    assert "safety-left-out" not in codes(wide)
    assert any("Electrician X-1" in remark for remark in wide.step(step).remarks)
    with pytest.raises(WrongUse, match="sources of lead/house agree"):
        leave_out(wide, "lead/house", by="Ada", because="x", licence="Electrician X-1")


def test_what_was_taken_out_stays_out_only_by_the_word_of_who_may_decide(wide: Job) -> None:
    tick(wide, "carpet/den", by="Ada")
    assert codes(wide)["still-to-put-back"] == "must-fix"
    leave_out(wide, "carpet-back/den", by="Ada", because="Tiles come.")
    assert codes(wide)["stays-out"] == "decide"
    leave_out(wide, "carpet-back/den", by="Ada", because="Tiles come.", decided_by="owner")
    found = codes(wide)
    assert found["stays-out-settled"] == "note"
    assert "stays-out" not in found
    assert len(still_to_put_back(wide.board)) == 1  # it is still out, and nobody hides that
    with pytest.raises(WrongUse, match="'neighbour' has no say over carpet-back/den"):
        leave_out(wide, "carpet-back/den", by="Ada", because="x", decided_by="neighbour")


def test_a_step_speaks_the_language_that_was_chosen_as_far_as_its_rule_does(
    wide: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert wide.step("carpet/den").step.do == "Take out the carpet of Den."
    monkeypatch.setenv("SILTLINE_LANGUAGE", "es")
    spanish = open_job(wide.record.path)
    try:
        assert spanish.step("carpet/den").step.do == "Saque la alfombra de Den."
        assert spanish.step("carpet/den").step.reason == "It is foul."
        assert spanish.step("cable/low").step.do == "See to the cable of low outlet."
    finally:
        spanish.close()


def test_a_fact_found_out_is_laid_with_names_ways_and_languages_all_the_same(wide: Job) -> None:
    assert wide.step("carpet/loft").state == "measure"
    tick(wide, "carpet/loft", by="Ada", values=["0 in", "0 in"])
    assert wide.step("carpet/loft").state == "not-needed"
    assert wide.step("carpet/den").step.other["es"]["do"] == "Saque la alfombra de Den."
    with pytest.raises(NotNow):
        tick(wide, "carpet/loft", by="Ada")
