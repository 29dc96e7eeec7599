"""Reads facts off a house sheet: what it states, what follows from it, and what to ask for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from siltline.errors import WrongUse
from siltline.rules import water, wetted
from siltline.rules.cables import Below
from siltline.rules.circuits import circuit_ids
from siltline.rules.facts import Fact, FactKind, Value, measured
from siltline.rules.house import House
from siltline.rules.plan import Ask
from siltline.rules.shapes import Shape
from siltline.rules.sheet.asking import ask, fields_of, shape_facts
from siltline.rules.sheet.building import Basement, CrawlSpace, Under
from siltline.rules.sheet.systems import Standing
from siltline.rules.sheet.values import said_there
from siltline.rules.water import Water
from siltline.rules.wetted import Verdict
from siltline.rules.yamltext import Source
from siltline.sentences import say

UNDER: dict[str, type[Under]] = {"crawl-space": CrawlSpace, "basement": Basement}


class Reader:
    """A house sheet and its source; an object because each fact wants both, and the water."""

    def __init__(self, house: House, source: Source) -> None:
        self.house = house
        self.source = source

    @cached_property
    def water(self) -> dict[str, Water]:
        """What is known of the water in each room."""
        return water.in_rooms(self.house)

    @cached_property
    def circuits(self) -> dict[str, tuple[str, str]]:
        """The circuit of each electrical part: part id -> (circuit id, circuit name)."""
        return circuit_ids(self.house)

    @cached_property
    def below(self) -> dict[str, Below]:
        """The spaces under the house, as far as it may have them, with their water."""
        found = {}
        for kind, shape in UNDER.items():
            there = self.has(kind)
            space = getattr(self.house, kind.replace("-", "_")) or shape()
            if there.value is not False:
                wet = water.under_floor(kind, say(f"place.{kind}"), space, self.house)
                if there.value is None:  # whether there is one comes first
                    wet = Water({}, {"waterline": there.asks[0]}, wet.rises)
                found[kind] = Below(space, wet)
        return found

    def at(self, *path: str) -> str:
        """Return where a value stands: file and line, or that it was found out on the job."""
        found_out = any(corrected[: len(path)] == path for corrected in self.source.corrected)
        if path in self.source.corrected or (path not in self.source.marks and found_out):
            return say("fact.measured")
        return f"{self.source.file}:{self.source.line(path)}"

    def stated(self, value: Value, name: str, *path: str) -> Fact:
        """Return a fact that the sheet states, or the question that finds it out."""
        if value is None:
            return Fact(None, say("fact.not-stated"), (self.ask(name, *path),))
        return Fact(value, self.at(*path))

    def ask(self, name: str, *path: str) -> Ask:
        """Return the question for the value at a path of the sheet."""
        return ask(path, name)

    def has(self, key: str) -> Fact:
        """Tell whether the house has such a thing; the foundation too speaks of what is below."""
        group = isinstance(getattr(self.house, key.replace("-", "_")), dict)
        said = said_there(self.source.data.get(key), group=group)
        if said is None and key in UNDER and self.house.foundation is not None:
            return Fact(self.house.foundation == key, self.at("foundation"))
        if said is None and key in UNDER:
            return self.stated(None, self.house.house, "foundation")
        return self.stated(said, self.house.house, key)

    def of_shape(self, shape: Shape, name: str, *path: str) -> dict[str, Fact]:
        """Return the facts that a part of the sheet states or leaves out."""
        fields = fields_of(type(shape))
        return {
            key: self._of_field(getattr(shape, fields[key][0]), kind, name, *path, key)
            for key, kind in shape_facts(type(shape)).items()
        }

    def _of_field(self, typed: Any, kind: FactKind, name: str, *path: str) -> Fact:
        if typed is None or not kind.dimension:
            return self.stated(typed, name, *path)
        try:
            return self.stated(measured(typed, kind.dimension), name, *path)
        except WrongUse:  # free text of an older sheet
            return Fact(None, say("fact.not-understood", text=typed), (self.ask(name, *path),))

    def water_at(self, standing: Standing) -> Water | None:
        """Return what is known of the water where something stands; None if no line says it."""
        if standing.room is not None:
            return self.water[standing.room]
        below = self.below.get(standing.space or "")
        return below.water if below else None

    def box(self, path: tuple[str, ...], standing: Standing) -> Verdict:
        """Tell whether something that stands in a room or a space was wetted."""
        thing = wetted.Thing(path, standing.name, standing.height, standing.wet)
        return wetted.part(thing, self.water_at(standing))


def computed(verdict: Verdict) -> Fact:
    """Return a verdict as a fact."""
    return Fact(verdict.value, verdict.because, verdict.asks)


def any_fact(facts: Iterable[tuple[str, Fact]], none: str) -> Fact:
    """Return yes with the first fact that is yes, else what is unknown, else no.

    Args:
        facts: name of what has the fact -> the fact.
        none: why the answer is no where none is yes.
    """
    found = list(facts)
    for name, fact in found:
        if fact.value is True:
            return Fact(True, say("fact.because-of", name=name, where=fact.where))
    unknown = [fact for _, fact in found if fact.value is None]
    if unknown:
        asks = dict.fromkeys(ask for fact in unknown for ask in fact.asks)
        return Fact(None, unknown[0].where, tuple(asks))
    return Fact(False, none)
