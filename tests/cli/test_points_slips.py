"""point, meter, read, air, drying: what somebody is told who tries them for the first time."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from siltline import resources
from support.command import Shell
from support.crawl import STEP

HOUSE = resources.folder("sample_job") / "house.yaml"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture
def job(shell: Shell, tmp_path: Path) -> Path:
    path = tmp_path / "crawl.siltline"
    assert shell("begin", HOUSE, path).code == 0
    for name in ("J1", "J2"):
        assert shell("point", path, STEP, name, "--where", f"joist {name}").code == 0
    return path


def test_a_point_that_is_described_again_keeps_what_is_not_told(shell: Shell, job: Path) -> None:
    told = ("--where", "sill", "--material", "plate", "--reference", "--air", "kitchen")
    assert shell("point", job, STEP, "R1", *told).code == 0
    again = shell("point", job, STEP, "r1", "--height", "4in")
    assert "Point R1 at crawl-space was there; what was told of it now stands" in again.out

    def described() -> dict[str, object]:
        return next(o for o in json.loads(shell("point", job, "--json").out) if o["point"] == "R1")

    one = described()
    assert (one["where"], one["material"], one["height"]) == ("sill", "plate", "4in")
    assert one["reference"] is True
    assert shell("point", job, STEP, "R1", "--no-reference").code == 0
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
    args: tuple[str, ...], words: str, shell: Shell, job: Path
) -> None:
    ran = shell("point", job, *args)
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert len(json.loads(shell("point", job, "--json").out)) == 2


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
    args: tuple[str, ...], words: str, shell: Shell, job: Path
) -> None:
    ran = shell("meter", job, *args)
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert "No meters yet: siltline meter JOB --add NAME" in shell("meter", job).out


def test_a_meter_is_told_bit_by_bit_with_bare_points_and_a_day(shell: Shell, job: Path) -> None:
    for told in (("--tolerance", "1"), ("--resolution", "0.5"), ("--checked", "2026-03-01")):
        assert shell("meter", job, "--add", "Pins", *told).code == 0
    assert shell("meter", job, "--add", "pins", "--corrects", "no", "--json").json == [
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
    args: tuple[str, ...], words: str, shell: Shell, job: Path
) -> None:
    ran = shell(args[0], job, *args[1:])
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err
    assert shell("air", job, "--json").json == []
    assert [one["readings"] for one in shell("read", job, "--json").json] == [0, 0]


def test_a_temperature_that_corrects_nothing_says_why(shell: Shell, job: Path) -> None:
    assert shell("meter", job, "--add", "Pins", "--corrects", "no").code == 0
    told = shell("read", job, "J1=15", "--temp", "10C", "--by", "Ada").out
    assert "corrected nothing: the register does not say" in told
    told = shell("read", job, "J2=15", "--temp", "10C", "--meter", "Pins", "--by", "Ada").out
    assert "corrected nothing" not in told
    assert "16.0 %" in told
    cold = shell("read", job, "J2=15", "--temp", "60C", "--meter", "Pins", "--by", "Ada")
    assert cold.code == 2
    assert "only from -1 to 50 C" in cold.err
    wet = ("read", job, "J2=40", "--temp", "10C", "--meter", "Pins", "--by", "Ada", "--sure")
    assert "40 %" in shell(*wet).out  # past what such a meter measures, so as it was read


def test_of_a_point_that_was_not_read_no_chart_and_no_legend_is_drawn(
    shell: Shell, job: Path
) -> None:
    assert shell("drying", job, "--point", "J1").out == "J1: not read yet.\n"
