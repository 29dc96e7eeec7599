"""A photo of the laptop's clock tells the error of its camera, and how far that can be trusted."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.photos.clock import Camera, Shot, camera_of, correction, shot_of, shots_by_camera
from siltline.photos.stamps import Correction, Placed, place, running

WEST = timezone(timedelta(hours=-5))
NOON = datetime(2026, 11, 29, 12, 0, tzinfo=WEST)
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


def stamp(moment: datetime) -> str:
    return f"{moment.year:04d}:{moment:%m:%d %H:%M:%S}"


def facts(text: str | None, offset: str | None = None, **told: str | None) -> dict[str, Any]:
    named = {"make": "Invented", "model": "T1", "serial": "77"}
    return {**named, "stamp": text, "offset": offset, **told}


def shot(shown: datetime, fast_s: float, offset: str | None = None) -> Shot:
    found = shot_of(facts(stamp(shown + timedelta(seconds=fast_s)), offset), shown)
    assert found is not None
    return found


def corrected(shots: Sequence[Shot], text: str, offset: str | None = None) -> Correction:
    found = correction(shots, facts(text, offset))
    assert found is not None
    return found


def test_a_fast_camera_is_put_right_with_its_doubt() -> None:
    found = corrected([shot(NOON, 192)], "2026:11:29 14:03:27")
    assert (found.error_s, found.doubt_s) == (192, 3)
    middle = datetime(2026, 11, 29, 14, 0, 15, tzinfo=WEST)
    assert found.earliest == middle - timedelta(seconds=3)
    assert found.latest == middle + timedelta(seconds=3)


def test_a_slow_camera_and_one_on_another_zone_need_no_assumed_zone() -> None:
    slow = corrected([shot(NOON, -90)], "2026:11:29 12:00:00")
    assert slow.error_s == -90
    assert slow.earliest < NOON + 90 * timedelta(seconds=1) < slow.latest
    abroad = corrected([shot(NOON, 7 * 3600)], "2026:11:29 20:00:00")
    assert abroad.earliest < NOON + HOUR < abroad.latest


@pytest.mark.parametrize(("days", "doubt_s"), [(0, 3), (1, 7), (10, 46)])
def test_doubt_grows_by_the_drift_of_a_consumer_clock(days: int, doubt_s: int) -> None:
    """50 ppm, 4.32 s a day: a crystal vendor's page gives 20 to 50; 2 s are stamp and reading."""
    assert corrected([shot(NOON, 0)], stamp(NOON + days * DAY)).doubt_s == doubt_s


def test_the_nearest_of_several_shots_counts() -> None:
    shots = [shot(NOON, 0), shot(NOON + 10 * DAY, 30)]
    assert corrected(shots, stamp(NOON + DAY)).error_s == 0
    assert corrected(shots, stamp(NOON + 9 * DAY)).error_s == 30


def test_with_offset_tags_on_both_sides_absolute_times_are_compared() -> None:
    """A phone that took its zone along: the shot in the west, the photo further east."""
    shots = [shot(NOON, 10, "-05:00")]
    found = corrected(shots, "2026:11:29 15:00:10", "-03:00")
    assert found.error_s == 10
    assert found.earliest < datetime(2026, 11, 29, 13, 0, tzinfo=WEST) < found.latest
    local = corrected(shots, "2026:11:29 13:00:10")  # without its tag, local time is all there is
    assert local.earliest < datetime(2026, 11, 29, 13, 0, tzinfo=WEST) < local.latest


def test_between_two_shots_of_a_clock_that_was_set_nothing_is_checked() -> None:
    shots = [shot(NOON, 3600), shot(NOON + 4 * HOUR, 0)]
    found = corrected(shots, stamp(NOON + 2 * HOUR))
    assert found.error_s is None
    assert found.earliest < NOON + HOUR
    assert found.latest > NOON + 2 * HOUR


def test_before_the_first_and_after_the_last_shot_the_nearest_counts() -> None:
    shots = [shot(NOON, 3600), shot(NOON + 4 * HOUR, 0)]
    before, after = (corrected(shots, stamp(NOON + h * HOUR)) for h in (-3, 6))
    assert (before.error_s, after.error_s) == (3600, 0)


