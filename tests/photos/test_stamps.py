"""A photo is placed in time as far as its file can tell, and never more exactly than that."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from siltline.photos.stamps import Placed, is_unset, place

CHICAGO = ZoneInfo("America/Chicago")
ADDED = datetime(2026, 3, 12, 13, 0, tzinfo=UTC)
SECOND, MINUTE, HOUR = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1)


def placed(
    stamp: str | None,
    offset: str | None = None,
    gps_utc: str | None = None,
    *,
    site: tzinfo | None = CHICAGO,
    taken_in: datetime = ADDED,
) -> Placed:
    return place(stamp, offset, gps_utc, site=site, taken_in=taken_in)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_the_offset_that_the_camera_wrote_places_a_photo_to_the_second() -> None:
    found = placed("2026:03:11 15:00:00", "+03:00", "2026:03:11 01:00:00")
    assert (found.clock, found.zone, found.zone_from) == ("unchecked", "+03:00", "camera")
    assert (found.earliest, found.latest) == (
        utc("2026-03-11 12:00:00"),
        utc("2026-03-11 12:00:01"),
    )


@pytest.mark.parametrize("offset", ["-12:00", "+14:00", "+05:45", "-00:30", " -05:00 "])
def test_every_offset_in_use_is_kept_as_it_was_written(offset: str) -> None:
    found = placed("2026:03:10 15:00:00", offset)
    assert (found.zone, found.zone_from) == (offset.strip(), "camera")


@pytest.mark.parametrize("offset", ["   :  ", "", "05:00", "+5:00", "+14:15", "-99:00", "Z", "+05"])
def test_what_is_no_offset_leaves_the_zone_to_the_site(offset: str) -> None:
    assert placed("2026:03:10 15:00:00", offset).zone_from == "site"


@pytest.mark.parametrize("off", [-60, -1, 0, 59, 60])
def test_satellite_time_within_a_minute_of_a_quarter_hour_names_the_zone(off: int) -> None:
    satellite = datetime(2026, 3, 10, 12, 0) + timedelta(seconds=off)  # noqa: DTZ001
    found = placed("2026:03:10 17:45:00", None, f"{satellite:%Y:%m:%d %H:%M:%S}")
    assert (found.zone, found.zone_from) == ("+05:45", "satellite")
    assert found.earliest == utc("2026-03-10 12:00:00")


@pytest.mark.parametrize(
    "gps_utc",
    [
        "2026:03:10 12:01:01",  # the fix of another minute
        "2026:03:09 12:00:00",  # a day off, as one line of cameras writes it
        "2026:03:11 12:00:00",
        "2026:13:10 12:00:00",
        "2026:03:10 99:99:99",
        "nonsense",
        "",
    ],
)
def test_satellite_time_that_fits_no_zone_leaves_it_to_the_site(gps_utc: str) -> None:
    found = placed("2026:03:10 17:45:00", None, gps_utc)
    assert (found.zone, found.zone_from) == ("-05:00", "site")


def test_with_neither_the_zone_of_the_house_is_assumed_and_says_so() -> None:
    winter, summer = placed("2026:02:01 08:00:00"), placed("2025:07:01 08:00:00")
    assert (winter.zone, winter.zone_from) == ("-06:00", "site")
    assert (summer.zone, summer.zone_from) == ("-05:00", "site")
    assert winter.earliest == utc("2026-02-01 14:00:00")
    assert summer.earliest == utc("2025-07-01 13:00:00")


def test_a_local_time_that_came_twice_in_the_autumn_is_an_hour_wide() -> None:
    found = placed("2025:11:02 01:30:00")
    assert found.earliest == utc("2025-11-02 06:30:00")
    assert found.latest == utc("2025-11-02 07:30:01")
    before, after = placed("2025:11:02 00:59:59"), placed("2025:11:02 02:00:00")
    for outside in (before, after):
        assert outside.earliest is not None
        assert outside.latest - outside.earliest == SECOND


def test_a_local_time_that_never_was_in_the_spring_has_both_readings_inside() -> None:
    found = placed("2026:03:08 02:30:00")
    assert found.clock == "unchecked"
    assert found.earliest == utc("2026-03-08 07:30:00")
    assert found.latest == utc("2026-03-08 08:30:01")


def test_the_offset_of_the_camera_tells_the_two_autumn_hours_apart() -> None:
    first, second = (placed("2025:11:02 01:30:00", o) for o in ("-05:00", "-06:00"))
    assert first.earliest == utc("2025-11-02 06:30:00")
    assert second.earliest == utc("2025-11-02 07:30:00")


def test_with_no_zone_at_all_a_photo_lies_anywhere_on_the_planet() -> None:
    found = placed("2026:03:10 12:00:00", site=None)
    assert (found.zone, found.zone_from, found.clock) == (None, None, "unchecked")
    assert found.earliest == utc("2026-03-09 22:00:00")
    assert found.latest == utc("2026-03-11 02:00:01")


UNSET = [
    None,
    "",
    " ",
    "    :  :     :  :  ",
    "0000:00:00 00:00:00",
    "0000:00:00",
    "2000:01:01 00:00:00",
    "2005:01:01 00:00:00",
    "2007:01:01 00:17:44",
    "1970:01:01 00:00:00",
    "1980:01:01 00:00:59",
]


@pytest.mark.parametrize("stamp", UNSET)
def test_a_clock_that_nobody_set_is_told_and_only_the_taking_in_bounds_it(
    stamp: str | None,
) -> None:
    assert is_unset(stamp)
    assert placed(stamp, "+03:00", "2026:03:10 12:00:00") == Placed(
        "unset", None, None, None, ADDED
    )


@pytest.mark.parametrize("stamp", ["2005:01:01 01:00:00", "2005:01:02 00:00:00"])
def test_a_new_years_photo_past_the_first_hour_is_not_called_unset(stamp: str) -> None:
    assert placed(stamp).clock == "unchecked"


@pytest.mark.parametrize(
    "stamp",
    [
        "2026:13:10 12:00:00",
        "2026:02:29 12:00:00",
        "2026:03:10 24:00:00",
        "2026:03:10 12:60:00",
        "2026:03:10 12:00:60",
        "1994:12:31 23:59:59",
        "0001:01:01 12:00:00",
        "2026-03-10 12:00:00",
        "2026:03:10T12:00:00",
        "2026:03:10 12:00",
        "10:03:2026 12:00:00",
        "2026:03:10 12:00:00.5",
        "today",
    ],
)
def test_a_stamp_that_is_no_time_is_impossible_and_only_the_taking_in_bounds_it(
    stamp: str,
) -> None:
    assert placed(stamp, "+03:00") == Placed("impossible", None, None, None, ADDED)


@pytest.mark.parametrize(
    ("seconds_late", "clock"), [(-1, "unchecked"), (60, "unchecked"), (61, "impossible")]
)
def test_a_photo_from_after_its_taking_in_is_impossible_past_a_minute(
    seconds_late: int, clock: str
) -> None:
    stamp = ADDED + timedelta(seconds=seconds_late)
    found = placed(f"{stamp:%Y:%m:%d %H:%M:%S}", "+00:00")
    assert found.clock == clock
    assert found.earliest == stamp  # what the camera says stays visible


def test_a_photo_that_may_be_from_before_its_taking_in_is_not_called_impossible() -> None:
    assert placed("2026:03:13 02:59:00", site=None).clock == "unchecked"
    assert placed("2026:03:13 03:02:00", site=None).clock == "impossible"


@pytest.mark.parametrize("offset", [None, "+00:00", "-14:00", "+14:00"])
@pytest.mark.parametrize("site", [None, CHICAGO], ids=["no site", "site"])
def test_the_last_second_of_the_calendar_is_impossible_and_harms_nothing(
    offset: str | None, site: tzinfo | None
) -> None:
    found = placed("9999:12:31 23:59:59", offset, site=site)
    assert found.clock == "impossible"
    assert found.earliest is None or found.earliest <= found.latest


HOSTILE = [
    "\x1b]0;owned\x07",
    "2026:03:10 12:00:00\x00\x1b[2J",
    "٢٠٢٦:٠٣:١٠ ١٢:٠٠:٠٠",  # noqa: RUF001 - digits, for some regular expressions
    "²⁰²⁶:⁰³:¹⁰ ¹²:⁰⁰:⁰⁰",
    "2026:03:10 12:00:00\n2026:03:11 12:00:00",
    "\udcff" * 19,
    "9" * 10_000,
    "%s:%n:{0} {x}:!r:",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_any_field_harms_nothing(text: str) -> None:
    placed(text, text, text)
    placed("2026:03:10 12:00:00", text, text)
    assert placed("2026:03:10 12:00:00", "+03:00", text).zone_from == "camera"


# Laws. The moments reach from the first cameras with EXIF to long after this program.
MOMENTS = st.datetimes(
    datetime(1995, 1, 3), datetime(2100, 1, 1), timezones=st.just(UTC)  # noqa: DTZ001
)  # fmt: skip
# Every offset that a zone of the tz database has had since 1996.
IN_USE_OFFSETS = sorted(
    {
        datetime(year, month, 15, tzinfo=ZoneInfo(name)).utcoffset() or timedelta()
        for name in available_timezones()
        for year in range(1996, 2027)
        for month in (1, 4, 7, 10)
    }
)
IN_USE = st.sampled_from(IN_USE_OFFSETS)
OFFSETS = st.integers(-12 * 4, 14 * 4).map(lambda quarters: timedelta(minutes=15 * quarters))
WAITS = st.timedeltas(SECOND, timedelta(days=3650))
SITES = st.sampled_from(
    [
        ZoneInfo(name)
        for name in (
            "America/Chicago",
            "America/St_Johns",
            "Australia/Lord_Howe",  # half an hour of summer time
            "Asia/Kathmandu",
            "Europe/Dublin",  # winter time is the one that is saved
            "Pacific/Apia",  # left a whole day out in 2011
            "Africa/Casablanca",
        )
    ]
)


def as_written(moment: datetime) -> str:
    """Return a stamp as a camera writes it: local, whole seconds."""
    return f"{moment.year:04d}:{moment:%m:%d %H:%M:%S}"


def shown(offset: timedelta) -> str:
    minutes = int(offset.total_seconds()) // 60
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def holds(found: Placed, true: datetime) -> bool:
    """Tell whether the true moment lies in what was found."""
    return (found.earliest is None or found.earliest <= true) and true < found.latest


@given(MOMENTS, OFFSETS, WAITS, SITES | st.none())
def test_law_the_true_moment_lies_inside_where_the_camera_wrote_its_offset(
    true: datetime, offset: timedelta, wait: timedelta, site: tzinfo | None
) -> None:
    local = true.astimezone(timezone(offset))
    found = placed(as_written(local), shown(offset), site=site, taken_in=true + wait)
    assert holds(found, true)
    assert found.clock in ("unchecked", "unset")


@given(MOMENTS, IN_USE, WAITS, SITES | st.none(), st.integers(-60, 60))
def test_law_the_true_moment_lies_inside_where_satellite_time_named_the_zone(
    true: datetime, offset: timedelta, wait: timedelta, site: tzinfo | None, off: int
) -> None:
    local = true.astimezone(timezone(offset))
    satellite = as_written(true + timedelta(seconds=off))
    found = placed(as_written(local), None, satellite, site=site, taken_in=true + wait)
    assert holds(found, true)
    assert found.clock in ("unchecked", "unset")


@given(MOMENTS, WAITS, SITES)
def test_law_the_true_moment_lies_inside_where_the_camera_kept_the_time_of_the_site(
    true: datetime, wait: timedelta, site: tzinfo
) -> None:
    found = placed(as_written(true.astimezone(site)), site=site, taken_in=true + wait)
    assert holds(found, true)
    assert found.clock in ("unchecked", "unset")


@given(MOMENTS, OFFSETS, WAITS)
def test_law_the_true_moment_lies_inside_where_nothing_is_known_of_the_zone(
    true: datetime, offset: timedelta, wait: timedelta
) -> None:
    local = true.astimezone(timezone(offset))
    found = placed(as_written(local), site=None, taken_in=true + wait)
    assert holds(found, true)
    assert found.clock in ("unchecked", "unset")


STAMPS = st.from_regex(r"\A[0-9]{4}:[01][0-9]:[0-3][0-9] [012][0-9]:[0-5][0-9]:[0-5][0-9]\Z")
ANY_STAMP = st.none() | st.text() | STAMPS
ANY_OFFSET = st.none() | st.text() | st.from_regex(r"\A[+-][0-9]{2}:[0-9]{2}\Z")


@given(ANY_STAMP, ANY_OFFSET, ANY_STAMP, SITES | st.none())
@example("9999:12:31 23:59:59", None, None, None)
@example("2000:03:01 12:00:00", "+00:00", "9999:12:31 23:59:59", None)
def test_law_any_text_gives_a_place_whose_bounds_are_in_order(
    stamp: str | None, offset: str | None, gps_utc: str | None, site: tzinfo | None
) -> None:
    found = placed(stamp, offset, gps_utc, site=site)
    assert found.clock in ("unchecked", "unset", "impossible")
    assert found.zone_from in ("camera", "satellite", "site", None)
    assert (found.zone is None) == (found.zone_from is None)
    assert found.earliest is None or found.earliest <= found.latest
