"""What can be known of a place: each fact with where it is written, and which facts there are."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Literal, get_args

from msgspec import Struct, field

from siltline.errors import WrongUse
from siltline.rules.plan import Ask
from siltline.sentences import say
from siltline.units import Quantity, quantity

# The kinds of places that a rule can stand at.
PlaceKind = Literal[
    "house", "room", "wall", "electrical-part", "circuit", "motor", "appliance", "burner", "fuel",
    "live-source", "well", "septic", "heating-cooling", "crawl-space", "basement", "contents",
]  # fmt: skip
Value = str | bool | Quantity | None


class Fact(Struct, frozen=True):
    """A fact of a place: its value (None = unknown), where it is from, what to ask if unknown."""

    value: Value
    where: str
    asks: tuple[Ask, ...] = ()


class Place(Struct, frozen=True):
    """Where a step can be.

    Attributes:
        kind, id, name: what it is, its id in the sheet, what people call it.
        facts: fact -> what is known of it, for every fact that its kind has.
        belongs_to: kind -> id of the places that it stands in or hangs on.
        where: the line that says it is there.
        path: where it stands in the house sheet; () for what no one key of the sheet holds.
    """

    kind: str
    id: str
    name: str
    facts: Mapping[str, Fact]
    belongs_to: Mapping[str, str] = field(default_factory=dict)
    where: str = ""
    path: tuple[str, ...] = ()


class FactKind(Struct, frozen=True):
    """What values a fact can have.

    Attributes:
        choices: the values there are; None where any words, or any amount, can stand.
        dimension: what an amount measures (length, area, year, count); "" for words and choices.
    """

    choices: tuple[str | bool, ...] | None = None
    dimension: str = ""


WORDS = FactKind()
YES_NO = FactKind((True, False))


def one_of(literal: Any) -> FactKind:
    """Return the kind of a fact that is one of the words of a `Literal`."""
    return FactKind(get_args(literal))


def amount(dimension: str) -> FactKind:
    """Return the kind of a fact that is an amount, to be held against bounds."""
    return FactKind(dimension=dimension)


_BARE = ("year", "count")  # measured by a whole number alone
_LONGEST = 9  # digits of a whole number
_OF_A_YEAR = 4


def measured(text: str, dimension: str) -> Quantity:
    """Return an amount that a person or a rule typed, in its dimension.

    Years and counts are whole numbers without a unit; all else is as `units.quantity` reads it.

    Raises:
        WrongUse: it measures something else, or nothing.
    """
    if dimension not in _BARE:
        return quantity(text, dimension)
    digits = text.isascii() and text.isdecimal() and len(text) <= _LONGEST
    if not digits or (dimension == "year" and len(text) != _OF_A_YEAR):
        raise WrongUse(say(f"house.no-{dimension}", text=text))
    return Quantity(text, Decimal(text), dimension, "")


def above_missing(place: Place, kind: str) -> Fact:
    """Return what a place can say of a place above it that it does not have.

    A thing that stands in a crawl space has no room: nothing that is asked of a room fits it.
    A thing that nobody placed may stand in any room, so its room is asked for.
    """
    if kind == "room" and "space" in place.belongs_to:
        return Fact("", say("fact.no-room"))
    ask = Ask(
        (*(place.path or (place.kind, place.id)), kind), say("ask.field.room", name=place.name)
    )
    return Fact(None, say("fact.not-stated"), (ask,))
