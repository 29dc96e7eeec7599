"""Does a rule apply here? Three-valued: an unknown fact never hides a step, it asks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from siltline.rules.condition import AllOf, AnyOf, Bound, Condition, Not, Test
from siltline.rules.facts import Fact, Place, Value, above_missing
from siltline.rules.plan import Ask, Because
from siltline.sentences import say
from siltline.units import Quantity

Index = Mapping[tuple[str, str], Place]


class Match(Struct, frozen=True):
    """Whether a condition holds (None = not known yet), by which facts, and what to ask."""

    value: bool | None
    facts: tuple[Because, ...] = ()
    asks: tuple[Ask, ...] = ()


def word(value: Value) -> str:
    """Return the value of a fact in words."""
    if isinstance(value, bool):
        return say("fact.yes" if value else "fact.no")
    if isinstance(value, Quantity):
        return value.text
    return value if value is not None else say("fact.unknown")


def fact_at(name: str, place: Place, index: Index) -> Fact:
    """Return a fact of a place, or of the room, circuit or house that it belongs to."""
    above, _, own = name.rpartition(".")
    if above in ("", place.kind):
        return place.facts[own]
    key = "house" if above == "house" else place.belongs_to.get(above, "")
    other = index.get((above, key))
    if other is None:
        return above_missing(place, above)
    return other.facts[own]


_HOLDS = {
    "at-least": lambda amount, limit: amount >= limit,
    "at-most": lambda amount, limit: amount <= limit,
    "above": lambda amount, limit: amount > limit,
    "below": lambda amount, limit: amount < limit,
}


def _fits(value: Value, wanted: str | bool) -> bool:
    return (value.text if isinstance(value, Quantity) else value) == wanted


def _because(name: str, fact: Fact) -> tuple[Because, ...]:
    return (Because(name, word(fact.value), fact.where),)


def _within(value: Value, bound: Bound, place: Place, index: Index) -> Match:
    """Hold an amount against one bound."""
    limit: Decimal
    because: tuple[Because, ...] = ()
    if bound.limit is not None:
        limit = bound.limit.si
    else:
        other = fact_at(bound.fact, place, index)
        because = _because(bound.fact, other)
        if not isinstance(other.value, Quantity):  # not known, or of a room that is not there
            return Match(None if other.value is None else False, because, other.asks)
        limit = other.value.si + (bound.plus.si if bound.plus else 0)
    fits = isinstance(value, Quantity) and _HOLDS[bound.operator](value.si, limit)
    return Match(fits, because)


def _alike(fact: Fact, name: str, place: Place, index: Index) -> Match:
    """Hold a fact against another one."""
    other = fact_at(name, place, index)
    because = _because(name, other)
    if other.value is None:
        return Match(None, because, other.asks)
    return Match(word(other.value) == word(fact.value), because)


def _test(test: Test, place: Place, index: Index) -> Match:
    fact = fact_at(test.fact, place, index)
    because = _because(test.fact, fact)
    if fact.value is None:
        return Match(None, because, fact.asks)
    found: list[Match] = []
    if test.values:
        found.append(Match(any(_fits(fact.value, one) for one in test.values) != test.contrary))
    if test.same_as:
        found.append(_alike(fact, test.same_as, place, index))
    found += [_within(fact.value, bound, place, index) for bound in test.bounds]
    return _joined(found, because)


def _facts(own: Sequence[Because], parts: Iterable[Match]) -> tuple[Because, ...]:
    return tuple(dict.fromkeys((*own, *(fact for part in parts for fact in part.facts))))


def _joined(parts: Sequence[Match], facts: tuple[Because, ...] = ()) -> Match:
    """Return whether all parts hold: one that does not decides, else one that is not known."""
    gone = [part for part in parts if part.value is False]
    if gone:
        return Match(False, _facts(facts, gone))
    asks = tuple(dict.fromkeys(a for part in parts if part.value is None for a in part.asks))
    value = None if any(part.value is None for part in parts) else True
    return Match(value, _facts(facts, parts), asks)


def matches(condition: Condition, place: Place, index: Index) -> Match:
    """Hold the condition of a rule against a place.

    Args:
        condition: what the rule asks.
        place: where.
        index: (kind, id) -> place, for facts of the room, the circuit or the house.
    """
    match condition:
        case Test():
            return _test(condition, place, index)
        case AllOf(parts):
            return _joined([matches(part, place, index) for part in parts])
        case AnyOf(parts):
            return _contrary(_joined([_contrary(matches(p, place, index)) for p in parts]))
        case Not(part):
            return _contrary(matches(part, place, index))


def _contrary(match: Match) -> Match:
    value = None if match.value is None else not match.value
    return Match(value, match.facts, match.asks)
