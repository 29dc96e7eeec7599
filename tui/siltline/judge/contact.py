"""Contact times: how long a surface was kept wet, from what people said and when. Pure.

A disinfectant works only while the surface is visibly wet, for the time on its label. What was
said is kept as marks of a run; how it stands is computed from their times and from `now`, so a
program that was closed and a laptop that slept lose nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from msgspec import Struct, field

from siltline import times
from siltline.record import Event
from siltline.units import quantity

BEGUN, AGAIN, SEEN, ENDED = KINDS = ("wet-begun", "wet-again", "wet-seen", "wet-ended")
GOES_ON = "goes-on"  # of a wetting: its label lets the time before count
DRIED = "dried"  # of an end: it was found dry
# Roles of two photos that show a surface wet: when its time began, and when it was over.
ROLES = ("wet-begin", "wet-end")
# Thirds: even the shortest time is looked at twice before it is over. Five minutes: in moving
# air a wiped film is gone in about that (common practice), so a longer time is not left longer.
LOOKS_IN_A_TIME = 3
LONGEST_UNSEEN_S = 300.0
Knew = Callable[[str, str], bool]


class Mark(Struct, frozen=True):
    """What somebody said of a run: one of KINDS, when by whose laptop, and how."""

    kind: str
    event: str
    at: str
    by: str
    device: str
    how: str = ""


class Run(Struct):
    """A surface that was wetted: at which step, how long the label wants, with what, its marks."""

    step: str
    minutes: str
    product: str
    marks: list[Mark]

    @property
    def begun(self) -> Mark:
        """Return how it began."""
        return self.marks[0]


class Standing(Struct, frozen=True):
    """How a run stands.

    Attributes:
        run: which.
        state: running, over (nobody ended it yet), early or whole.
        wanted_s, counted_s: how long it must stay wet, and how long it counts as wet, seconds.
        over_at: when the time is over, or was.
        asks: whether somebody must look now whether it is still wet.
        looks: that it was seen wet since the time counts.
        watched: whether one person wetted it, saw it wet meanwhile and ended it whole.
        end: what ended it; of several the one that says least.
        set_back: whether a clock was set back meanwhile, so that less counts than was so.
        laptops: how many laptops' clocks it is reckoned from.
    """

    run: Run
    state: str
    wanted_s: float
    counted_s: float
    over_at: datetime
    asks: bool = False
    looks: tuple[Mark, ...] = ()
    watched: bool = False
    end: Mark | None = None
    set_back: bool = False
    laptops: int = 1

    @property
    def left_s(self) -> float:
        """Return how many seconds it must still stay wet; 0 where the time is over."""
        return max(0.0, self.wanted_s - self.counted_s)

    @property
    def urgent(self) -> bool:
        """Tell whether somebody must go there now."""
        return self.asks or self.state == "over"


def take(runs: dict[str, list[Run]], event: Event, knew: Knew) -> None:
    """Fold an event of one of KINDS: it is said of the runs that its writer knew to go on."""
    body = event.body
    here = runs.setdefault(body["step"], [])
    told = event.id, event.at, event.by or "", event.device
    mark = Mark(event.kind, *told, body.get("how", ""))
    if event.kind == BEGUN:
        here.append(Run(body["step"], body["minutes"], body.get("product", ""), [mark]))
        return
    for run in here:
        ends = (m.event for m in run.marks if m.kind == ENDED)
        if knew(event.id, run.begun.event) and not any(knew(event.id, end) for end in ends):
            run.marks.append(mark)


class _Count(Struct):
    """Counts the time that a surface was wet, mark by mark."""

    carried: timedelta = timedelta()
    since: datetime | None = None
    wet_at: datetime | None = None  # the last moment at which it was known to be wet
    wetted_by: str = ""
    looks: list[Mark] = field(default_factory=list)
    newest: dict[str, datetime] = field(default_factory=dict)
    set_back: bool = False

    def take(self, mark: Mark) -> None:
        at = times.read(mark.at)
        if mark.kind in (BEGUN, AGAIN):
            self._wetted(mark, at)
        elif mark.kind == SEEN:
            self.looks.append(mark)
            self.wet_at = max(at, self.wet_at or at)
        before = self.newest.get(mark.device, at)
        self.set_back |= at < before
        self.newest[mark.device] = max(at, before)

    def _wetted(self, mark: Mark, at: datetime) -> None:
        if mark.kind == AGAIN and mark.how == GOES_ON:
            # How long it had been dry nobody knows: it counts as far as it was seen wet.
            self.carried = self.counted(self.wet_at or at)
        else:
            self.carried, self.looks = timedelta(), []
            self.newest, self.set_back = {}, False
        self.since = self.wet_at = at
        self.wetted_by = mark.by

    def counted(self, until: datetime) -> timedelta:
        return self.carried + max(timedelta(), until - (self.since or until))


def _counted(marks: Sequence[Mark]) -> _Count:
    count = _Count()
    for mark in marks:
        count.take(mark)
    return count


def _wanted(run: Run) -> timedelta:
    return timedelta(seconds=float(quantity(run.minutes, "time").si))


def _standing(run: Run, count: _Count, until: datetime) -> Standing:
    """Return a run that goes on, as it stands at a moment."""
    wanted, counted = _wanted(run), count.counted(until)
    newest = max(count.newest.values())
    since, seen = count.since or until, count.wet_at or until
    over = counted >= wanted
    unseen = (until - seen).total_seconds()
    return Standing(
        run,
        "over" if over else "running",
        wanted.total_seconds(),
        counted.total_seconds(),
        since + (wanted - count.carried),
        asks=not over and unseen >= look_every_s(wanted.total_seconds()),
        looks=tuple(count.looks),
        set_back=count.set_back or until < newest,
        laptops=len(count.newest),
    )


def look_every_s(wanted_s: float) -> float:
    """Return how many seconds a surface is left alone before somebody is asked to look."""
    return min(wanted_s / LOOKS_IN_A_TIME, LONGEST_UNSEEN_S)


def _ended(run: Run, number: int) -> Standing:
    """Return how a run stands by the end that is its mark of that number."""
    end = run.marks[number]
    count = _counted([m for m in run.marks[:number] if m.kind != ENDED])
    seen = count.wet_at
    count.take(end)
    until = seen if end.how == DRIED and seen else times.read(end.at)
    found = _standing(run, count, until)
    names = {end.by.casefold(), count.wetted_by.casefold()}
    looked = any({look.by.casefold()} == names for look in found.looks)
    whole = found.state == "over"
    return Standing(
        run, "whole" if whole else "early", found.wanted_s, found.counted_s, found.over_at,
        looks=found.looks, watched=whole and looked, end=end, set_back=count.set_back,
        laptops=found.laptops,
    )  # fmt: skip


def ended(run: Run) -> Standing | None:
    """Return how a run ended, by the end that says least; None while it goes on."""
    ends = [_ended(run, n) for n, mark in enumerate(run.marks) if mark.kind == ENDED]
    return min(ends, key=lambda one: (one.counted_s, one.watched), default=None)


def standing(run: Run, now: datetime) -> Standing:
    """Return how a run stands at a moment by the laptop's clock."""
    return ended(run) or _standing(run, _counted(run.marks), now)


