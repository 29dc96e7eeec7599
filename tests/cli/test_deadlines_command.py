"""`deadlines` lists what is due, prints its facts, writes a calendar; others tell it along."""

from __future__ import annotations

from pathlib import Path

import pytest
from icalendar import Calendar

from support.command import Shell
from support.house import HOUSE

LOSS = "  water-in: 2021-09-14\n  water-out: 2021-09-14 18:00\n  policy: federal\n"


@pytest.fixture
def late(shell: Shell, tmp_path: Path) -> Path:
    """A job on a loss of 14 Sep 2021, whose proof of loss was due on 13 Nov 2021."""
    sheet = tmp_path / "late.yaml"
    sheet.write_text(HOUSE.replace("  water-in: 2026-03-10 21:30\n", LOSS), encoding="utf-8")
    made = tmp_path / "late.siltline"
    assert shell("begin", sheet, made).code == 0
    return made


def test_it_lists_each_with_its_end_its_source_and_what_to_do(shell: Shell, late: Path) -> None:
    ran = shell("deadlines", late)
    assert ran.code == 0
    out = " ".join(ran.out.split())
    assert "Proof of loss: Sat 13 Nov 2021, until the day ends (past for " in out
    assert "Counts from the loss: Tue 14 Sep 2021." in out
    assert "VII.G.4: signed and sworn, within 60 days of the loss (seen in a summary)" in out
    assert "ask the insurer in writing for more time" in out
    assert "Mould window: Thu 16 Sep 2021 18:00" in out
    assert "Suit: not begun: no such date is recorded (loss.denied)" in out


def test_its_json_holds_instants_in_utc(shell: Shell, late: Path) -> None:
    found = {one["id"]: one for one in shell("deadlines", late, "--json").json}
    proof = found["proof-of-loss"]
    assert (proof["last_day"], proof["due"]) == ("2021-11-13", "2021-11-14T06:00:00+00:00")
    assert (proof["state"], proof["counts_from"]) == ("past", "loss.water-in")
    assert proof["left_s"] < 0
    assert proof["sources"][0]["seen"] == "summary"
    assert found["mould"]["opens"] == "2021-09-15T23:00:00+00:00"
    assert found["suit"]["due"] is None


def test_it_writes_a_calendar_on_request(shell: Shell, late: Path, tmp_path: Path) -> None:
    ics = tmp_path / "late.ics"
    ran = shell("deadlines", late, "--ics", ics, "--json")
    assert ran.code == 0
    assert len(ran.json) == len(shell("deadlines", late, "--json").json)
    assert "3 deadlines written to" in ran.err
    assert len(Calendar.from_ical(ics.read_bytes()).walk("VEVENT")) == 3
    taken = shell("deadlines", late, "--ics", late)
    assert taken.code == 2
    assert "is no calendar of ours" in taken.err
    away = shell("deadlines", late, "--ics", tmp_path / "no" / "such.ics")
    assert away.code == 3


def test_where_no_day_is_known_it_asks_and_writes_nothing(
    shell: Shell, path: Path, tmp_path: Path
) -> None:
    ran = shell("deadlines", path, "--ics", tmp_path / "x.ics")
    assert ran.code == 0
    assert "Ask: it stands in the policy. No number is taken for it here." in ran.out
    assert "nothing was written" in ran.err
    assert not (tmp_path / "x.ics").exists()


def test_the_review_and_the_hand_off_tell_them(shell: Shell, late: Path) -> None:
    found = shell("review", late, "--json").json["findings"]
    mine = {(f["weight"], f["text"].partition(":")[0]) for f in found
            if f["code"] == "deadline-past"}  # fmt: skip
    assert mine == {("decide", "Proof of loss"), ("note", "Mould window"),
                    ("note", "To the freezer")}  # fmt: skip
    handed = shell("handoff", late, "--from", "One", "--to", "Other")
    assert "Deadlines:\n  Mould window: Thu 16 Sep 2021 18:00" in handed.out
    facts = shell("handoff", late, "--from", "Other", "--to", "One", "--json").json
    assert [one["id"] for one in facts["deadlines"]][:3] == ["mould", "freezer", "notice"]
    shell("house", late, "loss.proof-sent=2021-11-12", "--by", "Lead", "--take")
    again = shell("review", late, "--json").json["findings"]
    assert not any("Proof of loss:" in f["text"] for f in again)
