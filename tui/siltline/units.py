"""Quantities as people type them: kept as typed, compared as SI.

Ours instead of a units library: the whole of it is one table, exact in Decimal, while the
usual library costs 0.2 s to import and computes in floats.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.sentences import say

LONGEST = 40
# A number (34, .5, 34 1/2, 34-1/2, 1/2) and the unit after it; tapes are read in fractions.
_PART = (
    r"\s*(?P<sign>[+-]?)"
    r"(?:(?P<num>\d{1,3})/(?P<den>[1-9]\d{0,2})"
    r"|(?P<whole>\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})(?:[ -](?P<num2>\d{1,3})/(?P<den2>[1-9]\d{0,2}))?)"
    r"\s*(?P<unit>(?i:m3/s|m3/h|l/s|kg/day|kg/d|lb/day|lb/d|pt/day|pt/d|pints?/day|m2/l|ft2/gal"
    r"|fl(?:uid|\.)?\s*(?:oz\.?|ounces?)(?![a-z]))"
    # but `2ft3in` is two feet three inches
    r"|(?:ft|m)[23](?!\s*[a-z'\"\u2032\u2033\u2019\u201d])|[^\d\s.+/-]+|)"
)


class Unit(Struct, frozen=True):
    """One unit: SI value = (amount + shift) * factor, exact."""

    dimension: str
    factor: Decimal
    shift: Decimal = Decimal(0)


# The international inch, 25.4 mm, and degrees Fahrenheit: NIST SP 811 (2008), appendix B.8.
_INCH, _FOOT = Decimal("0.0254"), Decimal("0.3048")
_GALLON, _POUND = 231 * _INCH**3, Decimal("0.45359237")  # US liquid gallon, 231 cubic inches
UNITS: dict[str, Unit] = {
    "mm": Unit("length", Decimal("0.001")),
    "cm": Unit("length", Decimal("0.01")),
    "m": Unit("length", Decimal(1)),
    "in": Unit("length", _INCH),
    "ft": Unit("length", _FOOT),
    "m2": Unit("area", Decimal(1)),
    "ft2": Unit("area", _FOOT * _FOOT),
    "%": Unit("ratio", Decimal("0.01")),
    "C": Unit("temperature", Decimal(1), Decimal("273.15")),
    "F": Unit("temperature", Decimal(5) / Decimal(9), Decimal("459.67")),
    "K": Unit("temperature", Decimal(1)),
    "s": Unit("time", Decimal(1)),
    "min": Unit("time", Decimal(60)),
    "h": Unit("time", Decimal(3600)),
    "d": Unit("time", Decimal(86400)),
    # pressure, volume, flow, mass: NIST SP 811 (2008), appendix B.8; conventional inHg
    "Pa": Unit("pressure", Decimal(1)),
    "hPa": Unit("pressure", Decimal(100)),
    "kPa": Unit("pressure", Decimal(1000)),
    "mbar": Unit("pressure", Decimal(100)),
    "inHg": Unit("pressure", Decimal("3386.389")),
    "psi": Unit("pressure", Decimal("6894.757")),
    "m3": Unit("volume", Decimal(1)),
    "L": Unit("volume", Decimal("0.001")),
    "mL": Unit("volume", Decimal("0.000001")),
    "ft3": Unit("volume", _FOOT**3),
    # quart, pint, fluid ounce, cup, spoons: of the US liquid gallon, NIST Handbook 44, appendix C
    "gal": Unit("volume", _GALLON),
    "qt": Unit("volume", _GALLON / 4),
    "pt": Unit("volume", _GALLON / 8),
    "fl oz": Unit("volume", _GALLON / 128),
    "cup": Unit("volume", _GALLON / 16),
    "tbsp": Unit("volume", _GALLON / 256),
    "tsp": Unit("volume", _GALLON / 768),
    "m3/s": Unit("flow", Decimal(1)),
    "m3/h": Unit("flow", 1 / Decimal(3600)),
    "L/s": Unit("flow", Decimal("0.001")),
    "cfm": Unit("flow", _FOOT**3 / 60),
    "kg": Unit("mass", Decimal(1)),
    "lb": Unit("mass", _POUND),
    "kg/d": Unit("mass-a-day", 1 / Decimal(86400)),
    "lb/d": Unit("mass-a-day", _POUND / 86400),
    # what dehumidifiers are rated in: US liquid pints, as water of 1 kg/L
    "pt/d": Unit("mass-a-day", _GALLON / 8 * 1000 / 86400),
    "m2/L": Unit("coverage", Decimal(1000)),
    "ft2/gal": Unit("coverage", _FOOT * _FOOT / _GALLON),
    "ppm": Unit("concentration", Decimal("0.000001")),
    "ach": Unit("air-changes", 1 / Decimal(3600)),
}
ALIASES = {
    '"': "in", "\u2033": "in", "\u201d": "in", "inch": "in", "inches": "in",
    "'": "ft", "\u2032": "ft", "\u2019": "ft", "foot": "ft", "feet": "ft",
    "sqft": "ft2", "ft\u00b2": "ft2", "m\u00b2": "m2", "percent": "%",
    "\u00b0C": "C", "\u00b0F": "F", "hours": "h", "hour": "h", "days": "d", "day": "d",
    "minutes": "min", "minute": "min", "pa": "Pa", "hpa": "hPa", "kpa": "kPa", "inhg": "inHg",
    "m\u00b3": "m3", "ft\u00b3": "ft3", "cuft": "ft3", "liter": "L", "litre": "L", "ml": "mL",
    "liters": "L", "litres": "L", "quart": "qt", "quarts": "qt", "pint": "pt", "pints": "pt",
    "floz": "fl oz", "fluidoz": "fl oz", "fluidounce": "fl oz", "fluidounces": "fl oz",
    "flounce": "fl oz", "flounces": "fl oz",
    "gallon": "gal", "gallons": "gal", "cups": "cup", "l/s": "L/s", "lbs": "lb",
    "kg/day": "kg/d", "lb/day": "lb/d", "pt/day": "pt/d",
    "pint/day": "pt/d", "pints/day": "pt/d", "m2/l": "m2/L",
}  # fmt: skip
# A number with a comma in it; with thousands apart by commas; with one comma for the decimal mark.
_COMMA = re.compile(r"[\d.]*,[\d,.]*\d")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")
_DECIMAL_COMMA = re.compile(r"\d*,\d+")
_FOOT_MARKS = ("'", "\u2032", "\u2019")
_INCHES_IN_A_FOOT = 12
LENGTH_UNITS = tuple(name for name, unit in UNITS.items() if unit.dimension == "length")


class CommaTyped(WrongUse):
    """A number was typed with a comma, which may be a decimal mark or may part thousands."""


class Quantity(Struct, frozen=True):
    """A number with its unit: `text` as typed, `si` exact in the SI unit of `dimension`."""

    text: str
    si: Decimal
    dimension: str
    unit: str

    def in_unit(self, name: str, places: int = 0) -> Decimal:
        """Return the amount in another unit of the same dimension, rounded half to even."""
        unit = UNITS[name]
        amount = self.si / unit.factor - unit.shift
        return amount.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)

    def typed_in(self, name: str, places: int = 1) -> Quantity:
        """Return the same amount with the text of another unit: for what nobody typed."""
        shown = self.in_unit(name, places)
        whole = shown.to_integral_value()
        text = f"{whole if shown == whole else shown} {name}"
        return Quantity(text, self.si, self.dimension, name)


def bare_in(typed: str, unit: str) -> str:
    """Return what was typed, a bare number with the unit that goes without saying there."""
    bare = typed.strip()
    digits = bare.replace(".", "", 1)
    return f"{bare} {unit}" if digits.isascii() and digits.isdecimal() else bare


def unit_named(word: str) -> str | None:
    """Return the unit that a person means by a word: `sqft` is ft2; None where it is none."""
    lower = "".join(word.lower().replace(".", "").split())  # fl. oz. is floz
    for name in (word, lower, word.upper(), ALIASES.get(word), ALIASES.get(lower)):
        if name in UNITS:
            return name
    return None


_HALVES = {"\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4"}


def _spelt(text: str) -> str:
    """Return a text with the fractions that a keyboard puts in one character written out."""
    for char, fraction in _HALVES.items():
        text = re.sub(rf"\s*{char}", f" {fraction}", text)
    return text


@lru_cache(maxsize=1)
def _part() -> re.Pattern[str]:
    """Return the pattern of one part; a millisecond that no first paint needs."""
    return re.compile(_PART)


def _parts(text: str) -> list[tuple[Decimal, str]] | None:
    """Split `2 ft 10 in` into its amounts and units; None where something is left over."""
    found: list[tuple[Decimal, str]] = []
    at, mark = 0, ""
    while at < len(text):
        match = _part().match(text, at)
        unit = unit_named(match["unit"]) if match else None
        if match is not None and not match["unit"] and mark in _FOOT_MARKS and not match["sign"]:
            # 2'10 as a tape is read out; twelve inches and more would be another foot
            unit = "in" if _amount(match) < _INCHES_IN_A_FOOT else None
        if match is None or unit is None:
            return None
        found.append((_amount(match), unit))
        at, mark = match.end(), match["unit"]
    return found or None


def _amount(match: re.Match[str]) -> Decimal:
    amount = Decimal(match["whole"] or 0)
    for num, den in ((match["num"], match["den"]), (match["num2"], match["den2"])):
        if num is not None:
            amount += Decimal(num) / Decimal(den)
    return amount.copy_negate() if match["sign"] == "-" else amount


@lru_cache(maxsize=4096)
def quantity(text: str, dimension: str | None = None) -> Quantity:
    """Return the quantity that a person typed.

    Args:
        text: a number and a unit (`34 in`, `34 1/2 in`, `86cm`, `15.2%`, `18C`), or feet and
            inches (`2 ft 10 in`). A full stop is the decimal mark.
        dimension: what it must measure, a dimension of `UNITS`: length, ratio, temperature ...

    Raises:
        CommaTyped: a number with a comma; says what to write.
        WrongUse: no number, no unit, an unknown unit or another dimension.
    """
    parts = _parts(_spelt(text).strip().rstrip(".")) if len(text) <= LONGEST else None
    if parts is None and len(text) <= LONGEST and (comma := _COMMA.search(text)):
        examples = _without_comma(text, comma, dimension) or examples_of(dimension)
        raise CommaTyped(say("units.comma", text=text, examples=examples))
    if parts is None:
        raise WrongUse(say("units.not-a-quantity", text=text[:LONGEST], **_hints(dimension)))
    kind = UNITS[parts[0][1]].dimension
    if dimension is not None and kind != dimension:
        raise WrongUse(say("units.wrong-kind", text=text, units=known(dimension)))
    feet_and_inches = len(parts) == 2 and [unit for _, unit in parts] == ["ft", "in"]  # noqa: PLR2004
    if len(parts) > 1 and not feet_and_inches:
        raise WrongUse(say("units.not-a-quantity", text=text, **_hints(dimension)))
    if feet_and_inches:  # the hyphen of 2'-10" joins, it takes nothing away
        (feet, _), (inches, _) = parts
        si = (abs(feet) * _FOOT + abs(inches) * _INCH).copy_sign(feet)
    else:
        unit = UNITS[parts[0][1]]
        si = (parts[0][0] + unit.shift) * unit.factor
    return Quantity(text.strip(), si, kind, parts[0][1])


def _without_comma(text: str, comma: re.Match[str], dimension: str | None) -> str:
    """Return what a text with a comma was likely meant to be, as it is written; "" for nothing."""
    number, meant = comma[0], []
    if _THOUSANDS.fullmatch(number):
        meant.append(number.replace(",", ""))
    if _DECIMAL_COMMA.fullmatch(number):
        meant.append(number.replace(",", "."))
    before, after = text[: comma.start()], text[comma.end() :]
    # a bare number is a share where one is wanted; elsewhere nobody knows its unit
    bare = "%" if dimension == "ratio" and not (before + after).strip() else ""
    whole = [f"{before}{one}{bare}{after}".strip() for one in meant]
    return " / ".join(one for one in whole if _is_one(one, dimension))


def _is_one(text: str, dimension: str | None) -> bool:
    """Tell whether a text is a quantity of a dimension."""
    try:
        quantity(text, dimension)
    except WrongUse:
        return False
    return True


def difference(text: str) -> Decimal:
    """Return a difference of temperatures in kelvin: 0.9 F is 0.5 K apart, from wherever.

    Raises:
        WrongUse: as `quantity` does.
    """
    read = quantity(text, "temperature")
    unit = UNITS[read.unit]
    return read.si - unit.shift * unit.factor


_EXAMPLES = {
    "length": "34in, 34 1/2 in, 2 ft 10 in, 86cm",
    "area": "1200 ft2, 110 m2",
    "ratio": "15.2%",
    "temperature": "18C, 64F",
    "time": "24h",
    "pressure": "101325Pa, 29.92inHg",
    "volume": "0.75cup, 1gal, 5L",
    "flow": "300cfm, 0.14m3/s",
    "mass": "200kg",
    "mass-a-day": "5kg/day",
    "coverage": "10m2/L, 400ft2/gal",
    "concentration": "500ppm",
    "air-changes": "5ach",
}


def _hints(dimension: str | None) -> dict[str, str]:
    """Return what a person may type instead: the units there are, and examples."""
    return {"units": known(dimension), "examples": examples_of(dimension)}


def examples_of(dimension: str | None = None) -> str:
    """Return amounts as a person may type them, for a sentence."""
    return _EXAMPLES.get(dimension or "", "34in, 86cm, 15.2%, 18C")


def known(dimension: str | None = None) -> str:
    """Return the units a person may type, for a sentence."""
    return ", ".join(n for n, u in UNITS.items() if dimension in (None, u.dimension))


_FAR = 10  # metres: beyond it nobody reads inches or centimetres


def both(length: Quantity) -> str:
    """Return a length in the words it was typed in and in the other system."""
    near, far = ("cm", "m") if length.unit in ("in", "ft") else ("in", "ft")
    other = far if abs(length.si) >= _FAR else near
    return f"{length.text} ({length.in_unit(other)} {other})"
