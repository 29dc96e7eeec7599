"""Times keep their offset in the record and are shown on the clock of the house."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline import times

OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
MOMENTS = st.datetimes(timezones=OFFSETS)


def site(name: str = "America/Chicago") -> tzinfo:
    found = times.zone(name)
    assert found is not None
    return found


@given(MOMENTS)
def test_a_moment_read_back_is_the_moment_that_was_written(moment: datetime) -> None:
    back = times.read(times.written(moment))
    assert back == moment.replace(microsecond=moment.microsecond // 1000 * 1000)
    assert back.utcoffset() == moment.utcoffset()


@given(MOMENTS)
def test_a_moment_is_written_as_rfc_3339(moment: datetime) -> None:
    # RFC 3339 section 5.6: date-time, here always with milliseconds and a numeric offset
    form = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d"
    assert re.fullmatch(form, times.written(moment))


def test_a_moment_without_an_offset_is_refused_both_ways() -> None:
    with pytest.raises(ValueError, match="offset"):
        times.written(datetime(2026, 3, 12, 8, 0))  # noqa: DTZ001 - the point of the test
    with pytest.raises(ValueError, match="offset"):
        times.read("2026-03-12T08:00:00.000")


@pytest.mark.parametrize("text", ["", "yesterday", "2026-13-01T00:00:00.000+00:00", "\ud800"])
def test_what_is_no_moment_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        times.read(text)


def test_the_machines_time_has_an_offset() -> None:
    assert times.now().tzinfo is not None
    assert abs(times.now() - datetime.now(UTC)) < timedelta(minutes=1)


# Chicago keeps daylight saving from the second Sunday of March, 2:00, to the first Sunday of
# November, 2:00; in 2026 that is 8 March and 1 November. The rule: from memory.
@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        ((3, 8, 7, 59, 59), "8 Mar 2026 01:59"),
        ((3, 8, 8, 0, 0), "8 Mar 2026 03:00"),
        ((3, 12, 13, 0, 0), "12 Mar 2026 08:00"),
        ((11, 1, 6, 59, 0), "1 Nov 2026 01:59 -0500"),
        ((11, 1, 7, 0, 0), "1 Nov 2026 01:00 -0600"),
        ((11, 1, 8, 0, 0), "1 Nov 2026 02:00"),
        ((1, 1, 5, 59, 0), "31 Dec 2025 23:59"),
    ],
)
def test_a_moment_is_shown_on_the_clock_of_the_house_on_both_sides_of_daylight_saving(
    utc: tuple[int, int, int, int, int], shown: str
) -> None:
    assert times.shown(datetime(2026, *utc, tzinfo=UTC), site()) == shown


def test_where_the_zone_of_the_house_is_unknown_a_moment_keeps_its_own_offset() -> None:
    moment = datetime(2026, 3, 12, 8, 1, 2, tzinfo=timezone(timedelta(hours=-5)))
    assert times.shown(moment, None) == "12 Mar 2026 08:01 -0500"
    assert times.shown(moment, None, seconds=True) == "12 Mar 2026 08:01:02 -0500"
    assert times.shown(moment, site(), seconds=True) == "12 Mar 2026 08:01:02"


@given(st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1), timezones=OFFSETS), OFFSETS)  # noqa: DTZ001 - bounds
def test_the_same_moment_is_shown_the_same_whatever_laptop_wrote_it(
    moment: datetime, other: timezone
) -> None:
    assert times.shown(moment, site()) == times.shown(moment.astimezone(other), site())


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "/", "../etc/passwd", "../../../../etc/passwd", "America/../../etc/passwd",
        "/etc/passwd", "C:\\zones\\x", "America", "America/", "America/Chicago/",
        "America/Nowhere", "Chicago", " America/Chicago", "America/Chicago\n", "UTC\x00", "\x00",
        "\ud800", "a" * 300, "a" * 5000, "tzdata.zi", "zone.tab",
    ],
)  # fmt: skip
def test_a_name_that_is_no_zone_gives_none(name: str) -> None:
    assert times.zone(name) is None


@given(st.text(st.characters()) | st.text("./A\\\x00 ", max_size=12))
def test_any_name_at_all_gives_a_zone_or_none(name: str) -> None:
    assert times.zone(name) is None or isinstance(times.zone(name), tzinfo)


@pytest.mark.parametrize("name", ["UTC", "America/Chicago", "Europe/Berlin", "Asia/Kathmandu"])
def test_zones_of_the_tz_database_are_found(name: str) -> None:
    assert site(name).utcoffset(datetime(2026, 3, 12, 8, 0)) is not None  # noqa: DTZ001 - local
