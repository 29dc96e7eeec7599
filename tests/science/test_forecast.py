"""The forecast of the dry day: a worked example, its double, its laws, every refusal."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from siltline.science import drying
from siltline.science.drying import Reading, fit
from siltline.science.faults import BadInput, Contradiction, NotFinite, OutOfRange
from siltline.science.forecast import REASONS, forecast, rise, stalled
from support.drying_truths import GOAL, KINDS, METERS, read_daily, wall
from support.page20 import forecast as plain_grid

WORKED = [
    Reading(d, mc) for d, mc in ((0, 26.5), (1, 24), (2, 22), (3, 20.5), (4, 19.5), (6, 17.5))
]


# The worked example of the plain grid (support/page20.py): 8.21 10.01 13.28. Ours trusts each
# reading for 0.85 of an independent one, so its interval is a little wider, about the same day.
def test_the_worked_example() -> None:
    told = forecast(WORKED, 11, 15, 0.5)
    assert told.answered
    early, middle, late = told.days
    assert 7.8 < early < 8.21
    assert middle == pytest.approx(10.01, abs=0.1)
    assert 13.28 < late < 14.2
    assert told.never < 0.005


@pytest.mark.parametrize(("emc", "never"), [(13.0, 0.07), (14.8, 0.40)])
def test_air_that_may_never_dry_it_is_no_date(emc: float, never: float) -> None:
    told = forecast(WORKED, emc, 15, 0.5)
    assert (told.answered, told.reason) == (False, "may-never")
    assert told.never == pytest.approx(never, abs=0.04)


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_fewer_readings_make_a_wider_interval(count: int) -> None:
    days = forecast(WORKED[:count], 11, 15, 0.5).days
    assert days[0] < days[1] < days[2]
    if count > 3:
        before = forecast(WORKED[: count - 1], 11, 15, 0.5).days
        assert days[2] - days[0] < before[2] - before[0]


def test_the_double_gives_the_same_days_when_readings_are_trusted_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(drying, "TRUST", 1.0)
    rng, apart = Random("double"), []
    for kind in KINDS:
        for meter in METERS.values():
            one = wall(kind, rng)
            for readings in list(read_daily(one, meter, rng))[::6]:
                use = [Reading(*r) for r in readings if r[1] <= 30]
                if len(use) < 3:
                    continue
                pairs = [(r.day, r.percent) for r in use]
                there = plain_grid(pairs, one.emc, GOAL, meter.resolution)
                found = fit(use, one.emc, meter.resolution)
                span = max(use[-1].day - use[0].day, 3.0)
                for ours, day in zip(found.days((0.05, 0.5), GOAL), there, strict=False):
                    if day < 100:
                        apart.append(abs(ours - day) / span)
                assert found.never(GOAL) == pytest.approx(there[3], abs=0.04)
    assert len(apart) > 15
    assert sorted(apart)[len(apart) // 2] < 0.02
    assert sorted(apart)[int(0.9 * len(apart))] < 0.1


@pytest.mark.parametrize(
    ("readings", "emc", "reason"),
    [
        (WORKED[:2], 11, "too-few"),
        ([], 11, "too-few"),
        ([Reading(d, 33) for d in range(6)], 11, "too-few"),  # above fibre saturation
        (WORKED, 16, "may-never"),
        ([Reading(d, 14) for d in range(6)], 18, "at-goal"),
        ([Reading(d, 22 - 0.1 * d) for d in range(6)], 9, "no-fall"),
        (WORKED[:3], 11, "too-far"),
    ],
)
def test_every_reason_for_no_date(readings: list[Reading], emc: float, reason: str) -> None:
    told = forecast(readings, emc, 15, 0.5)
    assert (told.answered, told.reason) == (False, reason)
    assert reason in REASONS


def test_readings_above_fibre_saturation_are_left_out_and_order_does_not_matter() -> None:
    wet = [Reading(-2, 38), Reading(-1, 33.5), *WORKED]
    plain = forecast(WORKED, 11, 15)
    assert forecast(list(reversed(wet)), 11, 15).days == plain.days
    assert forecast(wet, 11, 15).used == 6


def test_wood_that_is_there_already_is_told_a_day_that_is_past() -> None:
    dry = [*WORKED, Reading(9, 15.0), Reading(11, 13.5), Reading(13, 12.5)]
    told = forecast(dry, 11, 15)
    assert told.answered
    assert told.days[2] < told.now


def test_wood_that_only_got_wetter_is_no_fault_of_the_program() -> None:
    rising = [Reading(d, mc) for d, mc in enumerate([3.0] * 40 + [29.0] * 40)]
    told = forecast(rising, 11, 15)
    assert not told.answered


MOISTURES = st.lists(st.floats(5, 29), min_size=3, max_size=12)


@settings(deadline=None, max_examples=40)
@given(MOISTURES, st.floats(6, 20), st.floats(8, 20), st.sampled_from([0.1, 0.5, 1.0]))
def test_any_readings_give_days_in_order_and_a_chance(
    percents: list[float], emc: float, goal: float, resolution: float
) -> None:
    told = forecast([Reading(d, mc) for d, mc in enumerate(percents)], emc, goal, resolution)
    assert told.days == tuple(sorted(told.days))
    assert 0 <= told.never <= 1
    assert told.fit is not None
    assert sum(node.weight for node in told.fit.nodes) == pytest.approx(1)
    assert told.answered == (told.reason == "")


@settings(deadline=None, max_examples=20)
@given(MOISTURES, st.floats(6, 14), st.floats(-50, 500))
def test_the_origin_of_days_does_not_matter(percents: list[float], emc: float, by: float) -> None:
    here = forecast([Reading(d, mc) for d, mc in enumerate(percents)], emc, 15)
    there = forecast([Reading(d + by, mc) for d, mc in enumerate(percents)], emc, 15)
    for a, b in zip(here.days, there.days, strict=True):
        assert (math.isinf(a) and math.isinf(b)) or b - by == pytest.approx(a, abs=0.02, rel=0.01)


@settings(deadline=None, max_examples=20)
@given(MOISTURES, st.floats(6, 14), st.floats(1, 30), st.floats(0.1, 10))
def test_the_chance_grows_with_time_for_wood_that_dries(
    percents: list[float], emc: float, day: float, more: float
) -> None:
    falling = sorted(percents, reverse=True)
    if falling[0] - falling[-1] < 5 or falling[-1] < emc:
        return
    found = fit([Reading(d, mc) for d, mc in enumerate(falling)], emc, 0.5)
    assert found.by(day + more, 15) >= found.by(day, 15) - 0.02


def test_a_band_holds_its_middle_and_narrows_at_the_readings() -> None:
    found = fit(WORKED, 11, 0.5)
    bands = found.bands([3.0, 12.0])
    assert all(low < middle < high for low, middle, high in bands)
    assert bands[0][2] - bands[0][0] < bands[1][2] - bands[1][0]
    assert bands[0][1] == pytest.approx(20.6, abs=0.4)


@pytest.mark.parametrize(
    ("percents", "still"),
    [
        ([26, 24, 22, 20, 20, 20, 20], True),
        ([26, 24, 22, 20, 19, 18, 17.5], False),
        ([20, 20, 15, 14.9, 14.9, 14.9, 14.9], False),  # at the goal: it may stand still
        ([26, 24, 20, 20, 20, 21], False),  # it got wetter
        ([20, 20, 20, 20.5], True),  # as likely the meter
        ([20, 20], False),
        ([], False),
    ],
)
def test_drying_that_has_stood_still(percents: list[float], still: bool) -> None:
    assert stalled([Reading(d, mc) for d, mc in enumerate(percents)], 15) is still


# From one point on: common practice, since pin meters waver by about as much.
@pytest.mark.parametrize(
    ("percents", "risen"),
    [
        ([18, 19, 20, 22], (19, 22)),
        ([18, 18, 19], (18, 19)),
        ([18, 18, 18.9], None),
        ([22, 20, 35, 41], (20, 41)),  # past what the forecast can use
        ([26, 24, 22, 20], None),
        ([18, 24], None),  # two readings are no stretch
        ([], None),
    ],
)
def test_wood_that_got_wetter_has_not_stood_still(
    percents: list[float], risen: tuple[float, float] | None
) -> None:
    readings = [Reading(d, mc) for d, mc in enumerate(percents)]
    found = rise(readings[::-1])
    assert (found and (found.before.percent, found.now.percent)) == risen
    if risen:
        assert not stalled(readings, 15)


def test_a_coarse_meter_must_show_a_whole_step() -> None:
    readings = [Reading(d, mc) for d, mc in enumerate((18, 18, 19.5))]
    assert rise(readings, 0.5)
    assert rise(readings, 2) is None


@pytest.mark.parametrize(
    ("readings", "emc", "goal", "resolution", "kind", "told"),
    [
        ([Reading(0, 0.26)], 11, 15, 0.5, OutOfRange, r"moisture of 0\.26 % was likely a fraction"),
        ([Reading(0, math.nan)], 11, 15, 0.5, NotFinite, "a moisture content is nan"),
        ([Reading(math.inf, 20)], 11, 15, 0.5, NotFinite, "a day of the readings is inf"),
        ([Reading(0, 2600)], 11, 15, 0.5, OutOfRange, "a moisture content cannot be 2600 %"),
        ([Reading(1, 20), Reading(1, 19)], 11, 15, 0.5, Contradiction, "all readings are of one"),
        (WORKED, 0.11, 15, 0.5, OutOfRange, r"the equilibrium moisture content cannot be 0\.11 %"),
        (WORKED, 11, 0.15, 0.5, OutOfRange, r"the goal cannot be 0\.15 %"),
        (WORKED, 11, 15, 50, OutOfRange, "the step of the meter cannot be 50 %"),
        (WORKED * 100, 11, 15, 0.5, OutOfRange, "more than 400 readings"),
    ],
)
def test_what_is_refused_and_by_what_name(
    readings: list[Reading], emc: float, goal: float, resolution: float,
    kind: type[BadInput], told: str,
) -> None:  # fmt: skip
    with pytest.raises(kind, match=told):
        forecast(readings, emc, goal, resolution)
