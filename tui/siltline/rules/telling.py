"""Conditions in words: what would have to be so for a step to go away."""

from __future__ import annotations

from siltline.rules.condition import AllOf, AnyOf, Bound, Condition, Not, Test
from siltline.rules.facts import Place
from siltline.rules.match import word
from siltline.sentences import say


def _fact(name: str) -> str:
    above, _, own = name.rpartition(".")
    return say("condition.fact-of", fact=own, above=above) if above else name


def _limit(bound: Bound) -> str:
    if bound.limit is not None:
        return bound.limit.text
    other = _fact(bound.fact)
    return say("condition.plus", fact=other, plus=bound.plus.text) if bound.plus else other


def _test(test: Test, wish: bool) -> str:
    name, sign = _fact(test.fact), "" if wish else "not-"
    told: list[str] = []
    if test.values:
        values = say("condition.or").join(map(word, test.values))
        fits = wish != test.contrary
        told.append(say("condition.is" if fits else "condition.is-not", fact=name, values=values))
    if test.same_as:
        told.append(
            say(
                "condition.alike" if wish else "condition.unlike",
                fact=name,
                other=_fact(test.same_as),
            )
        )
    told += [
        say(f"condition.bound.{sign}{bound.operator}", fact=name, limit=_limit(bound))
        for bound in test.bounds
    ]
    return say("condition.and" if wish else "condition.or").join(told)


def in_words(condition: Condition, *, wish: bool) -> str:
    """Return what must be so for a condition to hold (`wish`), or not to hold."""
    match condition:
        case Test():
            return _test(condition, wish)
        case Not(part):
            return in_words(part, wish=not wish)
        case AllOf(parts) | AnyOf(parts):
            both = isinstance(condition, AllOf) == wish
            inner = [in_words(part, wish=wish) for part in parts]
            return say("condition.and" if both else "condition.or").join(inner)


def goes_if(condition: Condition, place: Place) -> tuple[str, ...]:
    """Return, one a line, what would make a step go away: any of them is enough."""
    parts = condition.parts if isinstance(condition, AllOf) else (condition,)
    found = [say("why.goes-if", what=in_words(part, wish=False)) for part in parts]
    if place.kind != "house":
        found.append(say("why.goes-place", place=place.name))
    return tuple(found) or (say("why.goes-never"),)
