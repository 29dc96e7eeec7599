"""Deadlines: a number only where a source has one for this policy; what is unknown is asked for."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.judge.deadlines import RULES, STATES, Deadline, Known, When, deadlines
from siltline.judge.due_words import brief, heads, left, of_deadlines, told, until

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 3, 13, 17, 0, tzinfo=UTC)  # noon in Chicago
IN = When(date(2026, 3, 10), datetime(2026, 3, 11, 2, 30, tzinfo=UTC))
OUT = When(date(2026, 3, 12), datetime(2026, 3, 12, 10, 0, tzinfo=UTC))
DATES = {"water-in": IN, "water-out": OUT}


def known(policy: str = "federal", steps: dict[str, bool] | None = None, **dates: When) -> Known:
    named = {key.replace("_", "-"): when for key, when in dates.items()}
    return Known("Test house", ZONE, policy=policy, dates={**DATES, **named}, steps=steps or {})


def one(id_: str, of: Known, now: datetime = NOW) -> Deadline:
    return next(d for d in deadlines(of, now) if d.id == id_)


def test_the_federal_proof_of_loss_is_due_when_the_sixtieth_day_ends() -> None:
    # loss of 14 Sep 2021, due 13 Nov 2021: propertyinsurancecoveragelaw.com (seen in a summary)
    loss = Known("x", ZONE, policy="federal", dates={"water-in": When(date(2021, 9, 14))})
    # 7 Nov 2021 was the end of daylight saving: midnight is 06:00 UTC by then, not 05:00
    end = datetime(2021, 11, 14, 6, 0, tzinfo=UTC)
    found = one("proof-of-loss", loss, end - timedelta(seconds=1))
    assert (found.day, found.due, found.state) == (date(2021, 11, 13), end, "runs")
    assert one("proof-of-loss", loss, end).state == "past"
    assert until(found, ZONE) == "Sat 13 Nov 2021, until the day ends"
    assert left(found, end - timedelta(seconds=1), ZONE) == "today is the last day"


@pytest.mark.parametrize("policy", ["private", ""])
def test_of_another_policy_or_none_that_is_known_no_number_is_told(policy: str) -> None:
    listed = {d.id: d for d in deadlines(known(policy, denied=IN), NOW)}
    assert listed.keys() >= {"mould", "freezer", "proof-of-loss", "suit"}
    assert not listed.keys() & {"payment", "appeal"}
    for name in ("proof-of-loss", "suit"):
        found = listed[name]
        assert (found.state, found.due, found.day) == ("policy", None, None)
        words = " ".join([until(found, ZONE), *told(found, ZONE)])
        assert words.startswith("Ask: it stands in the policy. No number is taken for it here.")
        assert "60" not in words
        assert "one year" not in words
        assert ("Ask the kind of flood policy" in words) == (not policy)


def test_without_a_policy_only_what_the_water_sets_is_listed() -> None:
    assert [d.id for d in deadlines(known("none"), NOW)] == ["mould", "freezer"]


def test_a_last_day_that_was_given_in_writing_counts_for_any_policy() -> None:
    for policy in ("federal", "private", ""):
        found = one("proof-of-loss", known(policy, proof_due=When(date(2026, 7, 1))))
        assert (found.day, found.state) == (date(2026, 7, 1), "runs")
        own = "By the policy's own number it would be Sat 9 May 2026."
        assert (own in found.notes) == (policy == "federal")
        assert not any("None is assumed" in note for note in found.notes)
    assert any("None is assumed" in note for note in one("proof-of-loss", known()).notes)


def test_a_given_day_before_the_loss_is_asked_about() -> None:
    found = one("proof-of-loss", known(proof_due=When(date(2025, 7, 1))))
    assert (found.state, found.due) == ("ask", None)
    assert "loss.proof-due is Tue 1 Jul 2025, before the loss" in found.asks[0]


def test_a_loss_over_several_days_says_which_counts() -> None:
    notes = " ".join(one("proof-of-loss", known()).notes)
    assert "from Tue 10 Mar 2026 to Thu 12 Mar 2026. Counted from the first day" in notes
    short = one("proof-of-loss", known(water_out=When(IN.day)))
    assert not any("Counted from the first day" in note for note in short.notes)


def test_suit_and_appeal_count_from_the_letter_and_wait_for_it() -> None:
    for name in ("suit", "appeal"):
        assert one(name, known()).state == "waits"
    denied = known(denied=When(date(2026, 7, 20)))
    assert one("suit", denied).day == date(2027, 7, 20)
    assert one("appeal", denied).day == date(2026, 9, 18)  # 60 days on
    assert any("next working day" in note for note in one("appeal", denied).notes)


def test_a_proof_that_was_sent_is_met_and_lets_the_payment_run() -> None:
    sent = known(proof_sent=When(date(2026, 5, 2)))
    assert one("proof-of-loss", sent).state == "met"
    assert one("payment", sent).day == date(2026, 7, 1)
    assert one("payment", known()).state == "waits"
    late = datetime(2026, 8, 1, tzinfo=UTC)
    assert [f.weight for f in of_deadlines([one("payment", sent, late)], ZONE)] == ["note"]
    assert heads([one("payment", sent, late)], late, ZONE) == ()  # nobody here can miss it


@pytest.mark.parametrize(
    ("hours", "state", "words"),
    [
        (0, "runs", "mould can begin in 24 h 0 min"),
        (23.5, "runs", "mould can begin in 30 min"),
        (24, "runs", "mould can begin now, 24 h 0 min left"),
        (47.5, "runs", "mould can begin now, 30 min left"),
        (48, "past", "past for 1 s"),
        (50, "past", "past for 2 h 0 min"),
        (48 + 72, "past", "past for 3 days"),
    ],
)
def test_the_mould_window(hours: float, state: str, words: str) -> None:
    assert OUT.at is not None
    now = OUT.at + timedelta(hours=hours)
    found = one("mould", known(), now)
    assert (found.state, left(found, now, ZONE)) == (state, words)


def test_hours_pass_across_daylight_saving() -> None:
    out = datetime(2026, 3, 7, 20, 0, tzinfo=ZONE)  # clocks went forward on the 8th
    found = one("mould", known(water_out=When(out.date(), out.astimezone(UTC))))
    assert until(found, ZONE) == "Mon 9 Mar 2026 21:00"


def test_a_day_without_a_time_counts_from_its_beginning_and_says_so() -> None:
    found = one("mould", known(water_out=When(date(2026, 3, 12))))
    assert found.due == datetime(2026, 3, 14, 5, 0, tzinfo=UTC)  # midnight in Chicago
    assert any("no time of the day" in note for note in found.notes)


def test_what_is_not_known_or_cannot_be_read_is_asked_for() -> None:
    nothing = Known("Test house", ZONE, policy="federal")
    asked = {d.id: d for d in deadlines(nothing, NOW)}
    assert asked["mould"].asks == ("Ask when the water left Test house (loss.water-out).",)
    assert asked["proof-of-loss"].asks == (
        "Ask when the water came into Test house (loss.water-in).",
    )
    odd = Known("x", ZONE, policy="federal", dates=DATES, unread=("proof-due",))
    assert "holds no date" in one("proof-of-loss", odd).asks[0]
    assert one("proof-of-loss", odd).due is None


def test_the_steps_of_the_plan_meet_freezer_and_notice() -> None:
    late = NOW + timedelta(days=9)
    for settled, state in ((True, "met"), (False, "past")):
        assert one("freezer", known(steps={"wet-photos-frozen": settled}), late).state == state
    assert one("notice", known(steps={"insurer-told": False})).state == "prompt"
    assert one("notice", known(steps={"insurer-told": True})).state == "met"
    assert "notice" not in {d.id for d in deadlines(known(), NOW)}


def test_what_is_past_and_not_met_is_found_and_what_is_met_or_idle_is_not() -> None:
    late = datetime(2026, 5, 12, tzinfo=UTC)
    found = list(of_deadlines(deadlines(known(), late), ZONE))  # nothing to freeze in the plan
    assert [(f.code, f.weight, f.text.partition(":")[0]) for f in found] == [
        ("deadline-past", "note", "Mould window"), ("deadline-past", "decide", "Proof of loss"),
    ]  # fmt: skip
    assert "ask the insurer in writing for more time" in found[1].remedy
    assert "a lawyer decides" in found[1].remedy
    sent = known(proof_sent=OUT, steps={"wet-photos-frozen": False})
    codes = [f.text.partition(":")[0] for f in of_deadlines(deadlines(sent, late), ZONE)]
    assert codes == ["Mould window", "To the freezer"]


@pytest.mark.parametrize(
    ("now", "says", "briefly"),
    [
        (datetime(2026, 3, 12, 12, tzinfo=UTC), "Mould window: mould can begin in 22 h 0 min",
         "Mould window: begins in 22 h 0 min"),
        (datetime(2026, 3, 13, 10, tzinfo=UTC),
         "Mould window: mould can begin now, 24 h 0 min left", "Mould window: 24 h 0 min left"),
        (datetime(2026, 3, 14, 10, 5, tzinfo=UTC), "Mould window: past for 5 min",
         "Mould window: past"),
        (datetime(2026, 3, 16, 9, 59, tzinfo=UTC), "Mould window: past for 47 h 59 min",
         "Mould window: past"),  # as long as it ran
        (datetime(2026, 5, 2, 5, 0, tzinfo=UTC), *["Proof of loss: 7 days left"] * 2),
        (datetime(2026, 5, 9, 12, 0, tzinfo=UTC), "Proof of loss: today is the last day",
         "Proof of loss: today"),
        (datetime(2026, 5, 10, 5, 0, tzinfo=UTC), "Proof of loss: past for 1 day",
         "Proof of loss: past"),
    ],
)  # fmt: skip
def test_the_head_tells_what_is_near_or_newly_past_in_few_words_and_in_fewer(
    now: datetime, says: str, briefly: str
) -> None:
    assert heads(deadlines(known(), now), now, ZONE) == (says, briefly)


@pytest.mark.parametrize(
    "now",
    [
        datetime(2026, 3, 16, 10, 0, tzinfo=UTC),
        datetime(2026, 5, 2, 4, 59, tzinfo=UTC),  # still 1 May in Chicago
        datetime(2026, 7, 20, tzinfo=UTC),
    ],
)
def test_the_head_tells_nothing_of_what_is_far_or_long_past(now: datetime) -> None:
    assert heads(deadlines(known(), now), now, ZONE) == ()


def test_the_table_has_a_source_and_a_mark_for_every_line() -> None:
    assert len({rule.id for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.sources
        assert {source.seen for source in rule.sources} <= {"read", "summary", "memory"}
        assert (rule.days > 0) + (rule.hours > 0) + (rule.years > 0) <= 1
        assert not (rule.policy == () and rule.days)  # a policy's number is of that policy


WHENS = st.dates(date(1900, 1, 1), date(2199, 12, 31)).map(When)


@given(
    st.sampled_from(["federal", "private", "none", ""]),
    st.dictionaries(
        st.sampled_from(["water-in", "water-out", "proof-due", "proof-sent", "denied", "suit-due"]),
        WHENS,
    ),
    st.datetimes(datetime(1900, 1, 2), datetime(2200, 1, 1)),  # noqa: DTZ001 - in UTC below
)
def test_whatever_is_known_each_deadline_has_an_end_or_says_what_it_hangs_on(
    policy: str, dates: dict[str, When], moment: datetime
) -> None:
    now = moment.replace(tzinfo=UTC)
    listed = deadlines(Known("x", ZONE, policy=policy, dates=dates), now)
    for found in listed:
        assert found.state in STATES
        assert brief(found, now, ZONE)
        if found.due is not None and found.state != "met":
            assert (found.state == "past") == (now >= found.due)
        if found.state in ("ask", "policy"):
            assert found.due is None
            assert found.asks
        if policy != "federal" and found.due is not None and found.rule.policy:
            assert found.rule.recorded in dates
    assert len(heads(listed, now, ZONE)) in (0, 2)
