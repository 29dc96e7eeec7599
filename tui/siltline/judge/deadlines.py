"""Deadlines of a loss: what is due, from what it counts, for whom, who says so. No clock here.

A number stands only where a source has one for this very policy. Of any other policy, or of one
that nobody named, the answer is to ask: it stands in the policy.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo

from msgspec import Struct, field
from msgspec.structs import replace

from siltline.science import due as science
from siltline.sentences import say

STATES = ("past", "runs", "prompt", "waits", "ask", "policy", "met")
NEAR_DAYS = 7  # days before its end from which a deadline is told without being asked for


class Source(Struct, frozen=True):
    """Who says so: a title with its section, and how it was seen: read, summary, memory."""

    title: str
    seen: str

    @property
    def words(self) -> str:
        """Return it as the steps tell their sources."""
        return say(f"source.{self.seen}", title=self.title)


class Rule(Struct, frozen=True):
    """A deadline as the table has it.

    Attributes:
        id: its name, never reused.
        counts: the key of `loss` in the house sheet from which it counts.
        sources: who says so.
        days: days of the calendar at the site, due at the end of the last.
        years: likewise.
        hours: that pass.
        opens: hours after which it is no more sure to be early enough; 0 where nothing opens.
        policy: the kinds of policy that it holds for; () for every house.
        others: what other policies have too, under a number of their own.
        recorded: the key of `loss` that holds another last day, given in writing.
        met_by: the key of `loss` with the day on which it was met, or "".
        step: the rule of the steps that meet it, or "".
        owed: to the owner, by somebody else: told, but nobody here can miss it.
        weight: of the finding where it is past.
        warn: how long before its end a calendar reminds.
    """

    id: str
    counts: str
    sources: tuple[Source, ...]
    days: int = 0
    years: int = 0
    hours: int = 0
    opens: int = 0
    policy: tuple[str, ...] = ()
    others: bool = False
    recorded: str = ""
    met_by: str = ""
    step: str = ""
    owed: bool = False
    weight: str = "note"
    warn: tuple[timedelta, ...] = ()

    @property
    def long(self) -> timedelta:
        """Return how long it runs."""
        return timedelta(days=self.days + 365 * self.years, hours=self.hours)


_FORM = "Federal flood policy, Dwelling Form F-122, October 2021, "
_FEDERAL = ("federal",)
_DAYS = tuple(timedelta(days=n) for n in (14, 3))

RULES: tuple[Rule, ...] = (
    Rule(
        "mould", "water-out",
        (Source("CDC, mould after a flood: dry within 24 to 48 hours", "summary"),
         Source("EPA mold course, table 1: within 48 hours", "read")),
        hours=48, opens=24, warn=(timedelta(hours=24), timedelta(hours=6)),
    ),
    Rule(
        "freezer", "water-out",
        (Source("FEMA: photographs, papers, books, textiles not dry in 48 hours go to a freezer",
                "read"),
         Source("National Park Service, Primer on Disaster Preparedness: warm and humid, mould in"
                " 48 hours", "read")),
        hours=48, step="wet-photos-frozen", warn=(timedelta(hours=24), timedelta(hours=6)),
    ),
    Rule(
        "notice", "water-in",
        (Source("Dwelling form that tracks the federal flood policy: prompt written notice",
                "summary"),),
        policy=("federal", "private"), step="insurer-told",
    ),
    Rule(
        "proof-of-loss", "water-in",
        (Source(_FORM + "VII.G.4: signed and sworn, within 60 days of the loss", "summary"),),
        days=60, policy=_FEDERAL, others=True, recorded="proof-due", met_by="proof-sent",
        weight="decide", warn=_DAYS,
    ),
    Rule(
        "payment", "proof-sent",
        (Source("Dwelling form that tracks the federal flood policy: payable 60 days after the"
                " proof of loss, once the amount is agreed", "summary"),),
        days=60, policy=_FEDERAL, owed=True, warn=(timedelta(0),),
    ),
    Rule(
        "appeal", "denied",
        (Source("floodsmart.gov, appeal a claim: within 60 calendar days of the date of the letter",
                "read"),),
        days=60, policy=_FEDERAL, warn=_DAYS,
    ),
    Rule(
        "suit", "denied",
        (Source(_FORM + "VII.O: within one year of the written denial", "summary"),),
        years=1, policy=_FEDERAL, others=True, recorded="suit-due", weight="decide",
        warn=(timedelta(days=60), timedelta(days=14)),
    ),
)  # fmt: skip


class When(Struct, frozen=True):
    """A day at the site, and the instant of it (UTC) where a time of the day was told."""

    day: date
    at: datetime | None = None


class Known(Struct, frozen=True):
    """What is known of a loss.

    Attributes:
        house: what people call it.
        zone: of the site.
        zone_told: whether the sheet names it; else it is the laptop's.
        policy: federal, private, none, or "" where nobody said.
        dates: key of `loss` -> when.
        unread: keys of `loss` that hold no date.
        steps: rule of a step -> whether all such steps of the plan are settled.
    """

    house: str
    zone: tzinfo
    zone_told: bool = True
    policy: str = ""
    dates: Mapping[str, When] = field(default_factory=dict)
    unread: tuple[str, ...] = ()
    steps: Mapping[str, bool] = field(default_factory=dict)


class Deadline(Struct, frozen=True):
    """One deadline as it stands.

    Attributes:
        rule: its line of the table.
        state: one of STATES.
        due: the instant at which it is past, UTC; None where none can be said.
        day: the last day at the site; None for hours.
        opens: the instant from which it may be too late already, UTC; None where none is.
        since: from when it counts.
        asks: what must be found out, in sentences.
        notes: what must be said of it, in sentences.
        idle: nothing in the plan is what it is about; it is listed for what may be found yet.
    """

    rule: Rule
    state: str
    due: datetime | None = None
    day: date | None = None
    opens: datetime | None = None
    since: When | None = None
    asks: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    idle: bool = False

    @property
    def id(self) -> str:
        """Return the name of its rule."""
        return self.rule.id


def deadlines(known: Known, now: datetime) -> list[Deadline]:
    """Return the deadlines of a loss, in the order of the table.

    Args:
        known: what is known of it.
        now: with an offset.
    """
    listed = [_one(rule, known, now) for rule in RULES if _concerns(rule, known)]
    return [one for one in listed if one is not None]


def _concerns(rule: Rule, known: Known) -> bool:
    """Tell whether a rule is about this house: by its policy, or whatever that may be."""
    if not rule.policy or known.policy in rule.policy:
        return bool(rule.long) or rule.step in known.steps
    if known.policy == "none":
        return False
    return rule.others


def _one(rule: Rule, known: Known, now: datetime) -> Deadline:
    met = rule.met_by in known.dates or known.steps.get(rule.step, False)
    found = _counted(rule, known)
    if met:
        return replace(found, state="met")
    if found.due is not None:
        return replace(found, state="past" if now.astimezone(UTC) >= found.due else "runs")
    return found


def _counted(rule: Rule, known: Known) -> Deadline:
    """Return a deadline with its end, or with what keeps that from being known."""
    since, given = known.dates.get(rule.counts), known.dates.get(rule.recorded)
    idle = bool(rule.step) and rule.step not in known.steps
    bare = Deadline(rule, "ask", since=since, notes=_notes(rule, known), idle=idle)
    odd = [key for key in (rule.counts, rule.recorded) if key in known.unread]
    if odd:
        return replace(bare, asks=tuple(say("due.unread", key=key) for key in odd))
    if given is not None:
        return _recorded(bare, given, known)
    if since is None or not rule.long or not _has_number(rule, known):
        return _without(bare, known)
    return _in_hours(bare, since, known) if rule.hours else _until(bare, _last(rule, since), known)


def _has_number(rule: Rule, known: Known) -> bool:
    """Tell whether the number of the table is that of this house's policy."""
    return not rule.policy or known.policy in rule.policy


