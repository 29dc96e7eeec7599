"""point, meter, read, air, drying: what a script gets, and what a slip is told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from siltline import resources
from support.command import Shell
from support.crawl import STEP

HOUSE = resources.folder("sample_job") / "house.yaml"


def test_a_round_is_recorded_and_listed_in_its_order(shell: Shell, crawl: Path) -> None:
    assert shell("read", crawl, "J2=17.5", "J1=18%", "--by", "Ada").code == 0
    found = json.loads(shell("read", crawl, "--json").out)
    assert [(one["point"], one["newest"]) for one in found] == [("J1", "18%"), ("J2", "17.5 %")]


def test_what_surprises_is_taken_when_it_is_given_as_sure(shell: Shell, crawl: Path) -> None:
    asked = shell("read", crawl, "J1=44", "--by", "Ada")
    assert (asked.code, asked.out) == (1, "")
    assert asked.err.endswith("Nothing was recorded. If it is meant, give it again with --sure.\n")
    assert shell("read", crawl, "J1=44", "--by", "Ada", "--sure").code == 0
    outlet = ("air", crawl, "--affected", "65F/50%", "--outlet", "85F/50%", "--by", "Ada")
    assert "give it again with --sure" in shell(*outlet).err
    assert shell(*outlet, "--sure").code == 0


def test_a_round_is_all_or_none(shell: Shell, crawl: Path) -> None:
    told = shell("read", crawl, "J1=18", "J9=17", "--by", "Ada")
    assert told.code == 2
    assert "no point J9 in this job; " in told.err
    assert json.loads(shell("read", crawl, "--json").out)[0]["newest"] == ""


def test_a_table_is_all_or_none(shell: Shell, crawl: Path, tmp_path: Path) -> None:
    table = tmp_path / "round.csv"
    table.write_text("point,value,when\nJ1,24,2026-03-14 8:00\nJ1,x,2026-03-15 8:00\n")
    told = shell("read", crawl, "--csv", table, "--by", "Ada")
    assert told.code == 2
    assert "recorded" not in told.out
    assert json.loads(shell("read", crawl, "--json").out)[0]["readings"] == 0


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("J1",), "POINT=VALUE"),
        (("J1=18", "J1=19"), "twice"),
        (("J1=18", "--meter", "None such"), "no meter None such in the register"),
        (("J1=18", "--when", "2999-01-01 8:00"), "lies ahead"),
        (("J1=18", "--when", "yesterday"), "write it with one: today 8:15"),
        (("J1=18", "--temp", "500F"), "no temperature of wood"),
        (("J1=18", "j1=19"), "twice"),
        (("J1=18 F",), "percent"),
        (("J1=18,5",), "write for example 18.5%"),
        (("J1=18", "--temp", "12,5C"), "write for example 12.5C"),
    ],
)
def test_a_slip_is_told(args: tuple[str, ...], words: str, shell: Shell, crawl: Path) -> None:
    told = shell("read", crawl, *args, "--by", "Ada")
    assert told.code == 2
    assert words in told.err
    assert "Traceback" not in told.err


def test_a_table_is_read_round_by_round(shell: Shell, crawl: Path, tmp_path: Path) -> None:
    table = tmp_path / "rounds.csv"
    table.write_text(
        "when,point,value\n2026-03-14 08:00,J1,20\n2026-03-14 08:00,J2,21\n"
        "2026-03-15 08:00,J1,19\n",
        encoding="utf-8",
    )
    assert shell("read", crawl, "--csv", table, "--by", "Ada").code == 0
    found = json.loads(shell("read", crawl, "--json").out)
    assert [one["readings"] for one in found] == [2, 1]
    assert found[0]["at"].startswith("2026-03-15T08:00")


FAULTS = """point,value,when,who
J1,,2026-03-14 8:00,Ada
,17,2026-03-14 8:00,Ada
J9,17,2026-03-14 8:00,Ada

