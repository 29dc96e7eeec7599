"""Points of a crawl space that dries over three weeks: state, goal, day, and what the step says."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from siltline import resources
from siltline.errors import NotNow, WrongUse
from siltline.job import open_job, references
from siltline.job.acts import undo
from siltline.job.begin import begin
from siltline.job.close_out import review
from siltline.job.drying import drawn, measured_told, outside_told, plainly, told
from siltline.job.points import add_meter, add_point
from siltline.job.rounds import Round, air_typed, read_air, read_round, read_rounds
from siltline.judge.drying import beside, verdict, verdicts
from siltline.judge.measured import newest_air, points_of, readings_at
from siltline.science.chart import PLAIN
from support.crawl import DAYS, JOISTS, START, STEP, crawl_job, moisture, read_on


def states(job: object) -> dict[str, str]:
    return {one.point.name: one.state for one in verdicts(job.board)}  # type: ignore[attr-defined]


def test_over_three_weeks_each_joist_goes_from_never_to_dry(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    seen: dict[float, dict[str, str]] = {}
    for day in read_on(job, clock):
        seen[day] = states(job)
    assert set(seen[2].values()) == {"never"}  # at 85 % wood ends near 18 %
    assert set(seen[4].values()) == {"drying"}  # the dehumidifier runs
    assert set(seen[21].values()) == {"dry"}
    held = next(h for h in job.step(STEP).held if h.proof.kind == "reading")
    assert (held.have, held.met) == (2, True)


def test_in_wet_air_the_step_is_told_that_the_goal_is_never_reached(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, DAYS[:3]))
    sentence = " ".join(told(job, verdict(job.board, points_of(job.board.ledger)[0])))
    assert "NEVER" in sentence
    # 65 F: humidity for 12 % (11 % unaffected wood and 1 % tolerance), Wood Handbook equation 4-5
    assert "it must be drier than 65 % for 12 %" in sentence


def test_the_goal_is_that_of_unaffected_wood_with_the_same_meter_where_that_is_lower(
    tmp_path: Path,
) -> None:
    job, clock = crawl_job(tmp_path)
    next(read_on(job, clock))
    one = verdict(job.board, points_of(job.board.ledger)[0])
    assert (one.goal, one.limit, one.references) == (pytest.approx(12.0), 15.0, ("R1",))
    read_round(job, {"J1": "20"}, by="Ada", sure=True)  # another meter, or none named
    other = verdict(job.board, points_of(job.board.ledger)[0])
    assert (other.goal, other.references) == (15.0, ())


def test_unaffected_wood_is_told_with_its_reading_its_meter_and_whose_goal_it_gives(
    tmp_path: Path,
) -> None:
    job, clock = crawl_job(tmp_path)

    def dry() -> tuple[str, str]:
        (one,) = beside(job.board, verdicts(job.board, dated=False))
        return references.told(job, one), " ".join(measured_told(job, job.step(STEP).step))

    told_of, card = dry()
    assert told_of.startswith("R1: unaffected wood, not read yet.")
    assert "Unaffected wood: R1 (not read yet)" in card
    next(read_on(job, clock))
    told_of, card = dry()
    assert told_of.startswith("R1: 11 % with Pin meter, 14 Mar 2026 08:15.")
    assert "the goal of J1, J2, J3 comes from it" in told_of
    assert "Unaffected wood that the goal comes from: R1 11 % (Pin meter)" in card
    for word in ("dry", "NEVER", "drying", "nine times in ten"):
        assert word not in told_of
    clock.on(1)
    read_round(job, dict.fromkeys(JOISTS, "20"), by="Ada", sure=True)  # no meter named
    told_of, card = dry()
    assert "no goal comes from it: read it with the meter of the other points" in told_of
    assert "Unaffected wood: R1 11 % (Pin meter)" in card
    read_round(job, {"R1": "12"}, by="Ada")
    assert dry()[0].startswith("R1: 12 % with a meter that was not named")


def test_unaffected_wood_alone_stands_on_the_card_of_its_own_step_only(tmp_path: Path) -> None:
    house = resources.folder("sample_job") / "house.yaml"
    job = begin(house, tmp_path / "crawl", device="51717e0000000009")
    add_point(job, STEP, "R1", reference=True)
    assert "Unaffected wood: R1 (not read yet)" in measured_told(job, job.step(STEP).step)
    others = [v.step for v in job.board.steps.values() if v.step.id != STEP]
    assert not any("R1" in line for step in others for line in measured_told(job, step))


def test_a_day_is_told_once_the_readings_carry_it_and_the_true_one_lies_inside(
    tmp_path: Path,
) -> None:
    job, clock = crawl_job(tmp_path)
    days = (3, 4, 5, 6, 7, 8, 9, 10)
    list(read_on(job, clock, days))
    one = verdict(job.board, points_of(job.board.ledger)[0])
    assert one.told is not None
    assert one.told.answered
    true = next(d / 10 for d in range(10, 400) if moisture("J1", d / 10) <= one.goal)
    early, _, late = (one.day(day) for day in one.told.days)
    assert early is not None
    assert late is not None
    assert early <= START + timedelta(days=true) <= late
    assert "nine times in ten between" in " ".join(told(job, one))


def test_too_few_readings_are_told_with_what_to_do(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (3, 4)))
    one = verdict(job.board, points_of(job.board.ledger)[0])
    sentences = " ".join(told(job, one))
    assert one.told is not None
    assert one.told.reason == "too-few"
    assert "Read the same points daily with the same meter." in sentences


def test_without_air_there_is_no_day_and_the_air_is_asked_for(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    for day in (0, 1, 2):
        clock.on(day)
        read_round(job, {"J1": f"{20 - day}"}, by="Ada")
    one = verdict(job.board, points_of(job.board.ledger)[0])
    assert one.told is None
    assert "Read the air of crawl-space" in " ".join(told(job, one))


def test_the_wettest_point_decides_the_step_and_a_point_set_up_later_opens_it_again(
    tmp_path: Path,
) -> None:
    job, clock = crawl_job(tmp_path)
    for day in (0, 1):
        clock.on(day)
        read_round(job, {"J1": "14", "J2": "14", "J3": "17" if day else "14"}, by="Ada", sure=True)
    held = next(h for h in job.step(STEP).held if h.proof.kind == "reading")
    assert held.have == 0
    assert "J3 17 %" in held.remark
    clock.on(2)
    read_round(job, {"J3": "14"}, by="Ada")
    clock.on(3)
    read_round(job, {"J3": "14"}, by="Ada")
    assert next(h for h in job.step(STEP).held if h.proof.kind == "reading").met
    add_point(job, STEP, "J4", where="corner")
    assert not next(h for h in job.step(STEP).held if h.proof.kind == "reading").met


def test_two_readings_of_one_day_are_one(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    for hours in (0, 5):
        clock.on(hours / 24)
        read_round(job, dict.fromkeys(JOISTS, "14"), by="Ada")
    assert next(h for h in job.step(STEP).held if h.proof.kind == "reading").have == 1


def test_readings_are_there_after_closing_and_go_by_undo_as_a_round(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (0, 1)))
    read_round(job, {"J1": "20"}, by="Ada")
    job.close()
    again = open_job(job.record.path, clock=clock)
    assert [r.value for r in readings_at(again.board.ledger, "j1")][-1] == "20 %"
    undo(again)
    assert len(readings_at(again.board.ledger, "J1")) == 2
    again.close()


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("-3", "no moisture"), ("0", "cannot be"), ("250", "cannot be"), ("0.17", "fraction"),
        ("17 F", "percent"), ("NaN", "no moisture"), ("wet", "no moisture"),
    ],
)  # fmt: skip
def test_what_cannot_have_been_read_is_refused_and_nothing_is_kept(
    value: str, words: str, tmp_path: Path
) -> None:
    job, _ = crawl_job(tmp_path)
    with pytest.raises(WrongUse, match=words):
        read_round(job, {"J1": "20", "J2": value}, by="Ada", sure=True)
    assert not job.board.ledger.point_readings


@pytest.mark.parametrize(
    ("first", "then", "words"),
    [("20", "24", "wetter"), ("20", "44", "6 %"), ("24", "14", "that fast")],
)
def test_what_surprises_is_asked_about_and_taken_when_it_is_meant(
    first: str, then: str, words: str, tmp_path: Path
) -> None:
    job, clock = crawl_job(tmp_path)
    read_round(job, {"J1": first}, by="Ada")
    clock.on(1)
    with pytest.raises(NotNow, match=words):
        read_round(job, {"J1": then}, by="Ada")
    assert len(readings_at(job.board.ledger, "J1")) == 1
    assert read_round(job, {"J1": then}, by="Ada", sure=True)
    assert len(readings_at(job.board.ledger, "J1")) == 2


def test_several_rounds_are_one_act_and_each_is_held_against_the_one_before(
    tmp_path: Path,
) -> None:
    job, clock = crawl_job(tmp_path)
    clock.on(3)
    days = ("2026-03-14 17:00", "2026-03-15 17:00")
    with pytest.raises(WrongUse, match="'x' is no moisture content"):
        read_rounds(job, [Round(days[0], {"J1": "24"}), Round(days[1], {"J1": "x"})], by="Ada")
    with pytest.raises(NotNow, match="that fast"):
        read_rounds(job, [Round(days[0], {"J1": "24"}), Round(days[1], {"J1": "14"})], by="Ada")
    assert not job.board.ledger.point_readings
    read_rounds(job, [Round(days[0], {"J1": "24"}), Round(days[1], {"J1": "22"})], by="Ada")
    assert [one.value for one in readings_at(job.board.ledger, "J1")] == ["24 %", "22 %"]


def test_a_meter_that_does_not_know_the_temperature_is_corrected_and_the_typed_text_kept(
    tmp_path: Path,
) -> None:
    """Half a point for each 5 K below 20 C (leaflets of meters): 15 % at 10 C is 16 %."""
    job, _ = crawl_job(tmp_path)
    add_meter(job, "Old pins", corrects="no")
    read_round(job, {"J1": "15"}, meter="Old pins", temp="10C", by="Ada")
    (one,) = readings_at(job.board.ledger, "J1")
    assert (one.value, one.typed, one.temp) == ("16.0 %", "15 %", "10C")
    read_round(job, {"J2": "15"}, meter="Pin meter", temp="10C", by="Ada")
    assert readings_at(job.board.ledger, "J2")[0].value == "15 %"


def test_a_reading_from_paper_has_its_own_time_and_none_lies_ahead(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    clock.on(2)
    read_round(job, {"J1": "19"}, by="Ada")
    read_round(job, {"J1": "20"}, by="Ada", when="2026-03-14 17:00")
    assert [r.value for r in readings_at(job.board.ledger, "J1")] == ["20 %", "19 %"]
    with pytest.raises(WrongUse, match="ahead"):
        read_round(job, {"J1": "18"}, by="Ada", when="2026-03-19 08:00")


def test_outside_air_is_told_to_dry_wet_or_be_too_close(tmp_path: Path) -> None:
    """States of a worked example: 18 C/85 % against 14 C/60 % dries, 22 C/80 % against 31 C/65 %
    wets, 20 C/75 % against 22 C/66 % cannot be told (computed with ASHRAE's equations)."""
    job, clock = crawl_job(tmp_path)
    for hour, (inside, outside, word) in enumerate(
        [
            ("18C/85%", "14C/60%", "dries it"),
            ("22C/80%", "31C/65%", "WETS it"),
            ("20C/75%", "22C/66%", "too alike"),
        ]
    ):
        clock.on(hour / 24)
        airs = [
            air_typed("affected", inside, "crawl-space", "15C"), air_typed("outside", outside),
        ]  # fmt: skip
        read_air(job, airs, by="Ada")
        lines = outside_told(job, "crawl-space")
        assert word in lines[0]
        # dew points 6.4, 23.6 and 15.4 C against a wall of 15 C
        assert (len(lines) == 2) is (hour > 0)


def test_a_surface_that_is_none_and_was_recorded_once_keeps_nobody_from_the_rest(
    tmp_path: Path,
) -> None:
    job, _ = crawl_job(tmp_path)
    with job.acting():
        air = {"air": "affected", "place": "crawl-space", "temp": "18C", "rh": "85%"}
        outside = {"air": "outside", "place": "", "temp": "14C", "rh": "60%"}
        job.append("air", {"round": [air | {"surface": "550F"}, outside]}, "Ada")
    assert len(outside_told(job, "crawl-space")) == 1


def test_an_outlet_as_wet_as_the_room_is_asked_about(tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    airs = [air_typed("affected", "65F/50%", "crawl-space"), air_typed("outlet", "85F/50%")]
    with pytest.raises(NotNow, match="takes none out"):
        read_air(job, airs, by="Ada")
    assert read_air(job, airs, by="Ada", sure=True)


@pytest.mark.parametrize("typed", ["65F/120%", "65F/0%", "65F/0.5%", "900F/50%", "65F", "65%/50%"])
def test_air_that_cannot_be_is_refused(typed: str, tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    with pytest.raises(WrongUse):
        read_air(job, [air_typed("affected", typed, "crawl-space")], by="Ada")
    assert not job.board.ledger.airs


def test_the_chart_shows_readings_goal_and_end(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, (3, 4, 5, 6, 7, 8, 9, 10)))
    one = verdict(job.board, points_of(job.board.ledger)[0])
    lines = drawn(one, (72, 18), marks=PLAIN)
    assert all(len(line) <= 72 for line in lines)
    assert sum(line.count("o") for line in lines) >= 6
    assert any(line.lstrip().startswith("12%") for line in lines)
    assert plainly(one, job)["emc_percent"] == pytest.approx(one.emc, abs=0.01)


def test_the_review_names_points_that_got_wetter_or_never_dry_in_their_air(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    list(read_on(job, clock, DAYS[:3]))
    codes = [one.code for one in review(job) if one.code.startswith("point-")]
    assert codes == ["point-never"] * 3
    clock.on(3)
    read_round(job, {"J1": "26"}, by="Ada", sure=True)
    found = {one.code: one for one in review(job) if one.code.startswith("point-")}
    assert found["point-wetter"].weight == "decide"
    assert "J1" in found["point-wetter"].text


def test_wood_within_its_limit_and_above_unaffected_wood_is_a_note(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    for day in (0, 1):
        clock.on(day)
        read_round(job, dict.fromkeys(JOISTS, f"{15 - day / 2:g}") | {"R1": "10"}, by="Ada")
    notes = [one for one in review(job) if one.code == "point-above-dry-wood"]
    assert [one.weight for one in notes] == ["note"] * 3
    assert "unaffected wood (R1) says 11 %" in notes[0].text


def test_a_step_without_points_tells_that_its_room_never_lets_the_wood_dry(tmp_path: Path) -> None:
    """At 70 F wood ends below 15 % only in air drier than 77 % (Wood Handbook, equation 4-5)."""
    job, _ = crawl_job(tmp_path)
    step = job.step("subfloor-dry/den").step
    read_air(job, [air_typed("affected", "70F/82%", "den")], by="Ada")
    (line,) = measured_told(job, step)
    assert "never below: it must be drier than 77 % for 15 %" in line
    read_air(job, [air_typed("affected", "70F/60%", "den")], by="Ada")
    assert measured_told(job, step) == []


def test_one_day_of_readings_is_no_trend(tmp_path: Path) -> None:
    job, _ = crawl_job(tmp_path)
    read_round(job, {"J1": "20"}, by="Ada")
    one = verdict(job.board, points_of(job.board.ledger)[0])
    assert one.state == "first"
    assert "no trend yet" in told(job, one)[0]


def test_the_same_number_at_the_same_time_is_asked_about(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    clock.on(2)
    read_round(job, {"J1": "20"}, by="Ada", when="2026-03-15 08:00")
    with pytest.raises(NotNow, match="at that very time"):
        read_round(job, {"J1": "20"}, by="Ada", when="2026-03-15 08:00")
    read_round(job, {"J1": "20"}, by="Ada", when="2026-03-15 09:00")


def test_a_goal_below_that_of_the_step_is_told_on_its_card(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)

    def card() -> str:
        return " ".join(measured_told(job, job.step(STEP).step))

    assert "drier is better" not in card()
    next(read_on(job, clock))
    stricter = "The step asks 15 %; unaffected wood of this house says 12 %: drier is better."
    assert card().count(stricter) == 1  # of three points one sentence
    clock.on(1)
    add_meter(job, "Old pins", tolerance="1.5%")
    read_round(job, {"J1": "23", "R1": "11"}, meter="Old pins", by="Ada", sure=True)
    assert "unaffected wood of this house says 12 / 12.5 %" in card()
    clock.on(2)
    read_round(job, dict.fromkeys(JOISTS, "20"), by="Ada", sure=True)  # no meter named
    assert "drier is better" not in card()


def test_readings_and_airs_are_in_the_order_of_time_whatever_the_offset(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)  # its laptop is set to UTC, five hours ahead of the site
    read_round(job, {"J1": "20"}, by="Ada")
    read_air(job, [air_typed("affected", "65F/80%", "crawl-space")], by="Ada")
    clock.on(0.05)  # an hour and some later by the site's clock, hours before by its figures
    read_round(job, {"J1": "19"}, when="30 minutes ago", by="Ada")
    airs = [air_typed("affected", "65F/70%", "crawl-space")]
    read_air(job, airs, when="30 minutes ago", by="Ada")
    assert [one.value for one in readings_at(job.board.ledger, "J1")] == ["20 %", "19 %"]
    newest = newest_air(job.board.ledger, "affected")
    assert newest is not None
    assert newest.rh == "70%"
