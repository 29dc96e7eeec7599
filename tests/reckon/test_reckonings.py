"""What is reckoned on a step: needed, optional, refused; the numbers are those of the sources."""

from __future__ import annotations

import contextlib
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.errors import WrongUse
from siltline.reckon import RECKONINGS, read_all, works_out
from siltline.reckon.table import BLOWS
from siltline.reckon.words import liquid
from siltline.rules.rule import Reckons
from siltline.units import UNITS, quantity

SPACE = {"area": "1200 ft2", "height": "3 ft", "inside": "18C/85%"}
FAN = SPACE | {"blows": "out", "airflow": "300 cfm", "outside": "14C/60%"}


def test_a_rule_may_ask_for_every_computation_and_no_other() -> None:
    assert set(get_args(Reckons)) == RECKONINGS.keys()


def test_every_example_can_be_read() -> None:
    for one in RECKONINGS.values():
        for asked in one.asks:
            if asked.example:
                assert asked.read(asked.example) is not None
            for word in asked.choices:
                assert asked.read(f" {word.upper()} ") == word


@pytest.mark.parametrize("left_out", ["area", "height", "inside", "outside", "blows"])
def test_what_is_needed_is_asked_for(left_out: str) -> None:
    with pytest.raises(WrongUse, match="Still needed"):
        works_out("fan", {**FAN, left_out: " "})


def test_what_is_not_asked_is_refused_by_name() -> None:
    with pytest.raises(WrongUse, match="'airflw' is not asked here; what is asked: which, blows"):
        works_out("fan", FAN | {"airflw": "300 cfm"})


def test_a_fan_of_300_cfm_in_3600_cubic_feet_changes_the_air_five_times() -> None:
    # 60 x cfm / ft3, by the definition of an air change
    facts = works_out("fan", FAN).facts
    assert facts["air_changes_h"] == pytest.approx(5.0, rel=1e-6)
    twice = works_out("fan", FAN | {"airflow": "150 cfm", "fans": "2"}).facts
    assert twice["removal_kg_day"] == pytest.approx(facts["removal_kg_day"])


def test_the_model_code_asks_8_ft2_of_vents_and_24_cfm_for_1200_ft2() -> None:
    # International Residential Code R408.1 and R408.3 (seen in summaries): 1/150, 1/1500, 1/50
    facts = works_out("fan", FAN).facts
    assert facts["vent_area_m2"] == pytest.approx(8 * 0.09290304)
    assert facts["vent_area_covered_m2"] == pytest.approx(0.8 * 0.09290304)
    assert facts["code_exhaust_m3_s"] == pytest.approx(24 * 4.719474e-4, rel=1e-6)


@pytest.mark.parametrize("blows", [way for way in BLOWS if way != "out"])
def test_a_fan_that_does_not_blow_out_carries_nothing_off(blows: str) -> None:
    told = works_out("fan", FAN | {"blows": blows})
    assert told.flat["removal_kg_day"] is None
    assert "removal" not in [line.name for line in told.lines]
    assert len(told.warnings) == 1
    assert told.warnings[0].startswith("DANGER") == (blows == "in")


def test_air_outdoors_that_is_wetter_is_warned_of() -> None:
    told = works_out("fan", FAN | {"outside": "28C/80%"})
    assert told.facts["verdict"] == "wets"
    assert told.facts["removal_kg_day"] < 0
    assert told.warnings[0].startswith("WARNING: A fan that blows out draws outdoor air in")


def test_no_fan_will_do_it_where_outdoor_air_is_wetter_than_what_is_to_be_held() -> None:
    held = {"source": "20 kg/day", "target-rh": "70%"}
    assert works_out("fan", FAN | held).facts["possible"] is True
    wet = works_out("fan", FAN | held | {"outside": "15C/95%"})
    assert wet.facts["possible"] is False
    assert "no fan will do it" in [line.text for line in wet.lines]