class Shows(Struct, frozen=True):
    """What the runs of a step show of its contact time.

    Attributes:
        whole: those that ended whole, unless one was ended early after them.
        early: those that ended early and were not done again whole by somebody who knew.
        open: those that nobody ended.
        longest_s: the longest time that any of them was to last; 0 where there is none.
    """

    whole: tuple[Standing, ...] = ()
    early: tuple[Standing, ...] = ()
    open: tuple[Run, ...] = ()
    longest_s: float = 0.0


def shows(runs: Sequence[Run], knew: Knew) -> Shows:
    """Return what the runs of a step show; nothing here depends on the time of the day."""
    found = [(run, ended(run)) for run in runs]
    done = [one for _, one in found if one is not None]
    whole = tuple(one for one in done if one.state == "whole")
    early = tuple(
        one
        for one in done
        if one.state == "early"
        and one.end is not None
        and not any(knew(later.run.begun.event, one.end.event) for later in whole)
    )
    going = tuple(run for run, one in found if one is None)
    longest = max((_wanted(run).total_seconds() for run in runs), default=0.0)
    return Shows(() if early else whole, early, going, longest)


def running(runs: dict[str, list[Run]], now: datetime) -> list[Standing]:
    """Return the runs that nobody ended, the one that matters most first."""
    going = [
        _standing(run, _counted(run.marks), now)
        for here in runs.values()
        for run in here
        if all(mark.kind != ENDED for mark in run.marks)
    ]
    return sorted(going, key=lambda one: (one.state != "over", not one.asks, one.over_at))


def clock_face(seconds: float) -> str:
    """Return a length of time as a stopwatch shows it, cut off to whole seconds: 9:59, 1:02:03."""
    minutes, left = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"
