"""Quantities are read as people type them, exactly, and anything that is none is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.errors import WrongUse
from siltline.units import LENGTH_UNITS, LONGEST, UNITS, both, difference, known, quantity

# NIST Special Publication 811 (2008), appendix B.8; what stands there in bold type is exact.
INCH = Decimal("0.0254")
FOOT = Decimal("0.3048")
SQUARE_FOOT = Decimal("0.09290304")

SIZES = st.decimals(0, 99_999, places=2)


@pytest.mark.parametrize(
    ("typed", "si"),
    [
        ("1 in", INCH),
        ("1 ft", FOOT),
        ("1 ft2", SQUARE_FOOT),
        ("12 in", FOOT),
        ("1 mm", Decimal("0.001")),
        ("1 cm", Decimal("0.01")),
        ("1 m2", Decimal(1)),
        ("32 F", Decimal("273.15")),
        ("0 C", Decimal("273.15")),
        ("212 F", Decimal("373.15")),  # (212 + 459.67) / 1.8, SP 811
        ("-40 F", Decimal("233.15")),  # the same in both: (-40 + 459.67) / 1.8
        ("-40 C", Decimal("233.15")),
        ("24 h", Decimal(86_400)),
        ("1 d", Decimal(86_400)),
        ("15.2 %", Decimal("0.152")),
    ],
)
def test_published_conversions_are_exact(typed: str, si: Decimal) -> None:
    assert quantity(typed).si == si


def test_nought_fahrenheit_in_kelvin_is_as_near_as_decimals_come() -> None:
    exact = Decimal("459.67") * 5 / 9  # SP 811: T/K = (t/F + 459.67) / 1.8
    assert abs(quantity("0 F").si - exact) < Decimal("1e-20")


def test_body_heat_is_the_same_in_both_scales() -> None:
    assert quantity("98.6F").si == quantity("37C").si  # (98.6 - 32) / 1.8 = 37, SP 811
    assert quantity("98.6F").in_unit("C", 1) == Decimal("37.0")


@pytest.mark.parametrize(
    "typed",
    [
        "34in", "34 in", "34  in", " 34 in ", "34 IN", "34 inches", '34"', "34\u2033", "34\u201d",
        "34.0 in", "+34 in", "34\u00a0in",
        "2'10\"", "2' 10\"", "2\u203210\u2033", "2\u201910\u201d", "2 ft 10 in", "2ft10in",
        "2 feet 10 inches", "2'10", "2\u2019 10", "2'10.",
    ],
)  # fmt: skip
def test_thirty_four_inches_however_they_are_typed(typed: str) -> None:
    read = quantity(typed, "length")
    assert read.si == 34 * INCH
    assert read.text == typed.strip()


@pytest.mark.parametrize("typed", ['34\u00bd"', "34 \u00bd in", "2'10\u00bd"])
def test_a_fraction_in_one_character_is_read(typed: str) -> None:
    assert quantity(typed).si == Decimal("34.5") * INCH


@given(st.integers(0, 99), st.integers(0, 11), st.sampled_from("'\u2032\u2019"))
def test_feet_and_a_bare_number_behind_their_mark_are_feet_and_inches(
    feet: int, inches: int, mark: str
) -> None:
    typed = f"{feet}{mark}{inches}"
    assert quantity(typed).si == (12 * feet + inches) * INCH
    assert quantity(typed).text == typed


# Carpenters write feet and inches with a hyphen between them: common practice. Read as a
# difference it would put an outlet 20 inches too low, or a waterline.
@pytest.mark.parametrize("typed", ["2'-10\"", "2'-10''", "2 ft -10 in", "-2 ft 10 in"])
def test_a_hyphen_never_takes_the_inches_off_the_feet(typed: str) -> None:
    try:
        read = quantity(typed, "length")
    except WrongUse:
        return
    assert abs(read.si) == 34 * INCH


@pytest.mark.parametrize(
    ("typed", "dimension", "si"),
    [
        ("86cm", "length", Decimal("0.86")),
        ("0.86 m", "length", Decimal("0.86")),
        ("860 mm", "length", Decimal("0.86")),
        ("15.2%", "ratio", Decimal("0.152")),
        ("15.2 percent", "ratio", Decimal("0.152")),
        ("18C", "temperature", Decimal("291.15")),
        ("18 \u00b0C", "temperature", Decimal("291.15")),
        ("1200 ft2", "area", 1200 * SQUARE_FOOT),
        ("1200 ft\u00b2", "area", 1200 * SQUARE_FOOT),
        ("1200 sqft", "area", 1200 * SQUARE_FOOT),
        ("100 m\u00b2", "area", Decimal(100)),
        ("48 hours", "time", Decimal(172_800)),
        ("2 days", "time", Decimal(172_800)),
    ],
)
def test_other_forms_that_people_type(typed: str, dimension: str, si: Decimal) -> None:
    read = quantity(typed, dimension)
    assert (read.si, read.dimension) == (si, dimension)


@pytest.mark.parametrize(
    "typed",
    [
        "", " ", "34", "in", "in 34", "34 in in", "34 in 34", "34 stone", "34 in x", "x 34 in",
        "NaN in", "nan", "inf in", "-Infinity m", "1e5in", "1E5 in", "0x22 in", "1_000 in",
        "1.5.2 in", "--3 in", "3- in", "34 in\x1b", "34 in\x00",
        "2 in 3 ft", "1 ft 2 in 3 in", "1 m 20 cm", "2 ft 3 ft", "2 ft 10",
        "2'12", "2'-10", "2'10 3", "2m10",
        "1234567890 in", "1.1234567890 in", "\ud800 in",
    ],
)  # fmt: skip
def test_what_is_no_quantity_is_refused_in_a_sentence_that_says_what_to_type(typed: str) -> None:
    with pytest.raises(WrongUse, match=r"is not a number with its unit; type for example 34in"):
        quantity(typed)


def test_a_text_of_forty_characters_is_read_and_one_more_is_refused() -> None:
    assert len(blank := "3" + " " * (LONGEST - 3) + "in") == 40
    assert quantity(blank).si == 3 * INCH
    with pytest.raises(WrongUse, match="not a number"):
        quantity("3" + " " * (LONGEST - 2) + "in")


def test_what_is_refused_is_told_short_and_visible() -> None:
    with pytest.raises(WrongUse) as told:
        quantity("\x1b[31m" + "x" * 1000)
    assert "\x1b" not in str(told.value)
    assert "x" * LONGEST not in str(told.value)


@pytest.mark.parametrize(
    ("typed", "dimension", "units"),
    [
        ("34 in", "temperature", "C, F, K"),
        ("18 C", "length", "mm, cm, m, in, ft"),
        ("1200 ft2", "length", "mm, cm, m, in, ft"),
        ("15 %", "time", "s, min, h, d"),
    ],
)
def test_another_kind_of_unit_is_refused_and_the_right_ones_named(
    typed: str, dimension: str, units: str
) -> None:
    with pytest.raises(WrongUse, match=f"another kind of unit than is wanted here: {units}"):
        quantity(typed, dimension)


def test_the_units_of_a_sentence_are_all_or_those_of_a_kind() -> None:
    assert known("length").split(", ") == list(LENGTH_UNITS)
    assert known().split(", ") == list(UNITS)


@given(SIZES, st.sampled_from(LENGTH_UNITS))
def test_a_length_is_its_number_times_its_unit_exactly(size: Decimal, unit: str) -> None:
    read = quantity(f"{size} {unit}", "length")
    assert read.si == size * UNITS[unit].factor
    assert read.in_unit(unit, 2) == size


@given(SIZES)
def test_inches_to_centimetres_to_metres_and_back_lose_nothing(size: Decimal) -> None:
    centimetres = quantity(f"{size} in").in_unit("cm", 6)
    metres = quantity(f"{centimetres:f} cm").in_unit("m", 8)
    assert quantity(f"{metres:f} m").si == size * INCH
    assert quantity(f"{metres:f} m").in_unit("in", 2) == size


@given(st.integers(0, 999), st.integers(0, 11))
def test_feet_and_inches_add_up(feet: int, inches: int) -> None:
    assert quantity(f"{feet} ft {inches} in").si == (12 * feet + inches) * INCH


@given(st.integers(-459, 9999))
def test_fahrenheit_to_celsius_and_back_is_the_same_degree(degrees: int) -> None:
    celsius = quantity(f"{degrees} F").in_unit("C", 6)
    assert quantity(f"{celsius:f} C").in_unit("F") == degrees


@given(st.text(st.characters(), max_size=50))
def test_any_text_is_a_finite_quantity_or_refused(text: str) -> None:
    try:
        read = quantity(text)
    except WrongUse:
        return
    assert read.si.is_finite()
    assert read.dimension in {unit.dimension for unit in UNITS.values()}


def test_rounding_goes_to_the_even_neighbour() -> None:
    assert [quantity(f"{n} mm").in_unit("cm") for n in (5, 15, 25, 35)] == [0, 2, 2, 4]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("34 in", "34 in (86 cm)"),  # 86.36
        ("2 ft 10 in", "2 ft 10 in (86 cm)"),
        ("86cm", "86cm (34 in)"),  # 33.86
        ("0.9 m", "0.9 m (35 in)"),  # 35.43
        ("0 in", "0 in (0 cm)"),
        ("1020 ft", "1020 ft (311 m)"),  # 310.896
        ("-9 m", "-9 m (-354 in)"),  # -354.33
        ("311 m", "311 m (1020 ft)"),  # 1020.34
    ],
)
def test_a_length_is_told_in_both_systems_and_first_as_it_was_typed(typed: str, words: str) -> None:
    assert both(quantity(typed, "length")) == words


# US tapes are read in fractions of an inch: common practice.
@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("34 1/2 in", "34.5"),
        ("34-1/2 in", "34.5"),
        ('34 1/2"', "34.5"),
        ("1/2 in", "0.5"),
        (".5 in", "0.5"),
        ("34 in.", "34"),
        ("2 ft 10 1/4 in", "34.25"),
        ("2'-10 3/16\"", "34.1875"),
        ("-3 1/2 in", "-3.5"),
    ],
)
def test_inches_are_read_off_a_tape_in_fractions(typed: str, inches: str) -> None:
    assert quantity(typed, "length").si == Decimal(inches) * INCH


@pytest.mark.parametrize("typed", ["1/0 in", "34 1/2", "34/2 ft 3/4", "1//2 in", "1/2/3 in"])
def test_a_fraction_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(WrongUse):
        quantity(typed, "length")


# NIST SP 811, appendix B.8: pressure, volume, flow and mass. A US gallon is 231 cubic inches.
@pytest.mark.parametrize(
    ("typed", "dimension", "si"),
    [
        ("95461Pa", "pressure", "95461"),
        ("101.325 kPa", "pressure", "101325"),
        ("1013.25 hPa", "pressure", "101325"),
        ("1013.25mbar", "pressure", "101325"),
        ("1 inHg", "pressure", "3386.389"),
        ("1gal", "volume", "0.003785411784"),
        ("0.75cup", "volume", "0.000177441177375"),
        ("16 tbsp", "volume", "0.0002365882365"),
        ("3 tsp", "volume", "0.00001478676478125"),
        ("5 L", "volume", "0.005"),
        ("250 mL", "volume", "0.00025"),
        ("250ml", "volume", "0.00025"),
        ("1 m3", "volume", "1"),
        ("1 ft3", "volume", "0.028316846592"),
        ("1 m3/s", "flow", "1"),
        ("60 L/s", "flow", "0.06"),
        ("200kg", "mass", "200"),
        ("1 lb", "mass", "0.45359237"),
        ("10 m2/L", "coverage", "10000"),
        ("500ppm", "concentration", "0.0005"),
        ("10 min", "time", "600"),
    ],
)
def test_more_published_conversions_are_exact(typed: str, dimension: str, si: str) -> None:
    assert quantity(typed, dimension).si == Decimal(si)


# The same: 1 cfm is 4.719474 E-04 m3/s; the rest divides a day or an hour.
@pytest.mark.parametrize(
    ("typed", "dimension", "si"),
    [
        ("300cfm", "flow", 300 * 4.719474432e-4),
        ("360 m3/h", "flow", 0.1),
        ("5kg/day", "mass-a-day", 5 / 86400),
        ("5 kg/d", "mass-a-day", 5 / 86400),
        ("2 lb/day", "mass-a-day", 2 * 0.45359237 / 86400),
        ("400ft2/gal", "coverage", 400 * 0.09290304 / 0.003785411784),
        ("5ach", "air-changes", 5 / 3600),
    ],
)
def test_conversions_that_do_not_end_are_as_near_as_floats_come(
    typed: str, dimension: str, si: float
) -> None:
    assert float(quantity(typed, dimension).si) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize("typed", ["2ft3in", "2ft2in", "2 ft3 in", "2'3\"", "2ft 3in"])
def test_square_and_cubic_feet_do_not_swallow_inches(typed: str) -> None:
    inches = 26 if "2in" in typed else 27
    assert quantity(typed, "length").si == inches * INCH


@pytest.mark.parametrize(("typed", "kelvin"), [("0.5K", "0.5"), ("0.5 C", "0.5"), ("1.8F", "1")])
def test_a_difference_of_temperatures_has_no_zero(typed: str, kelvin: str) -> None:
    assert abs(difference(typed) - Decimal(kelvin)) < Decimal("1e-20")


# NIST Handbook 44, appendix C: a US gallon is 4 liquid quarts, 8 liquid pints, 128 fluid ounces,
# exactly; NIST SP 811, appendix B.8, has the same rounded (quart 9.463 529 E-04 m3, pint 4.731 765
# E-04, fluid ounce 2.957 353 E-05).
@pytest.mark.parametrize(
    ("typed", "parts", "rounded"),
    [
        ("1 qt", 4, "0.0009463529"),
        ("1 quart", 4, "0.0009463529"),
        ("1 Quarts", 4, "0.0009463529"),
        ("1 pt", 8, "0.0004731765"),
        ("1 pint", 8, "0.0004731765"),
        ("1 pints", 8, "0.0004731765"),
        ("1 fl oz", 128, "0.00002957353"),
        ("1floz", 128, "0.00002957353"),
        ("1 fl. oz.", 128, "0.00002957353"),
        ("1 FL OZ", 128, "0.00002957353"),
        ("1 fluid ounce", 128, "0.00002957353"),
        ("1 fluid  ounces", 128, "0.00002957353"),
    ],
)
def test_parts_of_a_gallon_are_exact(typed: str, parts: int, rounded: str) -> None:
    read = quantity(typed, "volume")
    assert read.si * parts == quantity("1 gal").si
    assert abs(read.si - Decimal(rounded)) < Decimal("1e-10")


@pytest.mark.parametrize("typed", ["2 liters", "2 litres", "2 liter", "2 litre", "2 L", "2 LITERS"])
def test_litres_are_litres_however_they_are_spelt(typed: str) -> None:
    assert quantity(typed, "volume").si == Decimal("0.002")


@pytest.mark.parametrize("typed", ["70 pt/d", "70pt/day", "70 pints/day", "70 pint/day"])
def test_a_pint_a_day_is_still_what_a_dehumidifier_takes_out(typed: str) -> None:
    assert quantity(typed).dimension == "mass-a-day"


@pytest.mark.parametrize("typed", ["5 oz", "5 fl", "5 ounces", "5 flozz", "5 fl oz 3"])
def test_an_ounce_that_may_be_of_weight_is_no_unit(typed: str) -> None:
    with pytest.raises(WrongUse, match="not a number with its unit"):
        quantity(typed, "volume")


@pytest.mark.parametrize(
    ("typed", "dimension", "example"),
    [
        ("18,5C", "temperature", "18.5C"),
        ("18,5 C", None, "18.5 C"),
        (",5 in", "length", ".5 in"),
        ("2 ft 10,5 in", "length", "2 ft 10.5 in"),
        ("1,200.5 ft2", "area", "1200.5 ft2"),
        ("1,200,000 ft2", "area", "1200000 ft2"),
        ("1,200cfm", "flow", "1200cfm / 1.200cfm"),  # either may be meant
        ("0,200 in", "length", "0.200 in"),
        ("17,5", "ratio", "17.5%"),
        ("18,5", "temperature", "18C, 64F"),  # of C or F, nobody said
        ("18,5C", "length", "34in, 34 1/2 in, 2 ft 10 in, 86cm"),  # of another kind
        ("1,2,3 in", None, "34in, 86cm, 15.2%, 18C"),
    ],
)
def test_a_comma_is_refused_by_its_name_with_what_to_write(
    typed: str, dimension: str | None, example: str
) -> None:
    with pytest.raises(WrongUse) as told:
        quantity(typed, dimension)
    assert str(told.value) == (
        f"'{typed}' has a comma. The decimal mark is a full stop, and thousands have no mark: "
        f"write for example {example}."
    )
