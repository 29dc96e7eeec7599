"""Deadlines as an iCalendar file (RFC 5545), written by hand: one page of it is all that we need.

A deadline of days is a day of the calendar without a time, so that it stands on that day wherever
the calendar is read; hours and reminders are instants in UTC. A deadline that was met is cancelled,
so that a calendar that took it in before lets it go.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from pathlib import Path

from siltline import __version__
from siltline.errors import Unreadable, WrongUse, why
from siltline.job.deadlines import deadlines_of, site_zone
from siltline.job.desk import Job
from siltline.judge import due_words
from siltline.judge.deadlines import Deadline
from siltline.science import due as science
from siltline.sentences import say
from siltline.text import visible
from siltline.whole import whole_file

LONGEST_LINE = 75  # octets without the line break: RFC 5545, 3.1 (from memory)
HEAD = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//siltline//deadlines"
_MORNING = time(9)  # of a reminder of days
_ESCAPES = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"}  # 3.3.11


def escaped(text: str) -> str:
    """Return a text as the value of a text property; nothing in it is obeyed or hidden."""
    return "".join(_ESCAPES.get(char, char) for char in visible(text, lines=True))


def folded(line: str) -> bytes:
    """Return a content line in octets, folded between characters, with its CR LF."""
    lines, here = [], b""
    for char in line:
        octets = char.encode()
        if len(here) + len(octets) > LONGEST_LINE:
            lines.append(here)
            here = b" "
        here += octets
    return b"\r\n".join([*lines, here]) + b"\r\n"


def calendar(job: Job) -> tuple[bytes, int]:
    """Return the deadlines that have a day as iCalendar, and how many they are.

    The name of each stays the same however often the file is written, and its number goes up with
    the record, so that a calendar takes in what changed and doubles nothing.
    """
    listed = [one for one in deadlines_of(job) if one.due is not None and not one.idle]
    lines = [line for one in listed for line in _event(job, one)]
    ours = [HEAD.decode(), "CALSCALE:GREGORIAN", *lines, "END:VCALENDAR"]
    head, *rest = ours
    first = f"{head} {__version__}//EN".split("\r\n")
    return b"".join(map(folded, [*first, *rest])), len(listed)


def _event(job: Job, one: Deadline) -> Iterator[str]:
    now, zone = job.clock(), site_zone(job)
    words = {"what": due_words.title(one), "house": job.board.plan.house}
    shown = due_words.until(one, zone)
    yield "BEGIN:VEVENT"
    yield f"UID:{one.id}.{job.record.events[0].id[:32]}@siltline.invalid"
    yield f"DTSTAMP:{_utc(now)}"
    yield f"SEQUENCE:{len(job.record.events)}"
    yield from _span(one)
    yield f"SUMMARY:{escaped(say('due.calendar', **words))}"
    yield f"DESCRIPTION:{escaped(chr(10).join([shown, *due_words.told(one, zone)]))}"
    yield f"STATUS:{'CANCELLED' if one.state == 'met' else 'CONFIRMED'}"
    yield "TRANSP:TRANSPARENT"
    if one.state == "runs":
        told = escaped(say("due.reminder", when=shown, **words))
        for at in _reminders(one, now, zone):
            yield from ("BEGIN:VALARM", "ACTION:DISPLAY", f"DESCRIPTION:{told}")
            yield from (f"TRIGGER;VALUE=DATE-TIME:{_utc(at)}", "END:VALARM")
    yield "END:VEVENT"


def _span(one: Deadline) -> Iterator[str]:
    """Yield when an event is: a whole day, or the window of hours up to its end."""
    if one.day is not None:
        yield f"DTSTART;VALUE=DATE:{_day(one.day)}"
        yield f"DTEND;VALUE=DATE:{_day(one.day + timedelta(days=1))}"
    elif one.due is not None:
        yield f"DTSTART:{_utc(one.opens or one.due - timedelta(hours=1))}"
        yield f"DTEND:{_utc(one.due)}"


def _reminders(one: Deadline, now: datetime, zone: tzinfo) -> Iterator[datetime]:
    """Yield when a calendar is to remind: nothing that has passed already."""
    for before in one.rule.warn:
        if one.day is not None:
            at = science.instant(datetime.combine(one.day - before, _MORNING), zone)
        elif one.due is not None:
            at = one.due - before
        if at > now:
            yield at


def _utc(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _day(day: date) -> str:
    return f"{day:%Y%m%d}"


def write_calendar(job: Job, path: Path) -> int:
    """Write the deadlines that have a day; the file appears whole or not at all.

    Returns:
        How many deadlines it holds; 0 where none has a day, and nothing was written.

    Raises:
        WrongUse: something stands under the name that is no calendar of ours.
        Unreadable: it cannot be written.
    """
    text, count = calendar(job)
    if not count:
        return 0
    try:
        _ensure_ours(path)
        whole_file(path, text)
    except OSError as fault:
        raise Unreadable(say("due.cannot", path=path, fault=why(fault))) from fault
    return count


def _ensure_ours(path: Path) -> None:
    """Refuse to replace what is no calendar of ours."""
    if not path.exists():
        return
    taken = path.is_dir()
    if not taken:
        with path.open("rb") as file:
            taken = file.read(len(HEAD)) != HEAD
    if taken:
        raise WrongUse(say("due.taken", path=path))
