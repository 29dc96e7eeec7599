"""point, meter, read, air, drying: what somebody is told who tries them for the first time."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from support.command import Shell
from support.crawl import STEP


def test_a_point_that_is_described_again_keeps_what_is_not_told(shell: Shell, crawl: Path) -> None:
    told = ("--where", "sill", "--material", "plate", "--reference", "--air", "kitchen")
    assert shell("point", crawl, STEP, "R1", *told).code == 0
    again = shell("point", crawl, STEP, "r1", "--height", "4in")
    assert "Point R1 at crawl-space was there; what was told of it now stands" in again.out

    def described() -> dict[str, object]:
        return next(
            o for o in json.loads(shell("point", crawl, "--json").out) if o["point"] == "R1"
        )

    one = described()
    assert (one["where"], one["material"], one["height"]) == ("sill", "plate", "4in")
    assert one["reference"] is True
    assert shell("point", crawl, STEP, "R1", "--no-reference").code == 0
    assert described()["reference"] is False


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("soil-dry",), "no step 'soil-dry' in this job; known: soil-dry/crawl-space\n"),
        (("J9",), "no step 'J9' in this job; known: soil-dry/crawl-space, studs-dry/north-wall"),
        (("gear-on/house",), "no point can lie there; known: soil-dry/crawl-space, "),
        ((STEP, "--reads", "moisture"), "did you mean 'joist moisture'?"),
        ((STEP, "--air", "kitchn"), "is of a room or a space; did you mean 'kitchen'?"),
        (("--where", "a joist"), "Name the step that the point is for"),
        (("--reference",), "Name the step that the point is for"),
        ((STEP, "--material", "wood"), "write one of stud, plate, joist"),
    ],
)
def test_a_slip_with_a_point_is_told_with_what_to_write(
    args: tuple[str, ...], words: str, shell: Shell, crawl: Path
) -> None:
    ran = shell("point", crawl, *args)
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert len(json.loads(shell("point", crawl, "--json").out)) == 2


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--tolerance", "1%"), "Name the meter with --add NAME"),
        (("--add", "Pins", "--tolerance", "100%"), "0.05 to 10 points of percent: write 1 for 1 %"),
        (
            ("--add", "Pins", "--resolution", "0.005%"),
            "the step of the display of a meter for wood",
        ),
        (("--add", "Pins", "--checked", "2999-01-01"), "a meter was checked today or before"),
        (("--add", "Pins", "--checked", "03/04"), "can be two days"),
        (("--add", "Pins", "--corrects", "maybe"), "write one of yes, no"),
    ],
)
def test_a_slip_with_a_meter_is_told_with_what_to_write(
    args: tuple[str, ...], words: str, shell: Shell, crawl: Path
) -> None:
    ran = shell("meter", crawl, *args)
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert "No meters yet: siltline meter JOB --add NAME" in shell("meter", crawl).out


def test_a_meter_is_told_bit_by_bit_with_bare_points_and_a_day(shell: Shell, crawl: Path) -> None:
    for told in (("--tolerance", "1"), ("--resolution", "0.5"), ("--checked", "2026-03-01")):
        assert shell("meter", crawl, "--add", "Pins", *told).code == 0
    assert shell("meter", crawl, "--add", "pins", "--corrects", "no", "--json").json == [
        {"name": "pins", "tolerance": "1 %", "resolution": "0.5 %", "checked": "2026-03-01",
         "corrects": "no"}
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("read", "J1=18"), "Say who read: --by NAME. Nothing was recorded."),
        (("read", "--by", "Ada"), "write POINT=VALUE behind the job, as J1=17.5"),
        (("air", "--affected", "72F/58%"), "Say who read: --by NAME. Nothing was recorded."),
        (("air", "--by", "Ada"), "give temperature and humidity, as --affected 72F/58%"),
        (("air", "--affected", "72F", "--by", "Ada"), "temperature and humidity as 72F/58%"),
        (("air", "--affected", "58%/72F", "--by", "Ada"), "'58%' cannot be the temperature"),
        (("air", "--affected", "72F/0.58", "--by", "Ada"), "write 58 for 58 %, not 0.58"),
        (
            ("air", "--outside", "60F/50%", "--surface", "55F", "--by", "Ada"),
            "give --affected with",
        ),
        (("air", "--affected", "72F/58%", "--surface", "550F", "--by", "Ada"), "no temperature of"),
        (("air", "--affected", "72F/58%", "--place", "kitchn", "--by", "Ada"), "mean 'kitchen'?"),
    ],
)
def test_a_slip_with_a_round_or_the_air_is_told_and_nothing_is_kept(
    args: tuple[str, ...], words: str, shell: Shell, crawl: Path
) -> None:
    ran = shell(args[0], crawl, *args[1:])
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert shell("air", crawl, "--json").json == []
    assert [one["readings"] for one in shell("read", crawl, "--json").json] == [0, 0]


def test_a_temperature_that_corrects_nothing_says_why(shell: Shell, crawl: Path) -> None:
    assert shell("meter", crawl, "--add", "Pins", "--corrects", "no").code == 0
    told = shell("read", crawl, "J1=15", "--temp", "10C", "--by", "Ada").out
    assert "corrected nothing: the register does not say" in told
    told = shell("read", crawl, "J2=15", "--temp", "10C", "--meter", "Pins", "--by", "Ada").out
    assert "corrected nothing" not in told
    assert "16.0 %" in told
    cold = shell("read", crawl, "J2=15", "--temp", "60C", "--meter", "Pins", "--by", "Ada")
    assert cold.code == 2
    assert "only from -1 to 50 C" in cold.err
    wet = ("read", crawl, "J2=40", "--temp", "10C", "--meter", "Pins", "--by", "Ada", "--sure")
    assert "40 %" in shell(*wet).out  # past what such a meter measures, so as it was read


def test_of_a_point_that_was_not_read_no_chart_and_no_legend_is_drawn(
    shell: Shell, crawl: Path
) -> None:
    assert shell("drying", crawl, "--point", "J1").out == "J1: not read yet.\n"