def test_a_stamp_that_comes_twice_because_the_clock_was_set_back_is_not_checked() -> None:
    """Set back by six hours after noon: before it and after it 17:30 was stamped."""
    shots = [shot(NOON, 6 * 3600), shot(NOON + HOUR, 0)]
    assert corrected(shots, "2026:11:29 17:30:00").error_s is None  # 11:30, or 17:30


@pytest.mark.parametrize(("apart_s", "set_between"), [(2, False), (3, True)])
def test_shots_that_differ_by_more_than_their_doubt_show_that_the_clock_was_set(
    apart_s: int, set_between: bool
) -> None:
    shots = [shot(NOON, 0), shot(NOON + 2 * MINUTE, apart_s)]
    found = corrected(shots, stamp(NOON + MINUTE))
    assert (found.error_s is None) == set_between


UNSET = [None, "", "0000:00:00 00:00:00", "    :  :     :  :  ", "2005:01:01 00:00:00"]


@pytest.mark.parametrize("text", UNSET)
def test_a_photo_without_a_time_of_its_own_is_not_corrected_and_tells_no_error(
    text: str | None,
) -> None:
    assert correction([shot(NOON, 0)], facts(text)) is None
    assert shot_of(facts(text), NOON) is None


@pytest.mark.parametrize("text", ["2005:01:01 00:12:33", "1980:01:03 07:00:00"])
def test_a_clock_that_nobody_set_but_that_goes_can_be_corrected(text: str) -> None:
    local = running(text)
    assert local is not None
    shots = [Shot(NOON, local - HOUR)]
    found = correction(shots, facts(text))
    assert found is not None
    placed = place(text, None, None, site=WEST, taken_in=NOON + DAY, correction=found)
    assert placed.clock == "checked"
    assert placed.earliest is not None
    assert placed.earliest < NOON + HOUR < placed.latest


def test_a_corrected_photo_that_lies_after_its_taking_in_stays_impossible() -> None:
    found = corrected([shot(NOON, 0)], stamp(NOON + DAY))
    placed = place(stamp(NOON), None, None, site=WEST, taken_in=NOON, correction=found)
    assert placed.clock == "impossible"
    assert placed.correction == found


def test_a_photo_between_two_settings_keeps_its_word_of_the_clock_and_gets_both_bounds() -> None:
    both = Correction(None, 4, NOON, NOON + HOUR)
    placed = place(stamp(NOON), None, None, site=WEST, taken_in=NOON + DAY, correction=both)
    assert (placed.clock, placed.earliest, placed.latest) == ("unchecked", NOON, NOON + HOUR)


def test_cameras_are_told_apart_by_make_model_and_serial_number() -> None:
    said = {
        "a": facts(stamp(NOON), serial="1"),
        "b": facts(stamp(NOON + MINUTE), serial="2"),
        "c": facts(stamp(NOON), serial=None),
        "nameless": facts(stamp(NOON), make=None, model=" "),
    }
    found = shots_by_camera(dict.fromkeys([*said, "withheld"], NOON), said)
    assert {camera.serial: len(shots) for camera, shots in found.items()} == {"1": 1, "2": 1, "": 1}
    assert camera_of(said["nameless"]) is None
    assert camera_of(said["c"]) == Camera("Invented", "T1", "")
    by_model = correction(found[Camera("Invented", "T1", "")], said["c"])
    by_number = correction(found[Camera("Invented", "T1", "1")], said["a"])
    assert by_model is not None
    assert by_number is not None
    assert (by_model.by_model, by_number.by_model) == (True, False)


@pytest.mark.parametrize("year", [1, 1969, 2201, 9999])
def test_a_year_that_no_laptop_had_checks_nothing(year: int) -> None:
    assert shot_of(facts(stamp(NOON)), NOON.replace(year=year)) is None


# Laws. A camera's clock: so fast at NOON, drifting by so much, stamping what it has begun.
FAST = st.integers(-400_000_000, 400_000_000).map(lambda ms: timedelta(milliseconds=ms))
PPM = st.integers(-50, 50)
WHEN = st.integers(-30 * 86_400_000, 30 * 86_400_000).map(
    lambda ms: NOON + timedelta(milliseconds=ms)
)
TAGS = st.sampled_from([None, "-05:00", "+00:00", "+05:45"])
ZONES = {None: WEST, "-05:00": WEST, "+00:00": UTC}


