"""What a `when` asks, read from YAML into tests on facts; every fault at its place.

when:
cladding: [brick-veneer, stone-veneer]          # one of these
kind: {not: panel}                              # none of these
house.year-built: {at-most: 1980}               # bounds: at-least, at-most, above, below
height: {below: {fact: room.waterline, plus: 12 in}}     # against another fact
any: [{wetted: true}, {insulation-wetted: true}]         # one of several
not: {finish: tile}                             # the contrary
is: old-paint                                   # a condition that has a name
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.rules.facts import FactKind, measured
from siltline.rules.faults import meant
from siltline.rules.places import kind_of_fact, known_facts
from siltline.rules.yamltext import Path
from siltline.sentences import say
from siltline.units import Quantity

OPERATORS = ("at-least", "at-most", "above", "below")
JOINS = ("any", "not", "is")
DEEPEST = 8


class Bound(Struct, frozen=True):
    """A bound of an amount: a limit that the rule states, or another fact and what is added."""

    operator: str
    limit: Quantity | None = None
    fact: str = ""
    plus: Quantity | None = None


class Test(Struct, frozen=True):
    """A test on one fact: it has one of the values (or none, if `contrary`), within all bounds."""

    fact: str
    values: tuple[str | bool, ...] = ()
    bounds: tuple[Bound, ...] = ()
    same_as: str = ""
    contrary: bool = False


class AllOf(Struct, frozen=True):
    """All parts hold; with no part, always."""

    parts: tuple[Condition, ...] = ()


class AnyOf(Struct, frozen=True):
    """One part at least holds."""

    parts: tuple[Condition, ...]


class Not(Struct, frozen=True):
    """The part does not hold."""

    part: Condition


Condition = Test | AllOf | AnyOf | Not
ALWAYS: Condition = AllOf()
Told = Callable[[Path, str, bool], None]  # where, what is wrong, whether at the key


def tests(condition: Condition) -> Iterator[Test]:
    """Yield every test inside a condition."""
    match condition:
        case Test():
            yield condition
        case AllOf(parts) | AnyOf(parts):
            for part in parts:
                yield from tests(part)
        case Not(part):
            yield from tests(part)


class _Reader:
    """Reads one `when` for places of one kind; what is wrong goes to `told`."""

    def __init__(self, kind: str, named: Mapping[str, Any], told: Told, inside: str = "") -> None:
        self.kind = kind
        self.named = named
        self.told = told
        self.inside = inside  # the name of the condition that is being read, if it has one

    def whole(self, raw: Any, path: Path, seen: tuple[str, ...] = ()) -> Condition:
        if not isinstance(raw, dict):
            self.told(path, say("shape.mapping", key=path[-1]), False)
            return AllOf()
        if len(path) > DEEPEST + 4:
            self.told(path, say("rules.when-deep", deepest=DEEPEST), False)
            return AllOf()
        parts: list[Condition] = []
        for key, value in raw.items():
            here = (*path, key)
            match key:
                case "any":
                    parts.append(self.one_of(value, here, seen))
                case "not":
                    parts.append(Not(self.whole(value, here, seen)))
                case "is":
                    parts += self.by_name(value, here, seen)
                case _:
                    parts += self.fact(key, value, here)
        return parts[0] if len(parts) == 1 else AllOf(tuple(parts))

    def one_of(self, raw: Any, path: Path, seen: tuple[str, ...]) -> Condition:
        if not isinstance(raw, list) or len(raw) < 2:  # noqa: PLR2004 - one alone is no choice
            self.told(path, say("rules.when-any"), False)
            return AllOf()
        return AnyOf(tuple(self.whole(one, (*path, n), seen) for n, one in enumerate(raw)))

    def by_name(self, raw: Any, path: Path, seen: tuple[str, ...]) -> Iterator[Condition]:
        for name in raw if isinstance(raw, list) else [raw]:
            if name not in self.named:
                text = say("rules.no-condition", name=name) + meant(str(name), list(self.named))
                self.told(path, text, False)
            elif name in seen:
                ring = " -> ".join((*seen, name))
                self.told(path, say("rules.condition-ring", ring=ring), False)
            else:
                inner = _Reader(self.kind, self.named, self._as_named(name, path), name)
                yield inner.whole(self.named[name], ("conditions", name), (*seen, name))

    def _as_named(self, name: str, path: Path) -> Told:
        return lambda _, text, __: self.told(
            path, say("rules.in-named", name=name, text=text), False
        )

    def fact(self, name: str, raw: Any, path: Path) -> Iterator[Test]:
        kind = kind_of_fact(self.kind, name)
        if kind is None:
            known = known_facts(self.kind)
            text = say("rules.no-fact", fact=name, each=self.kind)
            self.told(path, text + meant(name, [*known, *JOINS]), True)
            return
        if not isinstance(raw, dict):
            yield Test(name, self.values(name, kind, raw, path))
            return
        bounds: list[Bound] = []
        for key, value in raw.items():
            here = (*path, key)
            if key == "not":
                yield Test(name, self.values(name, kind, value, here), contrary=True)
            elif key == "same-as":
                if self.comparable(value, kind, here):
                    yield Test(name, same_as=value)
            elif key in OPERATORS:
                bounds += self.bound(key, kind, value, here)
            else:
                known = ["not", "same-as", *OPERATORS]
                self.told(here, say("shape.unknown-key", key=key) + meant(key, known), True)
        if bounds:
            yield Test(name, bounds=tuple(bounds))

    def values(self, name: str, kind: FactKind, raw: Any, path: Path) -> tuple[str | bool, ...]:
        found = raw if isinstance(raw, list) else [raw]
        if not found or not all(isinstance(one, str | bool) for one in found):
            self.told(path, say("rules.when-values", fact=name), False)
            return ()
        for value in found if kind.choices is not None else ():
            if value not in (kind.choices or ()):
                words = [str(v).lower() if isinstance(v, bool) else v for v in kind.choices or ()]
                text = say("rules.no-value", fact=name, value=value) + meant(str(value), words)
                self.told(path, text, False)
        return tuple(found)

    def bound(self, operator: str, kind: FactKind, raw: Any, path: Path) -> Iterator[Bound]:
        if not kind.dimension:
            self.told(path, say("rules.when-no-amount", fact=path[-2]), True)
            return
        if not isinstance(raw, dict):
            limit = self.limit(raw, kind.dimension, path)
            if limit is not None:
                yield Bound(operator, limit)
            return
        strays = [key for key in raw if key not in ("fact", "plus")]
        for key in strays:
            text = say("shape.unknown-key", key=key) + meant(key, ["fact", "plus"])
            self.told((*path, key), text, True)
        plus = None
        if "plus" in raw:
            plus = self.limit(raw["plus"], kind.dimension, (*path, "plus"))
        if self.comparable(raw.get("fact"), kind, (*path, "fact")):
            yield Bound(operator, fact=raw["fact"], plus=plus)

    def comparable(self, name: Any, kind: FactKind, path: Path) -> bool:
        """Tell whether a fact can be held against one of another kind."""
        other = kind_of_fact(self.kind, name) if isinstance(name, str) else None
        if other is None:
            text = say("rules.no-fact", fact=name, each=self.kind)
            self.told(path, text + meant(str(name), known_facts(self.kind)), False)
            return False
        if other.dimension != kind.dimension:
            self.told(path, say("rules.when-unlike", fact=name), False)
            return False
        return True

    def limit(self, raw: Any, dimension: str, path: Path) -> Quantity | None:
        try:
            return measured(str(raw), dimension)
        except WrongUse as fault:
            self.told(path, str(fault), False)
            return None


def _in_named(name: str, text: str) -> str:
    return say("rules.in-named", name=name, text=text)


def read_condition(
    raw: Mapping[str, Any],
    kind: str,
    named: Mapping[str, Any],
    path: Path,
    told: Told,
    name: str = "",
) -> Condition:
    """Return what a `when` asks.

    Args:
        raw: the mapping as YAML gave it.
        kind: the kind of place that the rule is for.
        named: name -> mapping, of the conditions that have names.
        path: where the `when` stands.
        told: called with the place of every fault, its sentence, and whether it is at a key.
        name: its own name, if it is a condition that has one.
    """
    return _Reader(kind, named, told, name).whole(raw, path, (name,) if name else ())
