"""Does a rule apply here? Three-valued: an unknown fact never hides a step, it asks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from siltline.rules.facts import Fact, FactKind, Place, Value, above_missing
from siltline.rules.places import ABOVE, OWN_FACTS
from siltline.rules.plan import Ask, Because
from siltline.sentences import say
from siltline.units import Quantity


@dataclass(frozen=True, slots=True)
class Match:
    """Whether the conditions hold (None = not known yet), by which facts, and what to ask."""

    value: bool | None
    facts: tuple[Because, ...]
    asks: tuple[Ask, ...]


def known_facts(kind: str) -> list[str]:
    """Return the names that a `when` of rules for this kind of place may use."""
    above = [f"{up}.{fact}" for up in ABOVE.get(kind, ()) for fact in OWN_FACTS[up]]
    return [*OWN_FACTS[kind], *above]


def kind_of_fact(kind: str, name: str) -> FactKind:
    """Return what values a fact of a kind of place can have."""
    above, _, own = name.rpartition(".")
    return OWN_FACTS[above or kind][own]


def _word(value: Value) -> str:
    if isinstance(value, bool):
        return say("fact.yes" if value else "fact.no")
    if isinstance(value, Quantity):
        return value.text
    return value if value is not None else say("fact.unknown")


def _fact(name: str, place: Place, index: Mapping[tuple[str, str], Place]) -> Fact:
    above, _, own = name.rpartition(".")
    if not above:
        return place.facts[own]
    key = "house" if above == "house" else place.belongs_to.get(above, "")
    other = index.get((above, key))
    if other is None:
        return above_missing(place, above)
    return other.facts[own]


def _fits(value: Value, wanted: str | bool) -> bool:
    return (value.text if isinstance(value, Quantity) else value) == wanted


def _unique(asks: Iterable[Ask]) -> tuple[Ask, ...]:
    return tuple(dict.fromkeys(asks))


def matches(
    when: Mapping[str, Sequence[str | bool]], place: Place, index: Mapping[tuple[str, str], Place]
) -> Match:
    """Hold the conditions of a rule against a place.

    Args:
        when: fact -> the values that fit; all facts must fit.
        place: where.
        index: (kind, id) -> place, for facts of the room, the circuit or the house.
    """
    facts: list[Because] = []
    asks: list[Ask] = []
    for name, wanted in when.items():
        fact = _fact(name, place, index)
        if fact.value is not None and not any(_fits(fact.value, one) for one in wanted):
            return Match(False, (), ())
        if fact.value is None:
            asks += fact.asks
        facts.append(Because(name, _word(fact.value), fact.where))
    return Match(None if asks else True, tuple(facts), _unique(asks))
