"""calc: the keys that scripts lean on, and the option that a refused number came from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from siltline.cli.calc import calc_command
from siltline.cli.calc_naming import OPTIONS
from siltline.sentences import catalogue
from support.command import Shell

IN, OUT = "--inside=18C/85%", "--outside=14C/60%"
AIR = (
    "dew_point_c", "humidity_ratio_g_kg", "grains_per_lb", "vapour_pressure_pa",
    "saturation_pressure_pa", "wet_bulb_c", "enthalpy_kj_kg", "volume_m3_kg", "rh_percent",
    "pressure_pa",
)  # fmt: skip
OUTSIDE = ("removal_kg_day", "verdict", "margin_g_kg", "doubt_g_kg")
CRAWL = (
    "air_changes_h", "removal_kg_day", "fan_m3_s", "possible", "vent_area_m2",
    "vent_area_covered_m2", "code_exhaust_m3_s",
)  # fmt: skip
DRYING = ("answered", "p05_day", "p50_day", "p95_day", "p_never", "because")
WOOD = ("emc_percent", "rh_for_goal_percent", "reachable")
BLEACH = ("ppm_label", "mg_l_available", "parts_water")
DISTANCE = ("metres", "verdict")
# What scripts lean on: these keys are there whatever else is asked, a number, a word, or null.
KEYS = [
    ("air --temp 25C --rh 60%", AIR),
    (f"outside {IN} {OUT}", OUTSIDE),
    (f"outside {IN} {OUT} --airflow 300cfm", OUTSIDE),
    (f"crawl --area 1200ft2 --height 3ft {IN} {OUT}", CRAWL),
    (f"crawl --area 1200ft2 --height 3ft {IN} {OUT} --airflow 300cfm --air-changes 5ach", CRAWL),
    ("wood --temp 20C --rh 65%", WOOD),
    ("wood --temp 20C --rh 65% --goal 15%", WOOD),
    ("drying --readings {csv} --emc 11% --goal 15%", DRYING),
    ("drying --readings {csv} --emc 14.8% --goal 15%", DRYING),
    ("bleach --strength 6% --bleach 0.75cup --water 1gal", BLEACH),
    ("bleach --strength 6% --target 500ppm", BLEACH),
    ("distance --from 45,7 --to 45.0005,7", DISTANCE),
]
WORDS = {"verdict": ("dries", "wets", "too-close", "at-site", "away", "cannot-tell")}


@pytest.fixture
def csv(tmp_path: Path) -> Path:
    path = tmp_path / "wall.csv"
    path.write_text("day,mc\n0,26.5\n1,24\n2,22\n3,20.5\n4,19.5\n6,17.5\n", encoding="utf-8")
    return path


@pytest.mark.parametrize(("line", "keys"), KEYS)
def test_the_keys_that_scripts_lean_on_are_there_flat_and_si(
    line: str, keys: tuple[str, ...], shell: Shell, csv: Path
) -> None:
    ran = shell("calc", *(arg.format(csv=csv) for arg in line.split()), "--json")
    assert ran.code == 0, ran.err
    told: dict[str, Any] = ran.json
    assert all(not isinstance(value, dict | list) for value in told.values())  # flat
    assert [key for key in keys if key not in told] == []
    for key in keys:
        if key == "verdict":
            assert told[key] in WORDS[key]
        elif key in ("possible", "reachable", "answered"):
            assert told[key] in (True, False, None)
        elif key == "because":
            assert told[key] is None or isinstance(told[key], str)
        else:
            assert told[key] is None or isinstance(told[key], int | float)


SPACE = f"--area 1200ft2 --height 3ft {IN} {OUT}"
# The option that a number came from is named, also where only the computation refuses it.
NAMED = [
    ("air --temp 250C --rh 60%", "--temp: the temperature cannot be 250 C"),
    ("air --temp 25C --rh 60% --altitude 9000m", "--altitude: the altitude cannot be 9000 m"),
    ("air --temp 25C --rh 60% --pressure 101.325Pa", "--pressure: 101.325 Pa is no air pressure"),
    ("air --temp 25C --rh 60% --rh-doubt 60%", "cannot be 60 %; it lies between 0 and 20 %."),
    ("air --temp 25C --rh 60% --rh-doubt 60%", "--rh-doubt: the tolerance of the humidity reading"),
    ("air --temp 25C --rh 60% --rh-doubt 0.02%", "a fraction was likely meant: 2%"),
    ("air --temp 25C --rh 60% --temp-doubt 0.5", "typed as 0.5K, or in degrees Fahrenheit as 0.5F"),
    ("air --temp 10C --dew 18C", "--dew, --temp: the dew point, 18 C, is above"),
    ("air --temp 10C --wet-bulb 18C", "--wet-bulb, --temp: the wet bulb, 18 C, is above"),
    (f"outside {IN} --outside 140C/60%", "--inside, --outside: the temperature cannot be 140 C"),
    (f"outside {IN} {OUT} --surface 120C", "--surface: the temperature of the surface cannot"),
    (f"outside {IN} {OUT} --airflow -3cfm", "--airflow: the airflow cannot be"),
    (f"crawl {SPACE} --pressure 95Pa", "--pressure: 95 Pa is no air pressure; kilopascals"),
    (f"crawl {SPACE} --air-changes 5000ach", "--air-changes: the air change cannot be 5000 ach"),
    (f"crawl {SPACE} --source -5kg/day --target-rh 70%", "--source: the source of moisture"),
    (f"crawl {SPACE} --source 5kg/day --target-rh 0.7", "'--target-rh': '0.7' has no sign"),
    (f"crawl {SPACE} --water -5kg --airflow 300cfm", "--water: the water to carry off cannot"),
    ("wood --temp 21C --rh 50% --goal 150%", "--goal: the goal cannot be 150 %"),
    ("wood --temp 21C --rh 0.5%", "'--rh': '0.5%' is drier than any air in a house"),
    ("wood --temp 21C --rh 50% --reading 0.175% --meter-corrects", "--reading: a moisture of 0.17"),
    ("wood --temp 21C --rh 50% --reading 0.175% --meter-does-not", "--reading: a moisture of 0.17"),
    ("wood --temp 21C --rh 50% --reading 400% --meter-corrects", "--reading: a moisture content"),
    ("wood --temp 21C --rh 50% --reading 40% --meter-does-not", "--reading: the reading of a res"),
    ("bleach --strength 60% --bleach 1cup --water 1gal", "--strength: the strength of the bleach"),
    ("bleach --strength 6% --bleach 1gal --water 1cup", "--bleach, --water: more bleach than wate"),
    ("bleach --strength 6% --target 40000ppm", "--target, --strength: 40000 ppm cannot be made"),
    ("bleach --strength 6% --target 500ppm --contact -10min", "--contact: the contact time cannot"),
    ("bleach --strength 6% --target 500ppm --contact 0min", "--contact: the contact time cannot"),
    ("bleach --strength 6% --target 500ppm --batch 50000gal", "--batch: the batch cannot be 189.2"),
    ("distance --from 40.2,-75.1 --to -75.1,40.2", "--from, --to: the two places are far apart"),
    ("distance --from 45,7 --to 45,7 --site 0m", "--site: the reach of the site cannot be 0 m"),
    ("equipment --area 9m2 --height 8ft --wet-area 20m2", "--wet-area, --area: the wet floor, 20"),
    ("equipment --area 9m2 --height 8ft --rooms 0", "--rooms: the number of wet rooms cannot be 0"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "told"), NAMED)
def test_a_refusal_names_the_option_that_the_number_came_from(
    line: str, told: str, shell: Shell
) -> None:
    ran = shell("calc", *line.split())
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err.splitlines()[0]


def test_whatever_a_computation_can_refuse_has_its_option() -> None:
    refused = {key.removeprefix("science.what.") for key in catalogue() if "science.what." in key}
    reckoned = {"vapour", "space", "parts", "distance"}  # nobody types them
    assert refused - OPTIONS.keys() == reckoned
    params = (param for one in calc_command.commands.values() for param in one.params)
    options = {opt for param in params for opt in param.opts}
    assert {option for there in OPTIONS.values() for option in there} <= options
