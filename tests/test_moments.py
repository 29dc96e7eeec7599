"""Dates and times as people type them are read one way or asked back, never a wrong day."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.errors import WrongUse
from siltline.moments import MONTHS, read_moment

SITE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 3, 12, 10, 15, tzinfo=SITE)  # a Thursday (the calendar of 2026)


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("2026-03-10 21:30", "2026-03-10 21:30"),
        ("2026-03-10T21:30", None),
        ("2026-03-10", "2026-03-10"),
        ("10 Mar 9:30 pm", "2026-03-10 21:30"),
        ("Mar 10th, 9.30", None),
        ("March 10, 2026 at 9:30 p.m.", "2026-03-10 21:30"),
        ("10 march 2025 21:30", "2025-03-10 21:30"),
        ("2026 mar 10 21h30", "2026-03-10 21:30"),
        ("yesterday 21:30", "2026-03-11 21:30"),
        ("today 9am", "2026-03-12 09:00"),
        ("9:30", "2026-03-12 09:30"),
        ("noon yesterday", "2026-03-11 12:00"),
        ("yesterday 12:30 am", "2026-03-11 00:30"),
        ("yesterday 12:30 pm", "2026-03-11 12:30"),
        ("Tue 21:30", "2026-03-10 21:30"),
        ("Tue 10 Mar 21:30", "2026-03-10 21:30"),
        ("2 days ago 21:30", "2026-03-10 21:30"),
        ("3 hours ago", "2026-03-12 07:15"),
        ("20 min ago", "2026-03-12 09:55"),
        ("an hour ago", "2026-03-12 09:15"),
        ("3/10/2026", None),
        ("2/28/2026 21:30", "2026-02-28 21:30"),
        ("28.2.2026 21:30", "2026-02-28 21:30"),
        ("28/2 9pm", "2026-02-28 21:00"),
        ("3/3/26", None),  # 3 March 2026, or 26 March 2003
        ("28/12", "2025-12-28"),
        ("2/29/2024", "2024-02-29"),
        ("2/29/2025", None),
        ("31 apr", None),
        ("12 am", None),
        ("yesterday 12 pm", None),
        ("midnight", None),
        ("21:30", None),  # today it lies ahead
        ("Thu 21:30", None),  # today, or a week ago
        ("Mon 10 Mar", None),  # it was a Tuesday
        ("10 Apr", None),  # last year's, or next month's
        ("03/04 21:30", None),
        ("yesterday 9:30 21:30", None),
        ("yesterday 25:00", None),
        ("13 am today", None),
        ("last night", None),
        ("tomorrow 9:00", None),
        ("10.30", None),
        ("", None),
        ("\x1b[31m", None),
        ("1" * 80, None),
    ],
)
def test_what_people_type(typed: str, written: str | None) -> None:
    if written is None:
        with pytest.raises(WrongUse):
            read_moment(typed, NOW)
        return
    read = read_moment(typed, NOW)
    assert (read.written, read.text) == (written, typed)


def test_what_can_be_two_days_names_both() -> None:
    with pytest.raises(WrongUse, match=r"Tue 3 Feb 2026 / Mon 2 Mar 2026; write the month as"):
        read_moment("2/3", NOW)


def test_what_is_read_is_shown_with_its_weekday_year_and_half_of_the_day() -> None:
    assert read_moment("10 Mar 9:30 pm", NOW).shown == "Tue 10 Mar 2026 21:30 (9:30 pm)"
    assert read_moment("yesterday 9:30", NOW).shown == "Wed 11 Mar 2026 09:30 (9:30 am)"


def test_an_hour_ago_is_an_hour_ago_in_the_night_in_which_the_clocks_change() -> None:
    after = datetime(2026, 3, 8, 3, 20, tzinfo=SITE)  # 2:00 to 3:00 was left out: 15 USC 260a
    assert read_moment("1 hour ago", after).written == "2026-03-08 01:20"


PAST = st.dates(NOW.date() - timedelta(days=299), NOW.date())
TIMES = st.times().map(lambda at: at.replace(second=0, microsecond=0))


def _ways(day: date, at: time) -> list[str]:
    month = MONTHS[day.month - 1]
    half = f"{at.hour % 12 or 12}:{at:%M} {'am' if at.hour < 12 else 'pm'}"
    return [
        f"{day} {at:%H:%M}",
        f"{day.day} {month} {at:%H:%M}",
        f"{month.title()} {day.day}, {day.year} {half}",
        f"{day.day}. {month.upper()}. {day.year} at {half}",
        f"{at:%H:%M} {day.day} {month}",
    ]


@given(PAST, TIMES)
def test_a_moment_comes_back_from_every_way_to_write_it(day: date, at: time) -> None:
    for typed in _ways(day, at):
        try:
            read = read_moment(typed, NOW)
        except WrongUse:
            told = typed.partition(f"{at.hour % 12 or 12}:{at:%M} ")[2]
            assert (at.hour % 12, at.minute, told in ("am", "pm")) == (0, 0, True)
        else:
            assert (read.day, read.time) == (day, at)


@given(PAST, TIMES)
def test_what_was_written_and_what_was_shown_are_read_again(day: date, at: time) -> None:
    read = read_moment(f"{day} {at:%H:%M}", NOW)
    assert read_moment(read.written, NOW).written == read.written
    shown = read.shown.partition(" (")[0]
    assert read_moment(shown, NOW).written == read.written


@given(
    st.integers(0, 32), st.integers(0, 32), st.sampled_from(["", "2025", "2026", "25", "26", "03"]),
    st.sampled_from("/-."),
)  # fmt: skip
def test_numbers_alone_are_a_day_only_where_no_other_day_can_be_meant(
    first: int, second: int, year: str, mark: str
) -> None:
    typed = mark.join(filter(None, [str(first), str(second), year]))
    fits = set()
    for y, m, d in ((year, first, second), (year, second, first), (str(first), second, year)):
        full = f"20{int(y):02d}" if len(y) <= 2 and y else y
        for one in [full] if full else ["2026", "2025"]:
            try:
                fits.add(date(int(one), int(m), int(d or 0)))
            except ValueError:
                continue
    try:
        read = read_moment(typed, NOW)
    except WrongUse:
        return
    if year and len(year) == 4:
        assert {d for d in fits if d.year == int(year)} == {read.day}
    elif year:
        assert fits == {read.day}
    else:
        assert {(d.month, d.day) for d in fits if d <= NOW.date()} >= {
            (read.day.month, read.day.day)
        }
        assert read.day <= NOW.date()
        assert {(d.month, d.day) for d in fits} == {(read.day.month, read.day.day)}


@given(st.text())
def test_anything_is_read_or_refused_in_a_sentence(typed: str) -> None:
    try:
        read = read_moment(typed, NOW)
    except WrongUse:
        return
    assert datetime.fromisoformat(read.written)
