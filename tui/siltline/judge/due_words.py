"""How deadlines are told: the end, how much is left, the one for the head line, the findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta, tzinfo

from siltline import times
from siltline.judge.deadlines import NEAR_DAYS, Deadline, When, shown_day
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.progress import lasting
from siltline.science import due as science
from siltline.sentences import say

_DAY = timedelta(days=1)
_HOURS_TOLD = timedelta(hours=72)  # a longer time is told in days


def title(one: Deadline) -> str:
    """Return what a deadline is called."""
    return say(f"due.title.{one.id}")


def at(moment: datetime, zone: tzinfo) -> str:
    """Return an instant for people, with its weekday, in a zone."""
    here = moment.astimezone(zone)
    return f"{shown_day(here.date()).partition(' ')[0]} {times.shown(moment, zone)}"


def _when(when: When, zone: tzinfo) -> str:
    return shown_day(when.day) if when.at is None else at(when.at, zone)


def until(one: Deadline, zone: tzinfo) -> str:
    """Return the end of a deadline at the site, or why there is none."""
    if one.day is not None:
        return say("due.day-end", day=shown_day(one.day))
    if one.due is not None:
        return say("due.at", at=at(one.due, zone))
    if one.state == "prompt":
        return say("due.prompt")
    if one.state == "waits":
        return say("due.waits", key=one.rule.counts)
    return one.asks[0] if one.asks else ""


def until_briefly(one: Deadline, zone: tzinfo) -> str:
    """Return the end as a date alone, or why there is none."""
    return until(one, zone) if one.day is None else shown_day(one.day)


def left(one: Deadline, now: datetime, zone: tzinfo) -> str:
    """Return how long is left or how long it is past; "" where neither can be said.

    Days are days of the calendar at the site; hours are hours that pass.
    """
    if one.due is None or one.state == "met":
        return ""
    if one.day is not None:
        return _days_left(science.days_left(one.day, now, zone))
    if one.state == "past":
        over = now - one.due
        days = say("due.past-days", n=over // _DAY)
        return days if over >= _HOURS_TOLD else say("due.past", long=_long(over))
    return _hours_left(one.opens, one.due, now)


def _days_left(days: int) -> str:
    if days == 0:
        return say("due.last-day")
    return say("due.left-days" if days > 0 else "due.past-days", n=abs(days))


def _hours_left(opens: datetime | None, due: datetime, now: datetime) -> str:
    if opens is None:
        return say("due.left", long=_long(due - now))
    if now < opens:
        return say("due.opens", long=_long(opens - now))
    return say("due.closes", long=_long(due - now))


def _long(time: timedelta) -> str:
    return lasting(max(0.0, time.total_seconds()))


def brief(one: Deadline, now: datetime, zone: tzinfo) -> str:
    """Return a deadline in a line: what, by when, how much is left or that it was met."""
    rest = say("due.met") if one.state == "met" else left(one, now, zone)
    line = say("due.head", what=title(one), left=until(one, zone))
    return say("due.line", line=line, rest=rest) if rest else line


def since(one: Deadline, zone: tzinfo) -> str:
    """Return from what and from when it counts; "" where nothing is known of that."""
    if one.since is None or one.state == "prompt":
        return ""
    what = say(f"due.from.{one.rule.counts}")
    return say("due.since", what=what, when=_when(one.since, zone))


def source(one: Deadline) -> str:
    """Return who says so; "" where the number of the table is not of this policy."""
    if one.state == "policy":
        return ""
    return say("due.source", source="; ".join(source.words for source in one.rule.sources))


def told(one: Deadline, zone: tzinfo) -> list[str]:
    """Return all else that is to be said of a deadline, what to do first, sources last."""
    met, rest = one.state == "met", one.asks[1:] if one.due is None else ()
    lines = [*rest, "" if met else say(f"due.do.{one.id}"), since(one, zone)]
    return [line for line in (*lines, *(() if met else one.notes), source(one)) if line]


def nearest(listed: Sequence[Deadline], now: datetime, zone: tzinfo) -> Deadline | None:
    """Return the deadline that is to be seen without being looked for.

    That is the one that ends first: of days within a week, of hours always. Where there is none,
    the last that is past and not met, for as long as it ran; after that only the list and the
    review tell it.
    """
    mine = [one for one in listed if one.due is not None and not (one.rule.owed or one.idle)]
    ahead = [one for one in mine if one.state == "runs" and _near(one, now, zone)]
    if ahead:
        return min(ahead, key=lambda one: one.due or now)
    past = [one for one in mine if one.state == "past" and now - (one.due or now) < one.rule.long]
    return max(past, key=lambda one: one.due or now, default=None)


def _near(one: Deadline, now: datetime, zone: tzinfo) -> bool:
    return one.day is None or science.days_left(one.day, now, zone) <= NEAR_DAYS


def heads(listed: Sequence[Deadline], now: datetime, zone: tzinfo) -> tuple[str, ...]:
    """Return the nearest deadline in a few words, and in fewer; nothing where none is near."""
    one = nearest(listed, now, zone)
    if one is None:
        return ()
    told = left(one, now, zone), left_briefly(one, now, zone)
    return tuple(say("due.head", what=title(one), left=text) for text in told)


def left_briefly(one: Deadline, now: datetime, zone: tzinfo) -> str:
    """Return how long is left in so few words that a narrow line holds them; "" as for `left`."""
    if one.due is None or one.state == "met":
        return ""
    if one.state == "past":
        return say("due.short-past")
    if one.day is not None:
        days = science.days_left(one.day, now, zone)
        return say("due.left-days", n=days) if days else say("due.short-today")
    if one.opens is not None and now < one.opens:
        return say("due.short-opens", long=_long(one.opens - now))
    return say("due.left", long=_long(one.due - now))


def of_deadlines(listed: Sequence[Deadline], zone: tzinfo) -> Iterator[Finding]:
    """Yield a finding for each deadline that is past and not met.

    What somebody else owes is one too. Where nothing in the plan is to be frozen, that is none.
    """
    for one in listed:
        if one.state != "past" or one.idle:
            continue
        about = {"what": title(one), "due": until(one, zone), "do": say(f"due.do.{one.id}")}
        yield finding("deadline-past", one.rule.weight, None, **about)
