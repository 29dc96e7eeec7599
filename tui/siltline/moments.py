"""Dates and times as people type them: read one way, or asked back; never a wrong day silently.

`yesterday 21:30`, `10 Mar 9:30 pm`, `3 hours ago` are read against the clock of the site. What can
be two days (03/04), two years (a day that lies ahead this year) or two times (12 am) is asked
back. The words are English, as the ones of the house sheet are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.sentences import say

_Order = tuple[int | None, int, int]  # year, month, day

LONGEST = 60
FAR_BACK = timedelta(days=300)  # a day without its year that lies further back may lie ahead
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MONTH_NAMES = ("january", "february", "march", "april", "may", "june", "july", "august",
                "september", "october", "november", "december")  # fmt: skip
_DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTH = {
    **{n: i for i, n in enumerate(MONTHS, 1)},
    **{n: i for i, n in enumerate(_MONTH_NAMES, 1)},
    "sept": 9,
}
_WEEKDAY = {**{n: i for i, n in enumerate(DAYS)}, **{n: i for i, n in enumerate(_DAY_NAMES)},
            "tues": 1, "weds": 2, "thur": 3, "thurs": 3}  # fmt: skip
_AGO = re.compile(
    r"(?P<n>\d{1,4}|an?|one) ?(?P<unit>min(?:ute)?s?|h|hours?|hrs?|d|days?) ago(?P<rest>.*)"
)
_TIME = re.compile(
    r"(?<![\d:/.-])(?:(?P<h>\d{1,2})[:h](?P<m>\d{2})(?::(?P<s>\d{2}))? ?(?P<half>[ap]\.?m\b\.?)?"
    r"|(?P<h2>\d{1,2}) ?(?P<half2>[ap]\.?m\b\.?)|(?P<word>\bnoon\b|\bmidnight\b))(?![\d:])"
)
_NUMBERS = re.compile(r"(\d{1,4})([/.-])(\d{1,2})(?:\2(\d{4}|\d{2}))?\.?")
_DAY = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?")
_JOINING = frozenset({"at", "on", "the", "of", "o'clock"})
_DAYS_BACK = {"today": 0, "yesterday": 1}


class Moment(Struct, frozen=True):
    """A day, and the time of it where one was told; `text` is what was typed."""

    text: str
    day: date
    time: time | None = None

    @property
    def written(self) -> str:
        """Return it as the house sheet and the record hold it: 2026-03-10 21:30."""
        if self.time is None:
            return self.day.isoformat()
        return f"{self.day.isoformat()} {self.time:%H:%M}" + (
            f":{self.time:%S}" if self.time.second else ""
        )

    @property
    def shown(self) -> str:
        """Return it so that a mistake is seen: with weekday, year and both ways to tell a time."""
        if self.time is None:
            return _day(self.day)
        half = "am" if self.time.hour < 12 else "pm"  # noqa: PLR2004
        hour = self.time.hour % 12 or 12
        return f"{_day(self.day)} {self.time:%H:%M} ({hour}:{self.time:%M} {half})"


def _day(day: date) -> str:
    """Return a day for people, whatever language the system speaks."""
    month = MONTHS[day.month - 1].title()
    return f"{DAYS[day.weekday()].title()} {day.day} {month} {day.year}"


def read_moment(text: str, now: datetime) -> Moment:
    """Return the day and time that a person typed.

    Args:
        text: as typed, at most 60 characters.
        now: the time at the site.

    Raises:
        WrongUse: it is no date, or can be several; says which, and what to write.
    """
    plain = " ".join(text.lower().replace(",", " ").split())
    if not plain or len(plain) > LONGEST:
        raise _unread(text)
    ago = _AGO.fullmatch(plain)
    if ago is not None and ago["unit"][0] != "d":
        return _hours_ago(text, ago, now)
    rest, at = _without_time(text, ago["rest"] if ago else plain)
    words = [word for word in rest.split() if word not in _JOINING]
    if ago is not None:
        if words:
            raise _unread(text)
        return Moment(text, now.date() - timedelta(days=_count(ago["n"])), at)
    if not words:
        if at is None or datetime.combine(now.date(), at) > now.replace(tzinfo=None):
            raise WrongUse(say("moment.ahead", text=text)) if at else _unread(text)
        return Moment(text, now.date(), at)
    return Moment(text, _read_day(text, words, now.date()), at)


def _unread(text: str) -> WrongUse:
    return WrongUse(say("moment.unread", text=text[:LONGEST]))


def _count(word: str) -> int:
    return int(word) if word.isdecimal() else 1


def _hours_ago(text: str, ago: re.Match[str], now: datetime) -> Moment:
    if ago["rest"].strip():
        raise _unread(text)
    minutes = _count(ago["n"]) * (60 if ago["unit"][0] == "h" else 1)
    # UTC arithmetic where the site's zone is known: an hour ago is an hour ago in any night
    then = (now.timestamp() - 60 * minutes) if now.tzinfo else None
    at = datetime.fromtimestamp(then, now.tzinfo) if then else now - timedelta(minutes=minutes)
    return Moment(text, at.date(), at.time().replace(second=0, microsecond=0))


def _without_time(text: str, plain: str) -> tuple[str, time | None]:
    """Take the time out of a text.

    Raises:
        WrongUse: several times, no such time, or 12 am and 12 pm, which people read both ways
            (NIST, Times of Day FAQs: "12 a.m. and 12 p.m. are ambiguous"; from memory).
    """
    found = list(_TIME.finditer(plain))
    if not found:
        return plain, None
    if len(found) > 1:
        raise _unread(text)
    match = found[0]
    rest = f"{plain[: match.start()]} {plain[match.end() :]}"
    if match["word"] == "noon":
        return rest, time(12)
    hour, minute = int(match["h"] or match["h2"] or 0), int(match["m"] or 0)
    second = int(match["s"] or 0)
    half = (match["half"] or match["half2"] or "")[:1]
    twelve = hour == 12 and half and not (minute or second)  # noqa: PLR2004
    if match["word"] == "midnight" or twelve:
        raise WrongUse(say("moment.twelve", text=text))
    if half == "a" and hour == 12:  # noqa: PLR2004
        hour = 0
    elif half == "p" and 0 < hour < 12:  # noqa: PLR2004
        hour += 12
    elif (half == "a" and hour > 12) or (half == "p" and hour == 0):  # noqa: PLR2004
        raise _unread(text)
    try:
        return rest, time(hour, minute, second)
    except ValueError as fault:
        raise _unread(text) from fault


def _read_day(text: str, words: list[str], today: date) -> date:
    weekdays = [_WEEKDAY[w.rstrip(".")] for w in words if w.rstrip(".") in _WEEKDAY]
    rest = [w for w in words if w.rstrip(".") not in _WEEKDAY]
    if len(weekdays) > 1:
        raise _unread(text)
    if not rest:
        return _of_weekday(text, weekdays[0], today)
    if len(rest) == 1 and rest[0] in _DAYS_BACK:
        day = today - timedelta(days=_DAYS_BACK[rest[0]])
    elif len(rest) == 1 and (numbers := _NUMBERS.fullmatch(rest[0])):
        day = _of_numbers(text, numbers, today)
    else:
        day = _of_month(text, rest, today)
    if weekdays and day.weekday() != weekdays[0]:
        raise WrongUse(say("moment.weekday", text=text, day=_day(day)))
    return day


def _of_weekday(text: str, weekday: int, today: date) -> date:
    back = (today.weekday() - weekday) % 7
    if back == 0:
        raise _either(text, [today - timedelta(days=7), today])
    return today - timedelta(days=back)


def _of_month(text: str, words: Sequence[str], today: date) -> date:
    """Read `10 mar`, `mar 10th 2026`, `2026 mar 10`."""
    months = [_MONTH[w.rstrip(".")] for w in words if w.rstrip(".") in _MONTH]
    years = [int(w) for w in words if len(w) == 4 and w.isascii() and w.isdecimal()]  # noqa: PLR2004
    days = [int(m[1]) for w in words if (m := _DAY.fullmatch(w.rstrip(".")))]
    if len(months) != 1 or len(days) != 1 or len(months) + len(years) + len(days) != len(words):
        raise _unread(text)
    return _of_year(text, [(years[0] if years else None, months[0], days[0])], today)


def _of_numbers(text: str, match: re.Match[str], today: date) -> date:
    """Read `3/14/2026`, `14.3.2026`, `2026-03-14`; whatever fits two orders is asked back."""
    first, mark, second, third = match[1], match[2], match[3], match[4]
    if third is None:
        if len(first) > 2 or mark == ".":  # noqa: PLR2004 - 10.30 may well be a time
            raise _unread(text)
        orders: list[_Order] = [(None, int(first), int(second)), (None, int(second), int(first))]
    elif len(first) == 4:  # noqa: PLR2004
        orders = [(int(first), int(second), int(third))]
    elif len(first) > 2:  # noqa: PLR2004
        raise _unread(text)
    else:
        year = int(third) if len(third) == 4 else 2000 + int(third)  # noqa: PLR2004
        orders = [(year, int(first), int(second)), (year, int(second), int(first))]
        if len(third) == 2:  # noqa: PLR2004
            orders.append((2000 + int(first), int(second), int(third)))
    return _of_year(text, orders, today)


def _of_year(text: str, orders: Sequence[_Order], today: date) -> date:
    """Return the one day that the orders (year, month, day) can be; without a year the last one.

    Raises:
        WrongUse: none of them is a day, or two are.
    """
    found: dict[date, bool] = {}
    for year, month, day in orders:
        years = [year] if year is not None else range(today.year, today.year - 9, -1)
        for one in years:
            at = _date(one, month, day)
            if at is not None and (year is not None or at <= today):
                found[at] = year is not None
                break
    if not found:
        raise _unread(text)
    if len(found) > 1:
        raise _either(text, sorted(found))
    only = next(iter(found))
    if not found[only] and today - only > FAR_BACK:
        raise WrongUse(say("moment.which-year", text=text, day=_day(only)))
    return only


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _either(text: str, days: Sequence[date]) -> WrongUse:
    return WrongUse(say("moment.either", text=text, days=" / ".join(map(_day, days))))
