"""Can a condition ever hold? Finds steps that could never appear, whatever the house."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import product

from msgspec import Struct

from siltline.rules.condition import AnyOf, Condition, Not, Test
from siltline.rules.places import kind_of_fact

_MOST = 512  # alternatives; more than that are taken to be possible
_CONTRARY = {"at-least": "below", "at-most": "above", "above": "at-most", "below": "at-least"}


class _Literal(Struct, frozen=True):
    test: Test
    wish: bool


def _alternatives(condition: Condition, wish: bool = True) -> list[tuple[_Literal, ...]] | None:
    """Return a condition as alternatives of tests that must all come out; None: too many."""
    if isinstance(condition, Test):
        return [(_Literal(condition, wish),)]
    if isinstance(condition, Not):
        return _alternatives(condition.part, not wish)
    parts = [_alternatives(part, wish) for part in condition.parts]
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return None
    if isinstance(condition, AnyOf) == wish:
        return [one for part in known for one in part]
    size = 1
    for part in known:
        size *= max(len(part), 1)
    if size > _MOST:
        return None
    return [tuple(lit for clause in clauses for lit in clause) for clauses in product(*known)]


def _bounds(literals: list[_Literal]) -> Iterator[tuple[str, Decimal]]:
    for literal in literals:
        bounds = literal.test.bounds
        if literal.wish:
            yield from ((b.operator, b.limit.si) for b in bounds if b.limit)
        elif len(bounds) == 1 and bounds[0].limit:
            yield _CONTRARY[bounds[0].operator], bounds[0].limit.si


def _interval_empty(literals: list[_Literal]) -> bool:
    low, low_open, high, high_open = Decimal("-Infinity"), False, Decimal("Infinity"), False
    for operator, limit in _bounds(literals):
        if operator in ("at-least", "above") and limit >= low:
            low, low_open = limit, operator == "above" or (low_open and limit == low)
        if operator in ("at-most", "below") and limit <= high:
            high, high_open = limit, operator == "below" or (high_open and limit == high)
    return low > high or (low == high and (low_open or high_open))


def _values_empty(kind: str, fact: str, literals: list[_Literal]) -> bool:
    known = kind_of_fact(kind, fact)
    named = [set(lit.test.values) for lit in literals if lit.test.values]
    left = set(known.choices) if known and known.choices is not None else None
    for literal, values in zip([lit for lit in literals if lit.test.values], named, strict=True):
        if literal.wish != literal.test.contrary:
            left = values if left is None else left & values
        elif left is not None:
            left -= values
    return left is not None and not left


def _clause_possible(kind: str, clause: tuple[_Literal, ...]) -> bool:
    by_fact: dict[str, list[_Literal]] = {}
    for literal in clause:
        by_fact.setdefault(literal.test.fact, []).append(literal)
    return not any(
        _values_empty(kind, fact, literals) or _interval_empty(literals)
        for fact, literals in by_fact.items()
    )


def possible(condition: Condition, kind: str) -> bool:
    """Tell whether a condition could hold at some place of a kind.

    Facts are taken one by one: each value that a fact can have is possible beside every value
    of every other fact. So a False is certain, and a True is not a promise.
    """
    clauses = _alternatives(condition)
    return clauses is None or any(_clause_possible(kind, clause) for clause in clauses)