def test_the_dose_is_that_of_the_label() -> None:
    # WHO 2014 Annex G, table G.1: 5 % is 50,000 ppm; 1 part in 100 makes 500 ppm
    told = works_out("dose", {"strength": "5 %", "label": "500 ppm", "batch": "100 L"})
    assert told.facts["parts_water"] == pytest.approx(99)
    assert told.facts["batch_bleach_l"] == pytest.approx(1)
    assert told.facts["ppm_label"] == pytest.approx(500)


def test_a_mix_that_is_not_what_the_label_names_is_refused() -> None:
    mixed = {"strength": "6 %", "bleach": "1 cup", "water": "5 gal"}
    made = works_out("dose", mixed).facts["ppm_label"]
    assert works_out("dose", mixed | {"label": f"{made:.0f} ppm"}).facts["ppm_label"] == made
    with pytest.raises(WrongUse, match="ppm"):
        works_out("dose", mixed | {"label": "200 ppm"})


@pytest.mark.parametrize("given", [{}, {"bleach": "1 cup"}, {"label": "500 ppm", "water": "1 gal"}])
def test_a_dose_without_the_figures_of_a_label_is_none(given: dict[str, str]) -> None:
    with pytest.raises(WrongUse, match="the ppm that the label names"):
        works_out("dose", {"strength": "6 %", **given})


def test_machines_are_a_rule_of_thumb_and_say_so_with_each_factor() -> None:
    # every factor is from memory; no source was read
    told = works_out("machines", {"area": "400 ft2", "height": "8 ft", "movers": "3"})
    assert RECKONINGS["machines"].cautions[0] == "not-must"
    factors = [line.text for line in told.lines if line.name in ("movers-room", "movers-floor")]
    assert len(factors) == 2
    assert all("rule of thumb, no source" in text for text in factors)
    assert [line.text for line in told.lines if line.name == "placed-movers"] == ["3"]


NONSENSE = ("nan%", "inf", "-", "0.5", "101325kPa", "1e999 ft2", "\u202e1 ft2")


@pytest.mark.parametrize("text", NONSENSE)
@pytest.mark.parametrize("what", list(RECKONINGS))
def test_nonsense_in_any_field_is_refused_with_a_sentence(what: str, text: str) -> None:
    space = {"area": "1200 ft2", "height": "3 ft"}
    whole = {"fan": FAN, "dose": {"strength": "6 %"}, "machines": space}
    for asked in RECKONINGS[what].asks:
        if asked.kind != "text" or asked.choices:
            with pytest.raises(WrongUse):
                works_out(what, whole[what] | {asked.name: text})


@given(st.sampled_from(sorted(RECKONINGS)), st.data())
def test_whatever_is_typed_is_read_or_refused(what: str, data: st.DataObject) -> None:
    names = st.sampled_from([asked.name for asked in RECKONINGS[what].asks])
    typed = data.draw(st.dictionaries(names, st.text(max_size=12)))
    with contextlib.suppress(WrongUse):
        assert read_all(what, typed).keys() <= typed.keys()


def test_every_unit_of_the_fields_is_known() -> None:
    dimensions = {unit.dimension for unit in UNITS.values()}
    own = {"humidity", "concentration", "difference", "air", "count", "text"}
    asked = {one.kind for reckoning in RECKONINGS.values() for one in reckoning.asks}
    assert asked <= dimensions | own


# NIST Handbook 44, appendix C: a gallon is 16 cups, 256 tablespoons, 768 teaspoons.
@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("1 gal", "3.79 L (1.00 gal)"),
        ("1 cup", "0.237 L (1.00 cup)"),
        ("4 tbsp", "0.0591 L (0.25 cup)"),
        ("3.5 tbsp", "0.0518 L (3.5 tbsp)"),
        ("1 tbsp", "0.0148 L (1 tbsp)"),
        ("2.5 tsp", "0.0123 L (2.5 tsp)"),
        ("0.02 cup", "0.00473 L (0.96 tsp)"),
        ("0.1 tsp", "0.000493 L (0.1 tsp)"),
    ],
)
def test_a_small_volume_is_told_in_the_spoon_it_is_measured_with(typed: str, told: str) -> None:
    assert liquid(float(quantity(typed).si)) == told
