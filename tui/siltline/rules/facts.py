"""What can be known of a place: each fact with where it is written, and which facts there are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, get_args

from siltline.errors import WrongUse
from siltline.rules.plan import Ask
from siltline.sentences import say
from siltline.units import Quantity, quantity

Value = str | bool | Quantity | None


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact of a place: its value (None = unknown), where it is from, what to ask if unknown."""

    value: Value
    where: str
    asks: tuple[Ask, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a step can be: its kind, id, name, facts, and the places it belongs to (kind -> id)."""

    kind: str
    id: str
    name: str
    facts: Mapping[str, Fact]
    belongs_to: Mapping[str, str] = field(default_factory=dict)
    where: str = ""


@dataclass(frozen=True, slots=True)
class FactKind:
    """What values a fact can have.

    Attributes:
        choices: the values there are; None where any words, or any amount, can stand.
        dimension: what an amount measures (length, area, year, ...); "" for words and choices.
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


_YEAR_DIGITS, _COUNT_DIGITS = 4, 6


def read_amount(text: str, dimension: str) -> Quantity:
    """Return an amount as typed: years and counts are bare numbers, all else has its unit.

    Raises:
        WrongUse: it is no such amount.
    """
    if dimension == "year":
        fine = len(text) == _YEAR_DIGITS and text.isascii() and text.isdecimal()
    elif dimension == "count":
        fine = len(text) <= _COUNT_DIGITS and text.isascii() and text.isdecimal()
    else:
        return quantity(text, dimension)
    if not fine:
        raise WrongUse(say(f"units.no-{dimension}", text=text[:40]))
    return Quantity(text, Decimal(text), dimension, "")