J1,0.17,2026-03-14 8:00,Ada
J2,18 F,03/04 8:00,Ada
"J1",20,2026-03-15 8:00,"Ada
and Bo"
J1,wet,2999-01-01 8:00,Ada
j1,21,2026-03-15 8:00,Ada
J2,17,5,2026-03-15 8:00,Ada
,,,
"""


def test_every_fault_of_a_table_is_told_with_its_line_and_its_column(
    shell: Shell, crawl: Path, tmp_path: Path
) -> None:
    table = tmp_path / "rounds.csv"
    table.write_text(FAULTS, encoding="utf-8")
    told = shell("read", crawl, "--csv", table, "--by", "Ada")
    assert (told.code, told.out) == (2, "")
    lines = told.err.splitlines()
    for begins, holds in (
        ("Line 2, value:", "nothing stands there"),
        ("Line 3, point:", "nothing stands there"),
        ("Line 4, point:", "no point J9 in this job; "),
        ("Line 6, value:", "write 17 for 17 %, not 0.17"),
        ("Line 7, value:", "'18 F' is no moisture content"),
        ("Line 7, when:", "03/04"),
        ("Line 10, value:", "'wet' is no moisture content"),
        ("Line 10, when:", "lies ahead"),
        ("Line 11, point:", "j1 stands in line 8 already, at the same time"),
        ("Line 12:", "5 cells, and the first line names 4 columns"),
    ):
        assert any(line.startswith(begins) and holds in line for line in lines), (begins, holds)
    assert lines[-1].startswith("11 faults in rounds.csv. Nothing of it was recorded: put them")
    assert len(lines) == 12
    assert [one["readings"] for one in json.loads(shell("read", crawl, "--json").out)] == [0, 0]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "Line 1: there is no column point, value; the first line names"),
        ("J1,18\n", "Line 1: there is no column point, value; the first line names"),
        ("point,value\n\n", "Line 1: no reading stands below"),
        ("point,value,value\nJ1,18,19\n", "Line 1, value: two columns have this name"),
        ("date,point,value\n2026-03-14,J1,18\n", "Line 1, date: name this column when"),
        ("point,value,meter\nJ1,18,Pins\n", "Line 1, meter: this is not read from a table; take"),
        ('point,value\nJ1,"18\n', "Line 2: from here on it is no CSV"),
        ('point,value\nJ9,18\nJ1,"1"8\n', "Line 3: from here on it is no CSV"),
        ("point,value\n" + "J9,18\n" * 300, "there are more faults from here on"),
    ],
)
def test_a_table_that_is_none_is_refused_with_what_to_do(
    text: str, told: str, shell: Shell, crawl: Path, tmp_path: Path
) -> None:
    table = tmp_path / "rounds.csv"
    table.write_text(text, encoding="utf-8")
    ran = shell("read", crawl, "--csv", table, "--by", "Ada")
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err
    assert "in rounds.csv. Nothing of it was recorded" in ran.err


def test_a_table_of_another_countrys_spreadsheet_is_read(
    shell: Shell, crawl: Path, tmp_path: Path
) -> None:
    table = tmp_path / "rounds.csv"
    table.write_text("\ufeffPoint;Value\r\nJ1;18.5\r\nj2;17 %\r\n;\r\n", encoding="utf-8")
    assert shell("read", crawl, "--csv", table, "--by", "Ada").code == 0
    found = json.loads(shell("read", crawl, "--json").out)
    assert [one["newest"] for one in found] == ["18.5 %", "17 %"]
    table.write_text("point;value\nJ1;18,5\n", encoding="utf-8")
    told = shell("read", crawl, "--csv", table, "--by", "Ada").err
    assert "Line 2, value: '18,5' has a comma" in told
    assert "write for example 18.5%" in told


def test_what_surprises_in_a_table_is_asked_about_with_its_line(
    shell: Shell, crawl: Path, tmp_path: Path
) -> None:
    table = tmp_path / "rounds.csv"
    days = ("2026-03-14 8:00", "2026-03-15 8:00")
    table.write_text(f"when,point,value\n{days[0]},J1,20\n{days[1]},J1,24\n", encoding="utf-8")
    told = shell("read", crawl, "--csv", table, "--by", "Ada")
    assert told.code == 1
    assert "Line 3, value: J1 reads 24 % after 20 %: it got wetter." in told.err
    assert shell("read", crawl, "--csv", table, "--by", "Ada", "--sure").code == 0


def test_the_air_of_the_day_tells_whether_outside_air_dries(shell: Shell, crawl: Path) -> None:
    told = shell(
        "air", crawl, "--affected", "18C/85%", "--outside", "14C/60%", "--place", "crawl-space",
        "--by", "Ada",
    )  # fmt: skip
    assert told.code == 0
    assert "dries it" in told.out
    assert [one["air"] for one in json.loads(shell("air", crawl, "--json").out)] == [
        "affected", "outside",
    ]  # fmt: skip
    assert "no place" in shell("air", crawl, "--affected", "18C/85%", "--place", "attic", "--by",
                               "Ada").err  # fmt: skip


def test_drying_is_told_and_drawn(shell: Shell, crawl: Path) -> None:
    shell("read", crawl, "J1=18", "--by", "Ada")
    found = json.loads(shell("drying", crawl, "--json").out)
    assert [(one["point"], one["state"]) for one in found] == [("J1", "first"), ("J2", "unread")]
    drawn = shell("drying", crawl, "--point", "J1", "--ascii").out
    assert "15%" in drawn
    assert "o reading" in drawn


def test_drying_lists_unaffected_wood_without_a_verdict_and_draws_none_of_it(
    shell: Shell, crawl: Path
) -> None:
    assert shell("point", crawl, STEP, "R1", "--reference", "--where", "sill").code == 0
    assert shell("meter", crawl, "--add", "Pins").code == 0
    assert shell("read", crawl, "J1=18", "R1=11", "--meter", "Pins", "--by", "Ada").code == 0
    found = json.loads(shell("drying", crawl, "--json").out)
    assert [one["reference"] for one in found] == [False, False, True]
    assert {frozenset(one) for one in found} == {frozenset(found[0])}  # one table
    last = found[2]
    assert (last["newest"], last["meter"], last["serves"]) == ("11 %", "Pins", ["J1"])
    assert (last["state"], last["goal_percent"], last["p50"]) == ("reference", None, None)
    told = shell("drying", crawl).out
    assert "R1: 11 % with Pins, " in told
    assert "the goal of J1 comes from it" in told
    one = shell("drying", crawl, "--point", "r1")
    assert one.out.startswith("R1: 11 % with Pins, ")
    assert len(one.out.splitlines()) == 1
    assert [
        o["point"] for o in json.loads(shell("drying", crawl, "--point", "R1", "--json").out)
    ] == ["R1"]


def test_a_step_with_points_takes_no_number_with_its_tick_for_them(
    shell: Shell, crawl: Path
) -> None:
    """What is typed with a tick is kept, but the points show the reading."""
    shell("read", crawl, "J1=14", "--by", "Ada")
    told = shell("steps", crawl, "--json")
    step = next(one for one in json.loads(told.out) if one["id"] == STEP)
    assert any("J2" in remark for remark in step["remarks"])


def test_a_point_without_a_name_gets_a_short_one_of_its_material_and_is_told(
    shell: Shell, crawl: Path
) -> None:
    for args, name in (
        (("--material", "joist"), "J3"),  # J1 and J2 are there
        (("--material", "Joist"), "J4"),
        (("--material", "stud"), "S1"),
        ((), "P1"),
        (("--reference", "--material", "joist"), "R1"),
    ):
        told = shell("point", crawl, STEP, *args)
        assert told.code == 0
        assert f"Point {name} at crawl-space. Write {name} on the spot" in told.out
    names = [one["point"] for one in json.loads(shell("point", crawl, "--json").out)]
    assert names == ["J1", "J2", "J3", "J4", "S1", "P1", "R1"]
    assert "write it without =" in shell("point", crawl, STEP, "J=1").err


def test_a_meter_is_listed_with_what_it_promises(shell: Shell, crawl: Path) -> None:
    assert shell("meter", crawl, "--add", "Pins", "--tolerance", "1%", "--corrects", "no").code == 0
    assert json.loads(shell("meter", crawl, "--json").out) == [
        {"name": "Pins", "tolerance": "1%", "resolution": "", "checked": "", "corrects": "no"}
    ]
    assert "one of yes, no" in shell("meter", crawl, "--add", "X", "--corrects", "maybe").err


def test_a_chart_is_no_wider_than_the_terminal(
    shell: Shell, crawl: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shell("read", crawl, "J1=24", "--by", "Ada").code == 0
    monkeypatch.setenv("COLUMNS", "60")
    told = shell("drying", crawl, "--point", "J1", "--ascii").out
    chart = told[told.index("|") :].splitlines()
    assert max(map(len, chart)) <= 60
    assert "(across: days)" in chart[-1]


def test_a_meter_that_does_not_correct_and_no_temperature_is_told(
    shell: Shell, crawl: Path, tmp_path: Path
) -> None:
    shell("meter", crawl, "--add", "Pins", "--corrects", "no")
    shell("meter", crawl, "--add", "Other", "--corrects", "yes")
    read = ("read", crawl, "J1=15", "--by", "Ada", "--sure")
    told = shell(*read, "--meter", "pins")
    assert told.code == 0
    assert "Counted as read: Pins does not correct" in told.out
    assert "in cold wood the true value is higher" in told.out
    for meter, temp in (("Pins", "55F"), ("Other", ""), ("", "")):
        assert "Counted as read" not in shell(*read, "--meter", meter, "--temp", temp).out
    table = tmp_path / "round.csv"
    table.write_text("point,value\nJ1,15\n", encoding="utf-8")
    by_table = shell("read", crawl, "--csv", table, "--meter", "Pins", "--by", "Ada", "--sure")
    assert "Counted as read" in by_table.out


def test_the_air_of_yesterday_is_told_of_and_not_the_newest(shell: Shell, crawl: Path) -> None:
    air = ("air", crawl, "--place", "crawl-space", "--by", "Ada")
    new = shell(*air, "--affected", "18C/85%", "--outside", "14C/60%")
    assert "Outside air (14C/60%" in new.out
    old = shell(*air, "--affected", "18C/50%", "--outside", "28C/80%", "--when", "yesterday 8:00")
    assert "Outside air (28C/80%" in old.out
    assert "WETS it (18C/50%)" in old.out
    assert "14C/60%" not in old.out.splitlines()[-1]
    alone = shell(*air, "--affected", "18C/80%", "--when", "yesterday 9:00")
    assert "Outside air (28C/80%" in alone.out  # that was read before it
    first = shell(*air, "--outside", "5C/60%", "--when", "2026-01-02 8:00")
    assert "Outside air (" not in first.out  # nothing was read inside then
    assert "Outside air (14C/60%" in shell("air", crawl).out  # the newest, where none is recorded
