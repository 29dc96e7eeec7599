"""calc: the computations by command, their JSON, their words, and what they refuse.

The values are those of tests/science; here it is held that they arrive through the door that
people and scripts use, in the units they type.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from support.command import Shell

CFM, FT = 4.719474432e-4, 0.3048
IN, OUT = "--inside=18C/85%", "--outside=14C/60%"
FLOOR = ("--area", "1200ft2", "--height", "3ft")


def calc(shell: Shell, *args: object) -> Any:
    ran = shell("calc", *args, "--json")
    assert ran.code == 0, ran.err
    assert all(not isinstance(value, dict | list) for value in ran.json.values())  # flat
    return ran.json


def words(shell: Shell, *args: object) -> str:
    ran = shell("calc", *args)
    assert ran.code == 0, ran.err
    return " ".join(ran.out.split())


@pytest.fixture
def csv(tmp_path: Path) -> Path:
    path = tmp_path / "wall.csv"
    path.write_text("day,mc\n0,26.5\n1,24\n2,22\n3,20.5\n4,19.5\n6,17.5\n", encoding="utf-8")
    return path


def test_air(shell: Shell) -> None:
    told = calc(shell, "air", "--temp", "25C", "--rh", "60%")
    assert told["dew_point_c"] == pytest.approx(16.70, abs=0.01)
    assert told["humidity_ratio_g_kg"] == pytest.approx(11.90, abs=0.01)
    assert told["dew_point_doubt_k"] == pytest.approx(0.70, abs=0.01)
    assert told["humidity_ratio_doubt_g_kg"] == pytest.approx(0.54, abs=0.01)
    assert (told["rh_percent"], told["pressure_pa"], told["frost"]) == (60, 101_325, False)


def test_air_by_dew_point_or_wet_bulb_and_in_fahrenheit(shell: Shell) -> None:
    by_rh = calc(shell, "air", "--temp", "77F", "--rh", "60%")
    by_dew = calc(shell, "air", "--temp", "77F", "--dew", f"{by_rh['dew_point_c']:.9f}C")
    by_bulb = calc(shell, "air", "--temp", "77F", "--wet-bulb", f"{by_rh['wet_bulb_c']:.9f}C")
    for other in (by_dew, by_bulb):
        assert other["rh_percent"] == pytest.approx(60, abs=0.05)
    # a wick that is read to half a degree tells less than a good humidity probe
    assert by_bulb["dew_point_doubt_k"] > by_rh["dew_point_doubt_k"]


@pytest.mark.parametrize(
    "where", [("--altitude", "500m"), ("--pressure", "95461Pa"), ("--pressure", "95.461kPa")]
)
def test_altitude_or_pressure(shell: Shell, where: tuple[str, str]) -> None:
    told = calc(shell, "air", "--temp", "20C", "--rh", "60%", *where)
    assert told["pressure_pa"] == pytest.approx(95_461, abs=2)
    assert told["humidity_ratio_g_kg"] == pytest.approx(9.279, abs=0.001)


def test_a_meters_tolerance_is_a_difference_in_either_scale(shell: Shell) -> None:
    state = ("air", "--temp", "25C", "--rh", "60%", "--rh-doubt", "0%")
    kelvin = calc(shell, *state, "--temp-doubt", "0.5K")
    fahrenheit = calc(shell, *state, "--temp-doubt", "0.9F")
    celsius = calc(shell, *state, "--temp-doubt", "0.5C")
    assert kelvin["dew_point_doubt_k"] == pytest.approx(0.48, abs=0.02)
    for other in (fahrenheit, celsius):
        assert other["dew_point_doubt_k"] == pytest.approx(kelvin["dew_point_doubt_k"])


def test_air_in_words_has_units_doubt_and_source(shell: Shell) -> None:
    told = words(shell, "air", "--temp", "25C", "--rh", "60%")
    assert "Dew point 16.7 C (62.1 F) +- 0.7 K" in told
    assert "11.90 g/kg (83.3 grains/lb) +- 0.54 g/kg" in told
    assert "ASHRAE Handbook" in told
    assert "Sea level was taken" in told
    assert "Frost point -8.2 C" in words(shell, "air", "--temp", "0C", "--rh", "50%")


@pytest.mark.parametrize(
    ("inside", "outside", "kg", "verdict"),
    [
        ("18C/85%", "14C/60%", 73.1, "dries"),
        ("18C/85%", "15C/95%", 12.4, "dries"),
        ("10C/85%", "2C/75%", 48.4, "dries"),
        ("20C/75%", "22C/66%", 0.8, "too-close"),
        ("22C/80%", "31C/65%", -74.6, "wets"),
    ],
)
def test_outside(shell: Shell, inside: str, outside: str, kg: float, verdict: str) -> None:
    airs = ("--inside", inside, "--outside", outside, "--airflow", "300cfm")
    told = calc(shell, "outside", *airs)
    assert told["verdict"] == verdict
    assert told["removal_kg_day"] == pytest.approx(kg, abs=0.1)
    assert (abs(told["margin_g_kg"]) > told["doubt_g_kg"]) == (verdict != "too-close")


def test_outside_air_above_the_coldest_surface_is_warned_of_first(shell: Shell) -> None:
    airs = ("outside", "--inside", "22C/80%", "--outside", "31C/65%")
    assert calc(shell, *airs)["wets_surface"] is None
    assert calc(shell, *airs, "--surface", "24C")["wets_surface"] is False
    assert calc(shell, *airs, "--surface", "22C")["wets_surface"] is True
    told = words(shell, *airs, "--surface", "22C")
    assert told.startswith("WARNING: the outdoor dew point, 23.6 C")
    assert "WETS it" in told
    assert "Measure the coldest surface" in words(shell, *airs)


def test_crawl(shell: Shell) -> None:
    told = calc(shell, "crawl", *FLOOR, IN, OUT, "--airflow", "300cfm")
    assert told["air_changes_h"] == pytest.approx(5.0)
    assert told["removal_kg_day"] == pytest.approx(73.1, abs=0.1)
    assert told["vent_area_m2"] == pytest.approx(8 * FT**2)
    assert told["vent_area_covered_m2"] == pytest.approx(0.8 * FT**2)
    assert told["code_exhaust_m3_s"] == pytest.approx(24 * CFM)
    assert (told["fan_m3_s"], told["possible"]) == (None, None)


@pytest.mark.parametrize(("source", "cfm"), [("5kg/day", 34), ("20kg/d", 134), ("54 kg/day", 363)])
def test_crawl_with_a_source(shell: Shell, source: str, cfm: float) -> None:
    told = calc(shell, "crawl", *FLOOR, IN, OUT, "--source", source, "--target-rh", "70%")
    assert told["possible"] is True
    assert told["fan_m3_s"] / CFM == pytest.approx(cfm, abs=0.6)
    assert told["fan_for_source_low_m3_s"] < told["fan_m3_s"] < told["fan_for_source_high_m3_s"]
    assert told["air_changes_h"] is None


def test_crawl_where_no_fan_will_do_it(shell: Shell) -> None:
    wet = ("crawl", *FLOOR, IN, "--outside=15C/95%", "--source=5kg/day", "--target-rh=70%")
    told = calc(shell, *wet)
    assert (told["possible"], told["fan_m3_s"]) == (False, None)
    assert "Fan for the source no fan will do it" in words(shell, *wet)


def test_crawl_says_burners_first_and_outward_and_the_local_code(shell: Shell) -> None:
    told = words(shell, "crawl", *FLOOR, IN, OUT, "--air-changes", "5ach")
    assert told.startswith("WARNING: Burners first.")
    assert "carbon monoxide" in told
    assert "blows out of the crawl space, never in" in told
    assert "the local code decides" in told
    assert "Fan for the air change 0.142 m3/s (300 cfm)" in told


def test_crawl_days_to_dry_as_a_range(shell: Shell) -> None:
    told = calc(shell, "crawl", *FLOOR, IN, OUT, "--airflow", "300cfm", "--water", "200kg")
    assert told["days_low"] < 200 / 73.1 < told["days_high"]
    near = ("--inside=20C/75%", "--outside=22C/66%", "--airflow=300cfm", "--water=200kg")
    assert calc(shell, "crawl", *FLOOR, *near)["days_high"] is None
    assert "to never" in words(shell, "crawl", *FLOOR, *near)


def test_wood(shell: Shell) -> None:
    told = calc(shell, "wood", "--temp", "20C", "--rh", "65%")
    assert told["emc_percent"] == pytest.approx(12.00, abs=0.01)
    assert told["reachable"] is None
    wet = calc(shell, "wood", "--temp", "20C", "--rh", "82%", "--goal", "15%")
    assert wet["rh_for_goal_percent"] == pytest.approx(76.8, abs=0.1)
    assert wet["reachable"] is False
    assert calc(shell, "wood", "--temp=70F", "--rh=50%", "--goal=15%")["reachable"] is True
    near = calc(shell, "wood", "--temp=20C", "--rh=76%", "--goal=15%")
    assert (near["reachable"], near["too_close"]) == (True, True)
    told = words(shell, "wood", "--temp", "21C", "--rh", "82%", "--goal", "15%")
    assert "air at 82 % never brings the wood below 15 %; bring it under 77 %" in told


def test_a_reading_is_corrected_only_where_the_meter_does_not(shell: Shell) -> None:
    wood = ("wood", "--temp", "10C", "--rh", "60%", "--reading", "15%")
    assert calc(shell, *wood, "--meter-does-not")["corrected_percent"] == pytest.approx(16)
    assert calc(shell, *wood, "--meter-corrects")["corrected_percent"] == pytest.approx(15)
    ran = shell("calc", *wood)
    assert ran.code == 2
    assert "--meter-corrects or --meter-does-not" in ran.err


def test_drying(shell: Shell, csv: Path) -> None:
    told = calc(shell, "drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    assert told["answered"] is True
    assert told["because"] is None
    assert told["p05_day"] < told["p50_day"] < told["p95_day"]
    assert told["p50_day"] == pytest.approx(10.0, abs=0.1)


def test_drying_that_cannot_be_told_says_why_and_what_helps(shell: Shell, csv: Path) -> None:
    never = ("drying", "--readings", csv, "--emc", "14.8%", "--goal", "15%", "--resolution", "0.5%")
    told = calc(shell, *never)
    assert (told["answered"], told["p95_day"]) == (False, None)
    assert told["p_never"] == pytest.approx(0.4, abs=0.05)
    assert "never comes to 15 %" in told["because"]
    assert "Dry the air" in told["remedy"]
    assert "No date: the chance" in words(shell, *never)
    csv.write_text("day,mc\n0,26.5\n1,24\n", encoding="utf-8")
    few = calc(shell, "drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    assert (few["answered"], few["p50_day"], few["p_never"]) == (False, None, None)
    assert "only 2 usable readings" in few["because"]


def test_drying_draws_its_chart_also_in_plain_characters(shell: Shell, csv: Path) -> None:
    drying = ("calc", "drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    plain = shell(*drying, "--ascii").out
    assert plain.isascii()
    assert max(map(len, plain.splitlines())) <= 80
    assert plain.count("o") > 6
    assert "At 15 % on day 10.0; nine times in ten between day 8." in plain
    assert "\u25cf" in shell(*drying).out


def test_a_console_of_an_old_code_page_gets_plain_characters() -> None:
    from siltline.cli.calc_wood import draws_blocks  # noqa: PLC0415

    assert draws_blocks("utf-8")
    for encoding in ("cp437", "cp1252", "ascii", "no-such-thing", None):
        assert not draws_blocks(encoding)


def test_wood_that_stands_still_is_noticed(shell: Shell, csv: Path) -> None:
    rows = "".join(f"{day},{mc}\n" for day, mc in enumerate((26, 24, 22, 20, 20, 20, 20)))
    csv.write_text("day,mc\n" + rows, encoding="utf-8")
    still = ("drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    assert calc(shell, *still)["stalled"] is True
    assert "It has stood still for two days" in words(shell, *still)


def test_wood_that_got_wetter_is_told_so_and_to_look_for_water(shell: Shell, csv: Path) -> None:
    rows = "".join(f"{day},{mc}\n" for day, mc in enumerate((18, 19, 20, 21, 22)))
    csv.write_text("day,mc\n" + rows, encoding="utf-8")
    wetter = ("drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    told = calc(shell, *wetter)
    assert (told["stalled"], told["wetter"]) == (False, True)
    said = words(shell, *wetter)
    assert "It got wetter: from 20 % to 22 % in the newest 2 days. Look for water" in said
    assert "stood still" not in said


def test_readings_may_have_signs_other_columns_and_a_byte_order_mark(
    shell: Shell, csv: Path
) -> None:
    rows = "Ada,0,26.5%\nAda,1,24 %\nAda,2,22%\nAda,3,20.5%\nAda,4,19.5%\nAda,6,17.5\n"
    csv.write_text("\ufeffwho, Day, MC\n" + rows, encoding="utf-8")
    told = calc(shell, "drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    assert told["p50_day"] == pytest.approx(10.0, abs=0.1)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("day,mc\n0,0.265\n1,0.24\n", "--readings: a moisture of 0.265 % was likely a fraction"),
        ("day,moisture\n0,20\n", "Line 1: there is no column mc; "),
        ("", "Line 1: there is no column day, mc; "),
        ("0,26.5\n1,24\n", "Line 1: there is no column day, mc; "),
        ("day,mc\n0,nan\n", "Line 2, mc: 'nan' is not a number"),
        ("day,mc\n0,20\ninf,19\n", "Line 3, day: 'inf' is not a number"),
        ("day,mc\n0\n", "Line 2, mc: '' is not a number"),
        ("day,mc\n0,0.265\n1,0.24\n2,0.22\n", "moisture of 0.265 % was likely a fraction"),
        ("day,mc\n0,200\n1,1e9\n", "'1e9' is not a number"),
        ("day,mc\n26.5,0\n24,1\n", "a moisture content cannot be 0 %"),
        ("day,mc\n1,20\n1,19\n1,18\n", "all readings are of one day"),
        ('day,mc\n0,"20\n', "Line 2: from here on it is no CSV"),
        ("day,mc\n0,x\n1,24\ny,22\n", "Line 4, day: 'y'"),
        ("day,mc\n0,26,5\n", "Line 2: 3 cells, and the first line names 2 columns"),
        ("day,mc,mc\n0,26,5\n", "Line 1, mc: two columns have this name"),
        ("day;mc\n0;26,5\n", "Line 2, mc: '26,5' is not a number"),
        ("day,mc\n0,x\n1,24\ny,22\n", "2 faults in wall.csv; put them right"),
    ],
)
def test_readings_that_are_none_are_refused_with_their_line(
    shell: Shell, csv: Path, text: str, told: str
) -> None:
    csv.write_text(text, encoding="utf-8")
    ran = shell("calc", "drying", "--readings", csv, "--emc", "11%", "--goal", "15%")
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err


def test_a_file_that_is_not_there_or_no_text(shell: Shell, csv: Path, tmp_path: Path) -> None:
    goal = ("--emc", "11%", "--goal", "15%")
    assert "There is no" in shell("calc", "drying", "--readings", tmp_path / "no.csv", *goal).err
    assert "cannot be read" in shell("calc", "drying", "--readings", tmp_path, *goal).err
    csv.write_bytes(b"day,mc\n\xff\xfe\n")
    assert "is not UTF-8" in shell("calc", "drying", "--readings", csv, *goal).err
    csv.write_bytes(b"day,mc\n" + b"1,20\n" * 300_000)
    assert "too large" in shell("calc", "drying", "--readings", csv, *goal).err


@pytest.mark.parametrize(
    ("percent", "label", "available"),
    [(5.25, 2351, 2412), (6, 2687, 2785), (7.5, 3358, 3552), (8.25, 3694, 3946)],
)
def test_bleach(shell: Shell, percent: float, label: int, available: int) -> None:
    told = calc(shell, "bleach", f"--strength={percent}%", "--bleach=0.75cup", "--water=1gal")
    assert told["ppm_label"] == pytest.approx(label, abs=0.6)
    assert told["mg_l_available"] == pytest.approx(available, abs=2)
    assert told["parts_water"] == pytest.approx(21.333, abs=0.001)


def test_bleach_by_the_labels_ppm_and_a_batch_and_an_area(shell: Shell) -> None:
    told = calc(shell, "bleach", "--strength", "5%", "--target", "1000ppm", "--batch", "5gal")
    assert told["parts_water"] == pytest.approx(49)
    bare = calc(shell, "bleach", "--strength=5%", "--target=1000")
    assert bare["parts_water"] == pytest.approx(49)
    assert told["batch_bleach_l"] == pytest.approx(5 * 3.785411784 / 50)
    assert told["batch_bleach_l"] + told["batch_water_l"] == pytest.approx(5 * 3.785411784)
    area = calc(
        shell, "bleach", "--strength=5%", "--target=1000ppm",
        "--area=400ft2", "--coverage=400ft2/gal", "--contact=10min",
    )  # fmt: skip
    assert area["amount_l"] == pytest.approx(3.785411784)
    assert area["contact_s"] == 600


def test_bleach_in_words_warns_first_names_both_ppm_and_proposes_no_time(shell: Shell) -> None:
    told = words(shell, "bleach", "--strength=6%", "--bleach=0.75cup", "--water=1gal")
    assert told.startswith("DANGER: Never mix bleach with ammonia, acids")
    for word in ("alcohol", "hydrogen peroxide", "any other cleaner", "label decides"):
        assert word in told
    assert "ppm (label % x share) 2687 ppm" in told
    assert "Available chlorine 2785 mg/L" in told
    assert "Contact time read it on the label" in told


def test_bleach_off_its_label_is_refused(shell: Shell) -> None:
    dose = ("calc", "bleach", "--bleach=0.75cup", "--water=1gal", "--label=2400ppm")
    assert shell(*dose, "--strength=5.25%").code == 0
    ran = shell(*dose, "--strength=8.25%")
    assert (ran.code, ran.out) == (2, "")
    assert "the label says 2400 ppm" in ran.err


def test_distance(shell: Shell) -> None:
    told = calc(shell, "distance", "--from", "45,7", "--to", "45.0005,7")
    assert told["metres"] == pytest.approx(55.57, abs=0.02)
    assert told["verdict"] == "at-site"
    far = ("distance", "--from=29.951,-90.072", "--to=29.961,-90.072")
    assert calc(shell, *far)["verdict"] == "away"
    assert calc(shell, *far, "--doubt=2000m")["verdict"] == "cannot-tell"
    assert "away from the site" in words(shell, *far)


# What each command refuses: NaN, infinity, a wrong unit, swapped arguments, kPa given as Pa,
# a humidity as a fraction; and the words that say which.
REFUSED = [
    ("air --temp nanC --rh 60%", "'--temp': 'nanC' is not a number"),
    ("air --temp infC --rh 60%", "'--temp': 'infC' is not a number"),
    ("air --temp 25 --rh 60%", "'--temp': '25' is not a number with its unit"),
    ("air --temp 25m --rh 60%", "'--temp': '25m' is a length, and what is wanted here is a temper"),
    ("air --temp 60% --rh 25C", "'--temp': '60%' is a percentage"),
    ("air --temp 25C --rh 0.6", "'0.6' has no sign, so it could be a fraction"),
    ("air --temp 25C --rh 0.6%", "a fraction was likely meant: 60%"),
    ("air --temp 25C --rh 60", "humidity is typed in percent: 60%"),
    ("air --temp 25C --rh 120%", "'120%' is no relative humidity"),
    ("air --temp 25C --rh 0%", "'0%' is no relative humidity"),
    ("air --temp 25C --rh nan%", "'--rh': 'nan%' is not a number"),
    ("air --temp 25C --rh 60% --pressure 101.325Pa", "kilopascals were likely meant: 101.325kPa"),
    ("air --temp 25C --rh 60% --pressure 101325kPa", "pascals were likely meant: 101325Pa"),
    ("air --temp 25C --rh 60% --pressure 500m", "'500m' is a length"),
    ("air --temp 25C --rh 60% --altitude 95461Pa", "'95461Pa' is a pressure"),
    ("air --temp 25C --rh 60% --altitude 9000m", "the altitude cannot be 9000 m"),
    ("air --temp 25C --rh 60% --altitude 5m --pressure 1000hPa", "exactly one of --altitude"),
    ("air --temp 25C", "exactly one of --rh, --dew, --wet-bulb"),
    ("air --temp 25C --rh 60% --dew 16C", "exactly one of --rh, --dew, --wet-bulb"),
    ("air --temp 10C --dew 18C", "the dew point, 18 C, is above the temperature"),
    ("air --temp 10C --wet-bulb 18C", "the wet bulb, 18 C, is above the temperature"),
    ("air --temp 40C --wet-bulb 5C", "no air of 40 C, however dry"),
    ("air --temp 250C --rh 60%", "the temperature cannot be 250 C"),
    ("air --temp 25C --rh 60% --temp-doubt 300K", "tolerance of the thermometer cannot be 300 K"),
    ("outside --inside 85%/18C --outside 14C/60%", "humidity and temperature swapped"),
    ("outside --inside 18C --outside 14C/60%", "'--inside': '18C' is no state of air"),
    ("outside --inside 18C/0.85 --outside 14C/60%", "fraction or a percentage; humidity is typed"),
    ("outside --inside 18C/nan% --outside 14C/60%", "'nan%' is not a number"),
    ("outside --inside infC/85% --outside 14C/60%", "'infC' is not a number"),
    ("outside --inside 18C/85% --outside 14C/60% --airflow 300", "'--airflow': '300' is not a num"),
    ("outside --inside 18C/85% --outside 14C/60% --airflow 300ft2", "'300ft2' is an area"),
    ("outside --inside 18C/85% --outside 14C/60% --airflow 300m3/s", "airflow cannot be 300 m3/s"),
    ("crawl --area 3ft --height 1200ft2 --inside 18C/85% --outside 14C/60%", "'3ft' is a length"),
    ("crawl --area nanft2 --height 3ft --inside 18C/85% --outside 14C/60%", "'nanft2' is not"),
    ("crawl --area 1ft2 --height 3ft --inside 18C/85% --outside 14C/60%", "the floor area cannot"),
    (
        "crawl --area 1200ft2 --height 3ft --inside 18C/85% --outside 14C/60% --source 5kg/day",
        "source, target-rh belong together",
    ),
    (
        "crawl --area 1200ft2 --height 3ft --inside 18C/85% --outside 14C/60% --water 9kg",
        "water, airflow belong together",
    ),
    (
        "crawl --area 90m2 --height 1m --inside 18C/85% --outside 14C/60% --source 70%",
        "'--source': '70%' is a percentage",
    ),
    ("equipment --area nanft2 --height 8ft", "'--area': 'nanft2' is not a number"),
    ("equipment --area 100ft2 --height infft", "'--height': 'infft' is not a number"),
    ("equipment --area 8ft --height 100ft2", "'--area': '8ft' is a length"),
    ("equipment --area 100ft2 --height 8", "'--height': '8' is not a number with its unit"),
    ("equipment --area 100ft2 --height 80ft", "the clear height cannot be 24.384 m"),
    ("equipment --area 100ft2 --height 8ft --wet-area 200ft2", "is larger than the floor"),
    ("equipment --area 100ft2 --height 8ft --wet-area nanm2", "'--wet-area': 'nanm2' is not a"),
    ("equipment --area 100ft2 --height 8ft --rooms 0", "the number of wet rooms cannot be 0 rooms"),
    ("equipment --area 100ft2 --height 8ft --class 5", "'--class': '5' is not one of"),
    (
        "equipment --area 100ft2 --height 8ft --class 4 --machine conventional",
        "no figure for a con",
    ),
    (
        "equipment --area 100ft2 --height 8ft --machine low-grain",
        "machine, class belong together",
    ),
    (
        "equipment --area 100ft2 --height 8ft --rated 70pt/day",
        "(rated) is of a conventional or low",
    ),
    (
        "equipment --area 100ft2 --height 8ft --class 2 --rated 70cfm",
        "'--rated': '70cfm' is an air",
    ),
    (
        "equipment --area 100ft2 --height 8ft --class 2 --rated 0pt/day",
        "the rating of a machine cann",
    ),
    (
        "equipment --area 100ft2 --height 8ft --class 2 --rated infpt/day",
        "'infpt/day' is not a numb",
    ),
    (
        "equipment --area 9m2 --height 8ft --class 2 --machine low-grain --airflow 9cfm",
        "airflow is of a desiccant",
    ),
    ("wood --temp 50% --rh 21C", "'--temp': '50%' is a percentage"),
    ("wood --temp 21C --rh 0.5", "'0.5' has no sign"),
    ("wood --temp 21C --rh 15% --goal 50%", "was a humidity given in its place?"),
    ("wood --temp 21C --rh 50% --goal 0.15%", "the goal cannot be 0.15 %"),
    ("wood --temp infC --rh 50%", "'infC' is not a number"),
    ("wood --temp 200C --rh 50%", "the temperature cannot be 200 C"),
    ("bleach --strength nan% --bleach 1cup --water 1gal", "'nan%' is not a number"),
    ("bleach --strength 0.06 --bleach 1cup --water 1gal", "'0.06' is not a number with its unit"),
    ("bleach --strength 0.06% --bleach 1cup --water 1gal", "strength of the bleach cannot be 0.06"),
    ("bleach --strength 6% --bleach 1gal --water 0.75cup", "more bleach than water"),
    ("bleach --strength 6% --bleach 1gal", "Give both bleach and water as the label has them"),
    ("bleach --strength 6%", "Give both bleach and water as the label has them"),
    ("bleach --strength 6% --target nan", "'--target': 'nan' is not a number with its unit"),
    ("bleach --strength 6% --target 0.05", "the ppm of the label cannot be 0.05 ppm"),
    ("bleach --strength 6% --target 0.05%", "'0.05%' is a percentage"),
    ("bleach --strength 1cup --bleach 6% --water 1gal", "'--strength': '1cup' is a volume"),
    ("bleach --strength 6% --target 40000ppm", "40000 ppm cannot be made from bleach of 6 %"),
    ("bleach --strength 6% --target 500ppm --area 4m2", "area, coverage belong together"),
    ("distance --from nan,7 --to 45,7", "'nan,7' is no place"),
    ("distance --from 45 --to 45,7", "'45' is no place"),
    ("distance --from 45,7 --to 95,7", "'95,7' has latitude and longitude swapped"),
    ("distance --from 40.2,-75.1 --to -75.1,40.2", "latitude and longitude of one are swapped"),
    ("distance --from 45,7 --to 45,7 --doubt 15", "'--doubt': '15' is not a number with its unit"),
    ("distance --from 45,7 --to 45,7 --doubt 15C", "'15C' is a temperature"),
]


@pytest.mark.parametrize(("line", "told"), REFUSED)
def test_it_is_refused_with_a_sentence_that_says_which(shell: Shell, line: str, told: str) -> None:
    for form in ((), ("--json",)):
        ran = shell("calc", *line.split(), *form)
        assert (ran.code, ran.out) == (2, "")
        assert "--" in ran.err.splitlines()[0], "it names no option"
        assert told in ran.err
        assert "Traceback" not in ran.err
        assert "made a mistake" not in ran.err


HOUSE = ("equipment", "--area", "1200ft2", "--height", "8ft", "--wet-area", "400ft2")


def test_equipment(shell: Shell) -> None:
    told = calc(shell, *HOUSE, "--class", "2", "--rated", "70pt/day", "--airflow", "300cfm")
    assert (told["air_movers_low"], told["air_movers_high"]) == (7, 9)
    assert told["volume_m3"] == pytest.approx(9600 * FT**3)
    assert told["low_grain_kg_day"] == pytest.approx(192 * 0.473176, rel=1e-5)
    assert told["conventional_kg_day"] == pytest.approx(240 * 0.473176, rel=1e-5)
    assert told["desiccant_air_m3_s"] == pytest.approx(320 * CFM)
    assert [told[f"{m}_machines"] for m in ("conventional", "low_grain", "desiccant")] == [4, 3, 2]
    marks = {value for key, value in told.items() if key.endswith("_mark")}
    assert marks == {"memory"}


def test_equipment_marks_each_line_and_warns_first(shell: Shell) -> None:
    ran = shell("calc", *HOUSE, "--class", "4", "--wet-upper", "200ft2", "--rooms", "3")
    assert ran.code == 0
    told = " ".join(ran.out.split())
    assert told.startswith("RULE OF THUMB, NO SOURCE")
    for caution in ("No fan on visible mould or uncleaned sewage", "out of reach of standing water",
                    "what a circuit may carry, a licensed person says"):  # fmt: skip
        assert told.index(caution) < told.index("Air movers to begin with 11 to 13")
    factors = [line for line in ran.out.splitlines() if "for each" in line or "a room" in line
               or "air changes" in line or "no figure" in line]  # fmt: skip
    assert len(factors) == 6
    assert all("rule of thumb, no source" in line for line in factors)


def test_equipment_without_a_class_sizes_no_dehumidifier_and_asks(shell: Shell) -> None:
    told = words(shell, "equipment", "--area", "1200ft2", "--height", "8ft")
    assert "Dehumidifiers," not in told
    assert "Give --class for dehumidifiers" in told
    assert "The whole floor was taken as wet" in told


@pytest.mark.parametrize(
    ("emc", "goal", "told"),
    [
        ("0.11", "15%", "'--emc': '0.11' is not a number with its unit"),
        ("0.11%", "15%", "equilibrium moisture content cannot be 0.11 %"),
        ("11%", "nan%", "'--goal': 'nan%' is not a number"),
        ("11C", "15%", "'--emc': '11C' is a temperature"),
        ("11%", "65%", "--goal: a goal of 65 % is none for wood (3 to 30 %); was a humidity"),
        ("0.11%", "15%", "--emc: the equilibrium moisture content cannot be 0.11 %"),
        ("11%", "0.15%", "--goal: the goal cannot be 0.15 %"),
        ("inf%", "15%", "'--emc': 'inf%' is not a number"),
    ],
)
def test_drying_refuses_what_is_no_moisture(
    shell: Shell, csv: Path, emc: str, goal: str, told: str
) -> None:
    ran = shell("calc", "drying", "--readings", csv, "--emc", emc, "--goal", goal)
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err


def test_emc_and_goal_swapped_give_no_date_and_ask(shell: Shell, csv: Path) -> None:
    told = calc(shell, "drying", "--readings", csv, "--emc", "15%", "--goal", "11%")
    assert told["answered"] is False
    assert "--emc and --goal were swapped" in told["remedy"]


@pytest.mark.parametrize(
    "command", ["air", "outside", "crawl", "equipment", "wood", "drying", "bleach", "distance"]
)
def test_each_computation_has_help(shell: Shell, command: str) -> None:
    ran = shell("calc", command, "--help")
    assert ran.code == 0
    assert "Usage: siltline calc" in ran.out
    assert "--json" in ran.out


def test_json_is_strict(shell: Shell) -> None:
    ran = shell("calc", "crawl", *FLOOR, IN, "--outside=15C/95%", "--source=5kg/day",
                "--target-rh=70%", "--json")  # fmt: skip
    json.loads(ran.out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
