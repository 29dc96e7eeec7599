"""Days and hours until something is due, across daylight saving."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.science import due

CHICAGO = ZoneInfo("America/Chicago")  # 2026: forward on 8 March, back on 1 November, at 02:00
HAVANA = ZoneInfo("America/Havana")  # its clocks change at midnight
ZONES = st.sampled_from([CHICAGO, HAVANA, ZoneInfo("Pacific/Honolulu"), ZoneInfo("Asia/Kathmandu"),
                         ZoneInfo("Australia/Lord_Howe"), UTC])  # fmt: skip
DAYS = st.dates(date(1990, 1, 1), date(2090, 1, 1))
MOMENTS = st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1))  # noqa: DTZ001 - in UTC below


def test_sixty_days_as_a_court_counted_them() -> None:
    # loss of 14 Sep 2021, proof of loss due 13 Nov 2021: propertyinsurancecoveragelaw.com (summary)
    assert due.after_days(date(2021, 9, 14), 60) == date(2021, 11, 13)


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 3, 8), 23), (date(2026, 11, 1), 25), (date(2026, 6, 1), 24)]
)
def test_a_day_is_as_long_as_the_clocks_make_it(day: date, hours: int) -> None:
    long = due.end_of(day, CHICAGO) - due.begin_of(day, CHICAGO)
    assert long == timedelta(hours=hours)


def test_a_year_later_is_the_same_day_and_of_29_february_the_28th() -> None:
    assert due.after_years(date(2026, 7, 20), 1) == date(2027, 7, 20)
    assert due.after_years(date(2024, 2, 29), 1) == date(2025, 2, 28)
    assert due.after_years(date(2024, 2, 29), 4) == date(2028, 2, 29)


def test_forty_eight_hours_pass_whatever_the_clocks_do() -> None:
    out = datetime(2026, 3, 7, 20, 0, tzinfo=CHICAGO)
    end = due.after_hours(out, 48)
    assert end.astimezone(CHICAGO).strftime("%d %H:%M") == "09 21:00"  # an hour was skipped
    assert end - out.astimezone(UTC) == timedelta(hours=48)


def test_of_an_hour_that_comes_twice_the_first_is_taken() -> None:
    twice = datetime(2026, 11, 1, 1, 30)  # noqa: DTZ001 - as a sheet has it
    assert due.instant(twice, CHICAGO) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)
    assert due.instant(twice.replace(tzinfo=UTC), CHICAGO) == twice.replace(tzinfo=UTC)


@given(DAYS, ZONES, st.integers(0, 400))
def test_the_last_moment_of_the_last_day_is_on_it_and_the_next_is_past(
    day: date, zone: ZoneInfo, days: int
) -> None:
    last = due.after_days(day, days)
    end = due.end_of(last, zone)
    assert (end - timedelta(microseconds=1)).astimezone(zone).date() == last
    assert end.astimezone(zone).date() == last + timedelta(days=1)
    assert timedelta(hours=22) < end - due.begin_of(last, zone) < timedelta(hours=26)


@given(DAYS, MOMENTS, ZONES)
def test_days_left_are_days_of_the_calendar(day: date, moment: datetime, zone: ZoneInfo) -> None:
    now = moment.replace(tzinfo=UTC)
    left = due.days_left(day, now, zone)
    assert (left >= 0) == (now < due.end_of(day, zone))
    assert (left > 0) == (now < due.begin_of(day, zone))
