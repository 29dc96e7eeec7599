"""The calendar of deadlines: read by an independent reader, and held to RFC 5545 by its octets."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from siltline.errors import Unreadable, WrongUse
from siltline.job import Job
from siltline.job.calendar import calendar, escaped, folded, write_calendar
from siltline.job.deadlines import known, told
from siltline.job.laying import correct
from support.house import HOUSE

SHEET = HOUSE.replace(
    "  water-in: 2026-03-10 21:30\n",
    "  water-in: 2026-03-10 21:30\n  water-out: 2026-03-12 05:00\n  policy: federal\n",
).replace("house: Test house", 'house: "Ä house; with, marks \\\\ and \U0001f30a waves"')
NOW = datetime(2026, 3, 12, 12, 0, tzinfo=UTC)  # two hours after the water left


@pytest.fixture
def flooded(new_job: Callable[..., Job]) -> Job:
    job = new_job(SHEET)
    job.clock = lambda: NOW
    return job


def events(text: bytes) -> dict[str, Any]:
    read = Calendar.from_ical(text)
    assert (read["VERSION"], str(read["PRODID"])[:10]) == ("2.0", "-//siltlin")
    return {str(e["UID"]).partition(".")[0]: e for e in read.walk("VEVENT")}


def test_an_independent_reader_finds_days_instants_and_words(flooded: Job) -> None:
    found = events(calendar(flooded)[0])
    assert found.keys() == {"mould", "freezer", "proof-of-loss"}
    proof = found["proof-of-loss"]
    assert proof.decoded("DTSTART") == date(2026, 5, 9)  # 60 days after 10 March
    assert proof.decoded("DTEND") == date(2026, 5, 10)
    assert str(proof["SUMMARY"]) == "Proof of loss: Ä house; with, marks \\ and \U0001f30a waves"
    assert "signs and swears" in str(proof["DESCRIPTION"])
    mould = found["mould"]
    assert mould.decoded("DTSTART") == datetime(2026, 3, 13, 10, 0, tzinfo=UTC)
    assert mould.decoded("DTEND") == datetime(2026, 3, 14, 10, 0, tzinfo=UTC)
    for event in found.values():
        assert event.decoded("DTSTAMP") == NOW
        assert str(event["STATUS"]) == "CONFIRMED"
        assert not event.errors


def test_reminders_come_before_the_end_in_utc_and_none_is_past_already(flooded: Job) -> None:
    def reminders(job: Job, name: str) -> list[datetime]:
        event = events(calendar(job)[0])[name]
        alarms = event.walk("VALARM")
        assert all(str(alarm["ACTION"]) == "DISPLAY" for alarm in alarms)
        assert all(str(alarm["DESCRIPTION"]) for alarm in alarms)
        return [alarm["TRIGGER"].dt for alarm in alarms]

    # 14 and 3 days before, at nine in the morning of Chicago in summer time
    assert reminders(flooded, "proof-of-loss") == [
        datetime(2026, 4, 25, 14, 0, tzinfo=UTC), datetime(2026, 5, 6, 14, 0, tzinfo=UTC)
    ]  # fmt: skip
    assert reminders(flooded, "mould") == [
        datetime(2026, 3, 13, 10, 0, tzinfo=UTC), datetime(2026, 3, 14, 4, 0, tzinfo=UTC)
    ]  # fmt: skip
    flooded.clock = lambda: NOW + timedelta(hours=30)
    assert reminders(flooded, "mould") == [datetime(2026, 3, 14, 4, 0, tzinfo=UTC)]


def test_every_line_ends_in_cr_lf_and_takes_75_octets_at_most(flooded: Job) -> None:
    text = calendar(flooded)[0]
    assert text.endswith(b"\r\n")
    lines = text.split(b"\r\n")
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) <= 75
    for line in lines:
        line.decode()  # no character is cut in two
    whole = text.replace(b"\r\n ", b"")
    for block in ("VCALENDAR", "VEVENT", "VALARM"):
        assert whole.count(f"BEGIN:{block}".encode()) == whole.count(f"END:{block}".encode())


def test_written_again_it_has_the_same_names_and_a_higher_number(flooded: Job) -> None:
    before = events(calendar(flooded)[0])
    correct(flooded, ["loss.proof-due=2026-06-30"], by="Lead", take=True)
    after = events(calendar(flooded)[0])
    for name, event in before.items():
        assert str(after[name]["UID"]) == str(event["UID"])
        assert int(after[name]["SEQUENCE"]) > int(event["SEQUENCE"])
    assert after["proof-of-loss"].decoded("DTSTART") == date(2026, 6, 30)
    correct(flooded, ["loss.proof-sent=2026-05-02"], by="Lead", take=True)
    met = events(calendar(flooded)[0])
    assert str(met["proof-of-loss"]["STATUS"]) == "CANCELLED"
    assert not met["proof-of-loss"].walk("VALARM")
    assert met["payment"].decoded("DTSTART") == date(2026, 7, 1)


@given(st.text())
def test_any_text_comes_back_as_it_is_shown(text: str) -> None:
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", "BEGIN:VEVENT", "UID:x",
             "DTSTAMP:20260312T120000Z", f"SUMMARY:{escaped(text)}", "END:VEVENT",
             "END:VCALENDAR"]  # fmt: skip
    octets = b"".join(map(folded, lines))
    assert max(map(len, octets.split(b"\r\n"))) <= 75
    unfolded = octets.replace(b"\r\n ", b"").decode()
    value = next(one for one in unfolded.split("\r\n") if one.startswith("SUMMARY:"))
    plain = value.removeprefix("SUMMARY:").replace("\\\\", "\0").replace("\\n", "\n")
    plain = plain.replace("\\;", ";").replace("\\,", ",").replace("\0", "\\")
    from siltline.text import visible  # noqa: PLC0415

    assert plain == visible(text, lines=True)
    assert len(Calendar.from_ical(octets).walk("VEVENT")) == 1


def test_the_file_is_whole_or_not_there_and_only_ours_is_replaced(
    flooded: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "due.ics"
    assert write_calendar(flooded, path) == 3
    first = path.read_bytes()
    flooded.clock = lambda: NOW + timedelta(hours=1)
    assert write_calendar(flooded, path) == 3
    assert path.read_bytes() != first
    kept = path.read_bytes()
    with monkeypatch.context() as broken:
        broken.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "no space")))
        with pytest.raises(Unreadable, match="cannot be written"):
            write_calendar(flooded, path)
        with pytest.raises(Unreadable):
            write_calendar(flooded, tmp_path / "other.ics")
    assert path.read_bytes() == kept
    ics = {p.name for p in tmp_path.iterdir() if "ics" in p.name}
    assert ics == {"due.ics"}
    other = tmp_path / "mine.txt"
    other.write_text("BEGIN:VCALENDAR\r\nPRODID:somebody else", encoding="utf-8")
    for taken in (other, tmp_path):
        with pytest.raises(WrongUse, match="is no calendar of ours"):
            write_calendar(flooded, taken)
    assert "somebody else" in other.read_text(encoding="utf-8")


def test_with_no_day_known_nothing_is_written(job: Job, tmp_path: Path) -> None:
    bare = tmp_path / "bare.ics"
    assert write_calendar(job, bare) == 0
    assert not bare.exists()


def test_facts_that_were_corrected_count_and_odd_ones_are_asked_about(flooded: Job) -> None:
    assert known(flooded).policy == "federal"
    correct(flooded, ["loss.water-in=2026-03-09"], by="Lead", take=True)
    assert next(d for d in told(flooded) if d["id"] == "proof-of-loss")["last_day"] == "2026-05-08"
    correct(flooded, ["loss.proof-due=9999-12-31"], by="Lead", take=True)
    asked = next(d for d in told(flooded) if d["id"] == "proof-of-loss")
    assert (asked["state"], asked["due"]) == ("ask", None)
    assert "loss.proof-due holds no date that can be" in asked["asks"][0]


def test_a_sheet_without_a_zone_says_that_the_laptops_is_taken(
    new_job: Callable[..., Job],
) -> None:
    job = new_job(SHEET.replace("time-zone: America/Chicago\n", ""))
    job.clock = lambda: NOW
    mould = next(d for d in told(job) if d["id"] == "mould")
    assert any("names no time zone" in text for text in mould["told"])
