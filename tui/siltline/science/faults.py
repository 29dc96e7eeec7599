"""What can be wrong with a number, one error each; all are wrong use, so a command exits with 2."""

from __future__ import annotations

import math
from collections.abc import Mapping

from siltline.errors import WrongUse
from siltline.sentences import say


class BadInput(WrongUse):
    """A computation was asked on something that it cannot be done on.

    `concerns` names what: ends of `science.what.`, or words that a command knows an option for.
    """

    def __init__(self, told: str, *concerns: str) -> None:
        """Take the sentence, and what it is about."""
        super().__init__(told)
        self.concerns = concerns


class NotFinite(BadInput):
    """A number is no number or infinite."""


class OutOfRange(BadInput):
    """A number is outside what the formula holds for, or the world knows."""


class Contradiction(BadInput):
    """Two numbers cannot both be true: swapped, or one misread."""


class Incomplete(BadInput):
    """Something says nothing without something else, or two things exclude each other."""


def together(given: Mapping[str, object], **about: str) -> None:
    """Refuse some of what says nothing without the others.

    Args:
        given: name -> value, or None.
        about: name (with _ for -) of each that belongs to the others -> what it is about.

    Raises:
        Incomplete: some are there and others are not.
    """
    names = [name.replace("_", "-") for name in about]
    if len({given.get(name) is None for name in names}) > 1:
        raise Incomplete(say("calc.both-of", options=", ".join(names)), *about.values())


def within(what: str, value: float, low: float, high: float, unit: str) -> float:
    """Return the value if it is finite and from low to high.

    Args:
        what: a name for the sentence, from the catalogue's `science.what.` family.
        value: the number, in `unit`.
        low: the least it can be.
        high: the most.
        unit: the unit of all three, for the sentence.

    Raises:
        NotFinite: NaN or infinity.
        OutOfRange: outside the bounds.
    """
    if not math.isfinite(value):
        told = say("science.not-finite", what=say(f"science.what.{what}"), value=value)
        raise NotFinite(told, what)
    if not low <= value <= high:
        about = say(f"science.what.{what}")
        raise OutOfRange(
            say(
                "science.range",
                what=about,
                value=f"{value:.6g}",
                low=f"{low:g}",
                high=f"{high:g}",
                unit=unit,
            ),
            what,
        )
    return value