def camera_has(true: datetime, fast: timedelta, ppm: int) -> datetime:
    return true + fast + (true - NOON) * ppm / 1_000_000


def taken(true: datetime, fast: timedelta, ppm: int, tag: str | None) -> dict[str, Any]:
    zone = ZONES.get(tag, timezone(timedelta(hours=5, minutes=45)))
    return facts(stamp(camera_has(true, fast, ppm).astimezone(zone)), tag)


def seen(true: datetime, fast: timedelta, ppm: int, tag: str | None) -> Shot:
    found = shot_of(taken(true, fast, ppm, tag), true.replace(microsecond=0))
    assert found is not None
    return found


@given(FAST, PPM, st.lists(WHEN, min_size=1, max_size=5), WHEN, TAGS)
def test_law_the_true_time_lies_within_the_bounds_and_the_clock_was_never_set(
    fast: timedelta, ppm: int, shots: list[datetime], true: datetime, tag: str | None
) -> None:
    found = correction([seen(at, fast, ppm, tag) for at in shots], taken(true, fast, ppm, tag))
    assert found is not None
    assert found.error_s is not None
    assert found.earliest <= true <= found.latest
    assert found.latest - found.earliest == timedelta(seconds=2 * found.doubt_s)


SHOTS = st.lists(WHEN, min_size=2, max_size=5, unique_by=lambda at: at.replace(microsecond=0))


# Too little is not seen among two months' drift, nor what was shot on one side alone.
JUMP = st.builds(
    lambda ms, back: timedelta(milliseconds=-ms if back else ms),
    st.integers(400_001, 400_000_000),
    st.booleans(),
)


@st.composite
def shots_on_both_sides(draw: st.DrawFn) -> tuple[list[datetime], datetime]:
    """Draw shots, and when the clock was set: after the first of them, and by the last."""
    shots = draw(SHOTS)
    sooner, later = sorted(shots)[:: len(shots) - 1]
    share = draw(st.floats(0, 1, exclude_min=True))
    set_at = min(later, sooner + max(timedelta(microseconds=1), (later - sooner) * share))
    return shots, set_at


@given(FAST, JUMP, PPM, shots_on_both_sides(), WHEN, TAGS)
def test_law_the_true_time_lies_within_the_bounds_though_the_clock_was_set_once(
    before: timedelta, jump: timedelta, ppm: int,
    both: tuple[list[datetime], datetime], true: datetime, tag: str | None,
) -> None:  # fmt: skip
    shots, set_at = both
    after = before + jump

    def fast(at: datetime) -> timedelta:
        return before if at < set_at else after

    found = [seen(at, fast(at), ppm, tag) for at in shots]
    assert len({at < set_at for at in shots}) == 2
    result = correction(found, taken(true, fast(true), ppm, tag))
    assert result is not None
    assert result.earliest <= true <= result.latest


@given(FAST, FAST, st.lists(WHEN, min_size=1, max_size=5), WHEN, st.randoms())
def test_law_the_order_in_which_shots_were_marked_changes_nothing(
    fast: timedelta, other: timedelta, shots: list[datetime], true: datetime, chance: random.Random
) -> None:
    found = [seen(at, chance.choice((fast, other)), 0, None) for at in shots]
    mixed = list(found)
    chance.shuffle(mixed)
    photo = taken(true, fast, 0, None)
    assert correction(mixed, photo) == correction(found, photo)


@given(WHEN, TAGS)
def test_law_without_shots_nothing_changes(true: datetime, tag: str | None) -> None:
    said = taken(true, timedelta(), 0, tag)
    found = correction([], said)
    assert found is None
    added = NOON + 60 * DAY
    with_it = place(said["stamp"], tag, None, site=WEST, taken_in=added, correction=found)
    assert with_it == place(said["stamp"], tag, None, site=WEST, taken_in=added)
    assert isinstance(with_it, Placed)


@given(st.none() | st.text(), st.none() | st.text(), st.none() | st.text())
def test_law_any_text_in_a_file_harms_nothing(
    text: str | None, offset: str | None, name: str | None
) -> None:
    said = facts(text, offset, make=name, serial=name)
    camera_of(said)
    shots_by_camera({"a": NOON}, {"a": said})
    correction([shot(NOON, 0)], said)
