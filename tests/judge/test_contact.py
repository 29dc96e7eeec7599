"""Contact times: by time, by two laptops, undone, a clock set back, a laptop asleep; laws.

No source gives one time for all products (the label decides), so the times here are invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline import times
from siltline.judge.causes import Causes
from siltline.judge.contact import (
    LONGEST_UNSEEN_S,
    Run,
    Standing,
    clock_face,
    look_every_s,
    running,
    shows,
    standing,
)
from siltline.judge.ledger import Ledger, extend, fold
from siltline.record import Event, seal

START = datetime(2026, 3, 12, 8, 0, tzinfo=UTC)
HERE, THERE = "000000000000000a", "000000000000000b"
STEP = "sanitise/den"


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def said(
    kind: str,
    minutes: float,
    *parents: Event,
    how: str = "",
    device: str = HERE,
    by: str | None = "Ada",
) -> Event:
    body: dict[str, object] = {"step": STEP}
    if kind == "begun":
        body["minutes"] = "10 min"
    if how:
        body["how"] = how
    told = {"at": times.written(at(minutes)), "device": device, "by": by}
    return seal(f"wet-{kind}", body, parents=sorted(p.id for p in parents), **told)


def chain(*marks: tuple[str, float] | tuple[str, float, str]) -> list[Event]:
    events: list[Event] = []
    for kind, minutes, *how in marks:
        events.append(said(kind, minutes, *events[-1:], how="".join(how)))
    return events


def run_of(events: Sequence[Event]) -> Run:
    (run,) = fold(events).wet[STEP]
    return run


def now(events: Sequence[Event], minutes: float) -> Standing:
    return standing(run_of(events), at(minutes))


@pytest.mark.parametrize(
    ("minutes", "state", "left_s", "asks"),
    [
        (0, "running", 600, False),
        (3.33, "running", 400.2, False),
        (200 / 60, "running", 400, True),  # a third of ten minutes
        (599.999 / 60, "running", 0.001, True),
        (10, "over", 0, False),
        (12 * 60, "over", 0, False),  # a night with the lid closed
    ],
)
def test_a_contact_time_stands_by_the_time_that_has_passed(
    minutes: float, state: str, left_s: float, asks: bool
) -> None:
    one = now(chain(("begun", 0)), minutes)
    assert (one.state, one.asks) == (state, asks)
    assert one.left_s == pytest.approx(left_s, abs=0.002)
    assert one.over_at == at(10)
    assert one.urgent is (state == "over" or asks)


def test_a_look_puts_the_next_one_off_and_adds_no_time() -> None:
    events = chain(("begun", 0), ("seen", 3))
    assert not now(events, 6).asks
    assert now(events, 6.34).asks
    assert now(events, 9.9).state == "running"
    assert len(now(events, 9).looks) == 1


@pytest.mark.parametrize(
    ("wanted_s", "every_s"), [(30, 10), (600, 200), (900, 300), (3600, LONGEST_UNSEEN_S)]
)
def test_a_surface_is_looked_at_after_a_third_and_after_five_minutes_at_most(
    wanted_s: float, every_s: float
) -> None:
    assert look_every_s(wanted_s) == every_s


def test_wetted_again_the_time_counts_anew() -> None:
    events = chain(("begun", 0), ("seen", 5), ("again", 7))
    assert now(events, 16.9).state == "running"
    assert now(events, 17).state == "over"
    assert now(events, 17).looks == ()  # what was seen before it dried counts no more


def test_where_the_label_lets_it_go_on_what_was_seen_wet_counts() -> None:
    events = chain(("begun", 0), ("seen", 5), ("again", 7, "goes-on"))
    assert now(events, 7).counted_s == 300
    assert now(events, 11.9).state == "running"
    assert now(events, 12).state == "over"
    unseen = chain(("begun", 0), ("again", 7, "goes-on"))
    assert now(unseen, 7).counted_s == 0  # how long it was wet nobody saw


@pytest.mark.parametrize(
    ("events", "state", "counted_s"),
    [
        (chain(("begun", 0), ("ended", 9.99)), "early", 599.4),
        (chain(("begun", 0), ("ended", 10)), "whole", 600),
        (chain(("begun", 0), ("again", 7), ("ended", 12)), "early", 300),
        (chain(("begun", 0), ("seen", 9), ("ended", 15, "dried")), "early", 540),
        (chain(("begun", 0), ("seen", 11), ("ended", 15, "dried")), "whole", 660),
        (chain(("begun", 0), ("ended", 15, "dried")), "early", 0),
    ],
)
def test_an_end_is_whole_or_early(events: list[Event], state: str, counted_s: float) -> None:
    one = now(events, 600)
    assert (one.state, one.counted_s) == (state, pytest.approx(counted_s))
    assert one == now(events, 0)  # what is ended stands as it ended, whatever the time is


@pytest.mark.parametrize(
    ("looker", "ender", "watched"),
    [("Ada", "ada", True), ("Ben", "Ada", False), ("Ada", "Ben", False), ("", "Ada", False)],
)
def test_a_watched_clock_is_one_persons(looker: str, ender: str, watched: bool) -> None:
    begun = said("begun", 0)
    seen = said("seen", 5, begun, by=looker)
    looked = [seen] if looker else []
    end = said("ended", 11, looked[-1] if looked else begun, by=ender)
    assert now([begun, *looked, end], 11).watched is watched


def test_an_early_one_is_never_watched() -> None:
    assert not now(chain(("begun", 0), ("seen", 5), ("ended", 6)), 6).watched


def test_a_clock_that_was_set_back_makes_less_count_and_is_told() -> None:
    begun = chain(("begun", 0))
    one = now(begun, -60)
    assert (one.state, one.set_back, one.counted_s, one.left_s) == ("running", True, 0, 600)
    events = chain(("begun", 0), ("seen", -57), ("ended", -49))
    assert now(events, 0).set_back
    assert now(events, 0).state == "early"
    anew = chain(("begun", 0), ("again", -57), ("ended", -46))
    assert not now(anew, 0).set_back  # counted from a wetting by the clock as it is now
    assert now(anew, 0).state == "whole"


def test_two_contact_times_of_two_laptops_stand_side_by_side() -> None:
    here, there = said("begun", 0), said("begun", 4, device=THERE, by="Ben")
    ended = said("ended", 11, here)
    for events in ([here, there, ended], [there, ended, here], [ended, here, there]):
        ledger = fold(events)
        first, second = ledger.wet[STEP]
        assert standing(first, at(11)).state == "whole"
        assert standing(second, at(11)).state == "running"  # the end did not know of it
        assert [one.run for one in running(ledger.wet, at(11))] == [second]
    both = said("ended", 20, ended, there)
    assert running(fold([here, there, ended, both]).wet, at(20)) == []


def test_of_two_ends_the_one_that_says_least_counts() -> None:
    begun = said("begun", 0)
    early, whole = said("ended", 4, begun, device=THERE, by="Ben"), said("ended", 12, begun)
    one = now([begun, early, whole], 20)
    assert (one.state, one.end.by if one.end else "") == ("early", "Ben")
    assert one.laptops == 2


def test_a_surface_that_one_found_dry_counts_anew_whatever_the_other_said() -> None:
    begun = said("begun", 0)
    dried, ended = said("again", 5, begun, device=THERE, by="Ben"), said("ended", 11, begun)
    assert now([begun, dried, ended], 11).state == "early"


def test_only_a_whole_one_that_knew_of_the_early_one_makes_it_good() -> None:
    first = chain(("begun", 0), ("ended", 4))
    beside = said("begun", 1, device=THERE, by="Ben")
    ended = said("ended", 12, beside, device=THERE, by="Ben")
    ledger = fold([*first, beside, ended])
    told = shows(ledger.wet[STEP], ledger.causes.knew)
    assert (len(told.early), told.whole) == (1, ())
    again = said("begun", 20, first[-1], ended)
    ledger = fold([*first, beside, ended, again, said("ended", 31, again)])
    told = shows(ledger.wet[STEP], ledger.causes.knew)
    assert (told.early, len(told.whole), told.longest_s) == ((), 2, 600)


@pytest.mark.parametrize(("undone", "state"), [(0, None), (1, "over"), (2, "over"), (3, "over")])
def test_each_act_can_be_taken_back(undone: int, state: str | None) -> None:
    events = chain(("begun", 0), ("seen", 5), ("again", 6), ("ended", 7))
    told = {"at": times.written(at(8)), "device": HERE, "by": "Ada"}
    event = seal("undone", {"events": [events[undone].id]}, parents=[events[-1].id], **told)
    ledger = fold([*events, event])
    runs = ledger.wet.get(STEP, [])
    assert events[undone] not in ledger.acts
    assert len(ledger.acts) == 3
    if state is None:
        assert runs == []
    else:
        assert len(runs[0].marks) == 3


def test_what_is_read_off_a_stopwatch_is_cut_off_never_rounded_up() -> None:
    assert clock_face(599.999) == "9:59"
    assert clock_face(0) == "0:00"
    assert clock_face(3723.5) == "1:02:03"


KINDS = st.sampled_from(
    [("seen", ""), ("again", ""), ("again", "goes-on"), ("ended", ""), ("ended", "dried")]
)
MARKS = st.lists(st.tuples(KINDS, st.integers(-300, 900)), max_size=8)


def told_events(marks: list[tuple[tuple[str, str], int]]) -> list[Event]:
    """Return a chain; each mark so many seconds after the one before, by its clock."""
    events, minutes = [said("begun", 0)], 0.0
    for (kind, how), seconds in marks:
        minutes += seconds / 60
        events.append(said(kind, minutes, events[-1], how=how))
    return events


@given(MARKS, st.integers(-3600, 7200))
def test_no_contact_time_is_over_before_its_minutes_have_passed_since_it_counts_anew(
    marks: list[tuple[tuple[str, str], int]], later: int
) -> None:
    events = told_events(marks)
    run = run_of(events)
    one = standing(run, at(later / 60))
    own = [m for m in run.marks if one.end is None or m.event != one.end.event]
    anew = [m for m in own if m.kind == "wet-begun" or (m.kind == "wet-again" and not m.how)]
    since = times.read(anew[-1].at)
    # the farthest that the clock went on since then, however it was set back in between
    after = [times.read(m.at) for m in run.marks[run.marks.index(anew[-1]) :]]
    until = [*after, *([] if one.end else [at(later / 60)])]
    passed = sum(max(0.0, (b - a).total_seconds()) for a, b in pairwise([since, *until]))
    assert one.counted_s <= passed + 1e-6
    if one.state in ("over", "whole"):
        assert passed >= 600 - 1e-6
    assert one.left_s >= 0
    assert one.counted_s >= 0


@given(MARKS, st.integers(0, 7200))
def test_it_stands_alike_folded_at_once_and_bit_by_bit(
    marks: list[tuple[tuple[str, str], int]], later: int
) -> None:
    events = told_events(marks)
    ledger = Ledger(Causes(()))
    for event in events:
        assert extend(ledger, [event])
    (run,) = ledger.wet[STEP]
    assert standing(run, at(later)) == standing(run_of(events), at(later))


@given(st.data())
def test_the_order_in_which_events_of_two_laptops_come_in_changes_nothing(
    data: st.DataObject,
) -> None:
    begun = said("begun", 0)
    events = [begun]
    for device in (HERE, THERE):
        last, minutes = begun, 0.0
        for (kind, how), seconds in data.draw(MARKS):
            minutes += seconds / 60
            last = said(kind, minutes, last, how=how, device=device)
            events.append(last)
    unique = list({event.id: event for event in events}.values())
    shuffled = data.draw(st.permutations(unique))
    moment = at(data.draw(st.integers(0, 120)))
    one, other = fold(unique), fold(shuffled)
    assert [standing(r, moment) for r in one.wet[STEP]] == [
        standing(r, moment) for r in other.wet[STEP]
    ]
    assert one.wet == other.wet
