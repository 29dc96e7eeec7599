"""The places of a house and what is known about each, three-valued, with where it is written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from hashlib import sha256

from siltline.rules import wetted
from siltline.rules.facts import WORDS, YES_NO, Fact, FactKind, Place, Value, amount, one_of
from siltline.rules.house import (
    Category,
    Cladding,
    CrawlSpace,
    Foundation,
    GroundCover,
    House,
    LossSource,
    PartKind,
    ThingKind,
)
from siltline.rules.plan import Ask
from siltline.rules.yamltext import Source
from siltline.sentences import say
from siltline.text import slug
from siltline.units import Quantity

_PLAIN = re.compile(r"[a-z0-9]+( [a-z0-9]+)*")
# What a `when` may ask, by the kind of place.
OWN_FACTS: dict[str, dict[str, FactKind]] = {
    "house": {
        "foundation": one_of(Foundation),
        "year-built": amount("year"),
        "source": one_of(LossSource),
        "category": one_of(Category),
        "crawl-space": YES_NO,
    },
    "room": {"wetted": YES_NO, "floor": WORDS},
    "wall": {"wetted": YES_NO, "outer": YES_NO, "cladding": one_of(Cladding)},
    "electrical-part": {"wetted": YES_NO, "kind": one_of(PartKind)},
    "circuit": {"reaches-water": YES_NO},
    "crawl-space": {"flooded": YES_NO, "ground-cover": one_of(GroundCover)},
    "contents": {"wetted": YES_NO, "kind": one_of(ThingKind)},
}
ABOVE: dict[str, tuple[str, ...]] = {
    "room": ("house",),
    "wall": ("room", "house"),
    "electrical-part": ("room", "circuit", "house"),
    "circuit": ("house",),
    "crawl-space": ("house",),
    "contents": ("room", "house"),
}


def known_facts(kind: str) -> list[str]:
    """Return the names that a `when` of rules for this kind of place may use."""
    above = [f"{up}.{fact}" for up in ABOVE.get(kind, ()) for fact in OWN_FACTS[up]]
    return [*OWN_FACTS[kind], *above]


def kind_of_fact(kind: str, name: str) -> FactKind | None:
    """Return what values a fact of a kind of place can have; None where there is no such fact.

    A place may name its own facts with its kind before them, so that a condition with a name
    (`house.year-built`) reads the same for rules of every kind of place.
    """
    above, _, own = name.rpartition(".")
    if above not in ("", kind, *ABOVE.get(kind, ())):
        return None
    return OWN_FACTS[above or kind].get(own)


class _Reader:
    """Reads places off a house sheet; a small object because each fact wants the source."""

    def __init__(self, house: House, source: Source) -> None:
        self.house = house
        self.source = source
        self.circuit_names = _circuit_ids(house)

    def at(self, *path: str | int) -> str:
        if path in self.source.corrected:
            return say("fact.measured")
        return f"{self.source.file}:{self.source.line(path)}"

    def typed(self, value: Value, name: str, *path: str) -> Fact:
        """Return a fact that the sheet states, or the question that finds it out."""
        if value is None:
            ask = Ask(path, say("ask.fact", fact=path[-1], name=name))
            return Fact(None, say("fact.not-stated"), (ask,))
        return Fact(value, self.at(*path))

    def computed(self, verdict: wetted.Verdict) -> Fact:
        return Fact(verdict.value, verdict.because, verdict.asks)

    def the_house(self) -> Place:
        house, loss = self.house, self.house.loss
        facts = {
            "foundation": self.typed(house.foundation, house.house, "foundation"),
            "year-built": self.typed(_year(house.year_built), house.house, "year-built"),
            "source": self.typed(loss.source, house.house, "loss", "source"),
            "category": self.typed(loss.category, house.house, "loss", "category"),
            "crawl-space": self.has_crawl_space(),
        }
        return Place("house", "house", house.house, facts, where=self.at("house"))

    def rooms(self) -> Iterator[Place]:
        for key, room in self.house.rooms.items():
            facts = {
                "wetted": self.computed(wetted.room(key, room)),
                "floor": self.typed(room.floor, room.name, "rooms", key, "floor"),
            }
            yield Place("room", key, room.name, facts, where=self.at("rooms", key))

    def walls(self) -> Iterator[Place]:
        for key, wall in self.house.walls.items():
            room = wetted.room(wall.room, self.house.rooms[wall.room])
            path = ("walls", key)
            facts = {
                "wetted": self.computed(room),
                "outer": self.typed(wall.outer, wall.name, *path, "outer"),
                "cladding": self.typed(wall.cladding, wall.name, *path, "cladding"),
            }
            yield Place("wall", key, wall.name, facts, {"room": wall.room}, self.at(*path))

    def parts(self) -> Iterator[Place]:
        for key, part in self.house.electrical.items():
            path = ("electrical", key)
            wet = self.computed(self.wetted_part(key))
            facts = {"kind": Fact(part.kind, self.at(*path)), "wetted": wet}
            above = {"room": part.room, "circuit": self.circuit_names[key][0]}
            yield Place("electrical-part", key, part.name, facts, above, self.at(*path))

    def circuits(self) -> Iterator[Place]:
        """Yield one place a circuit, in the order in which the sheet first names it."""
        members: dict[str, tuple[str, list[str]]] = {}
        for key in self.house.electrical:
            circuit, name = self.circuit_names[key]
            members.setdefault(circuit, (name, []))[1].append(key)
        for circuit, (name, keys) in members.items():
            yield Place("circuit", circuit, name, {"reaches-water": self.reaches(keys)})

    def reaches(self, keys: list[str]) -> Fact:
        """Tell whether a circuit has a part that water, from below or above, may have reached."""
        for key in keys:
            part = self.house.electrical[key]
            room = self.house.rooms[part.room]
            in_water = wetted.room(part.room, room).value is not False
            if in_water or self.wetted_part(key).value is not False:
                return Fact(True, say("fact.reaches", part=part.name, room=room.name))
        return Fact(False, say("fact.reaches-not"))

    def wetted_part(self, key: str) -> wetted.Verdict:
        part = self.house.electrical[key]
        path = ("electrical", key)
        return wetted.part(path, part.name, part.height, part.wet, part.room, self.house)

    def has_crawl_space(self) -> Fact:
        """Tell whether the house stands over a crawl space; a sheet may say so in two places."""
        house = self.house
        if house.crawl_space is not None:
            return Fact(True, self.at("crawl-space"))
        if house.foundation is None:
            return self.typed(None, house.house, "foundation")
        return Fact(house.foundation == "crawl-space", self.at("foundation"))

    def crawl_space(self) -> Iterator[Place]:
        """Yield the crawl space; one that nobody described has its steps, and asks."""
        there, path = self.has_crawl_space(), "crawl-space"
        if there.value is False:
            return
        name, space = say("place.crawl-space"), self.house.crawl_space or CrawlSpace()
        facts = {
            "flooded": self.typed(space.flooded, name, path, "flooded"),
            "ground-cover": self.typed(space.ground_cover, name, path, "ground-cover"),
        }
        if there.value is None:
            facts = dict.fromkeys(facts, there)
        yield Place("crawl-space", "crawl-space", name, facts, where=there.where)

    def contents(self) -> Iterator[Place]:
        for key, thing in self.house.contents.items():
            path = ("contents", key)
            if thing.room is not None:
                verdict = wetted.part(
                    path, thing.name, thing.height, thing.wet, thing.room, self.house
                )
                wet, above = self.computed(verdict), {"room": thing.room}
            else:
                wet, above = self.typed(thing.wet, thing.name, *path, "wet"), {}
            facts = {"kind": Fact(thing.kind, self.at(*path)), "wetted": wet}
            yield Place("contents", key, thing.name, facts, above, self.at(*path))


def _year(typed: str | None) -> Quantity | None:
    return Quantity(typed, Decimal(typed), "year", "") if typed is not None else None


def _circuit_id(typed: str) -> str:
    """Return the id of a circuit that people name so: the same whatever else the sheet holds.

    Two names never share an id, even where their slugs are alike, for proving one circuit dead
    says nothing of another: a name that its slug does not hold gets four digits of its hash.
    """
    base = f"circuit-{slug(typed)}"
    if _PLAIN.fullmatch(typed) and base == f"circuit-{typed.replace(' ', '-')}":
        return base
    return f"{base}-{sha256(typed.encode()).hexdigest()[:4]}"


def _circuit_ids(house: House) -> dict[str, tuple[str, str]]:
    """Return part id -> (circuit id, circuit name); an untraced circuit is one of its own."""
    found: dict[str, tuple[str, str]] = {}
    for key, part in house.electrical.items():
        if part.circuit is None:
            found[key] = (f"untraced-{key}", say("place.untraced-circuit", part=part.name))
            continue
        name = " ".join(part.circuit.split())
        found[key] = (_circuit_id(name.casefold()), say("place.circuit", name=name))
    return found


def places(house: House, source: Source) -> dict[str, list[Place]]:
    """Return the places of a house by kind, in the order of the sheet."""
    reader = _Reader(house, source)
    return {
        "house": [reader.the_house()],
        "room": list(reader.rooms()),
        "wall": list(reader.walls()),
        "electrical-part": list(reader.parts()),
        "circuit": list(reader.circuits()),
        "crawl-space": list(reader.crawl_space()),
        "contents": list(reader.contents()),
    }