def _without(bare: Deadline, known: Known) -> Deadline:
    """Return a deadline that has no end yet, and what that hangs on."""
    rule = bare.rule
    if not _has_number(rule, known):
        which = () if known.policy else (_question("policy", known),)
        return replace(bare, state="policy", asks=(say("due.in-the-policy"), *which))
    if not rule.long:
        return replace(bare, state="prompt")
    if rule.counts in ("denied", "proof-sent"):  # it may well never come to that
        return replace(bare, state="waits")
    return replace(bare, asks=(_question(rule.counts, known),))


def _last(rule: Rule, since: When) -> date:
    """Return the last day by the number of the table."""
    if rule.years:
        return science.after_years(since.day, rule.years)
    return science.after_days(since.day, rule.days)


def _question(key: str, known: Known) -> str:
    return say("due.ask", what=say(f"ask.field.{key}", name=known.house), key=f"loss.{key}")


def _until(one: Deadline, day: date, known: Known, also: Sequence[str] = ()) -> Deadline:
    """Return a deadline that ends with a day at the site."""
    end = science.end_of(day, known.zone)
    return replace(one, state="runs", due=end, day=day, notes=(*one.notes, *also))


def _recorded(one: Deadline, given: When, known: Known) -> Deadline:
    """Return a deadline with the last day that somebody gave in writing."""
    loss = known.dates.get("water-in")
    if loss is not None and given.day < loss.day:
        told = say("due.before-loss", key=f"loss.{one.rule.recorded}", day=shown_day(given.day))
        return replace(one, asks=(told,))
    also = [say("due.given")]
    if one.since is not None and _has_number(one.rule, known):
        own = _last(one.rule, one.since)
        also += [say("due.given-own", day=shown_day(own))] if own != given.day else []
    return _until(one, given.day, known, also)


def _in_hours(one: Deadline, since: When, known: Known) -> Deadline:
    rule, also = one.rule, list(one.notes)
    begun = since.at
    if begun is None:  # the earliest that it can be
        begun = science.begin_of(since.day, known.zone)
        also.append(say("due.no-time", key=f"loss.{rule.counts}"))
    opens = science.after_hours(begun, rule.opens) if rule.opens else None
    end = science.after_hours(begun, rule.hours)
    return replace(one, state="runs", due=end, opens=opens, notes=tuple(also))


def _notes(rule: Rule, known: Known) -> tuple[str, ...]:
    """Return what must be said of a deadline, whatever comes of it."""
    told = [] if known.zone_told or rule.id == "notice" else [say("due.no-zone")]
    first, last = known.dates.get("water-in"), known.dates.get("water-out")
    days = rule.counts == "water-in" and bool(rule.long)
    if days and first is not None and last is not None and first.day < last.day:
        told.append(say("due.which-day", first=shown_day(first.day), last=shown_day(last.day)))
    if rule.id == "proof-of-loss" and rule.recorded not in known.dates:
        told.append(say("due.no-extension"))
    if rule.step and rule.step not in known.steps:
        told.append(say("due.idle"))
    if rule.id == "appeal":
        told.append(say("due.weekend"))
    return tuple(told)


def shown_day(day: date) -> str:
    """Return a day for people, with its weekday and year, so that a mistake is seen."""
    from siltline.moments import DAYS, MONTHS  # noqa: PLC0415 - reads patterns

    month = MONTHS[day.month - 1].title()
    return f"{DAYS[day.weekday()].title()} {day.day} {month} {day.year}"
