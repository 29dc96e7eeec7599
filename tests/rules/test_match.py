"""A rule applies where all its conditions hold; a fact that nobody knows asks and never hides."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.rules.condition import read_condition
from siltline.rules.facts import Fact, Place, PlaceKind
from siltline.rules.files import house_from
from siltline.rules.match import Match
from siltline.rules.match import matches as holds
from siltline.rules.places import ABOVE, OWN_FACTS, kind_of_fact, known_facts, places
from siltline.rules.plan import Ask
from support.house import HOUSE, WHOLE

Values = Mapping[str, str | bool | None]
Index = Mapping[tuple[str, str], Place]


def matches(when: Mapping[str, Any], place: Place, index: Index) -> Match:
    """Hold a `when` against a place, whatever values it names."""
    return holds(read_condition(when, place.kind, {}, ("when",), lambda *_: None), place, index)


def fact(name: str, value: str | bool | None, where: str = "house.yaml:1") -> Fact:
    return Fact(value, where, () if value is not None else (Ask(("x", name), f"{name}?"),))


def a_place(kind: str, key: str, values: Values, **above: str) -> Place:
    return Place(kind, key, key, {name: fact(name, value) for name, value in values.items()}, above)


def index_of(*found: Place) -> Index:
    return {(place.kind, place.id): place for place in found}


OUTLET = a_place(
    "electrical-part",
    "outlet",
    {"kind": "outlet", "wetted": None},
    room="kitchen",
    circuit="circuit-4",
)
ALL = index_of(
    OUTLET,
    a_place("house", "house", {"foundation": "slab", "source": "river", "crawl-space": False}),
    a_place("room", "kitchen", {"wetted": True, "floor": None}),
    a_place("room", "den", {"wetted": False, "floor": "oak"}),
    a_place("circuit", "circuit-4", {"reaches-water": True}),
)


def of_outlet(when: Mapping[str, list[str | bool]]) -> Match:
    return matches(when, OUTLET, ALL)


@pytest.mark.parametrize(
    ("when", "value"),
    [
        ({}, True),
        ({"kind": ["outlet"]}, True),
        ({"kind": ["switch", "outlet"]}, True),  # a list: any of them
        ({"kind": ["switch", "light"]}, False),
        ({"wetted": [True]}, None),
        ({"wetted": [False]}, None),
        ({"wetted": [True, False]}, None),
        ({"kind": ["outlet"], "wetted": [True]}, None),
        ({"kind": ["switch"], "wetted": [True]}, False),  # one that fails is enough
        ({"wetted": [True], "kind": ["switch"]}, False),
        ({"room.wetted": [True]}, True),
        ({"room.wetted": [False]}, False),
        ({"room.floor": ["oak", "tile"]}, None),
        ({"circuit.reaches-water": [True]}, True),
        ({"circuit.reaches-water": [False]}, False),
        ({"house.source": ["sea", "river"]}, True),
        ({"house.source": ["rain"]}, False),
        ({"house.crawl-space": [False]}, True),
        ({"house.foundation": ["slab"], "room.wetted": [True], "kind": ["outlet"]}, True),
        ({"house.foundation": ["slab"], "room.floor": ["oak"], "kind": ["light"]}, False),
    ],
)
def test_all_conditions_must_hold_and_any_word_of_a_list_will_do(
    when: Mapping[str, list[str | bool]], value: bool | None
) -> None:
    assert of_outlet(when).value is value


def test_true_is_not_the_word_true() -> None:
    assert of_outlet({"room.wetted": ["true"]}).value is False


def test_a_match_tells_the_facts_that_made_it_in_words_and_where_they_stand() -> None:
    found = of_outlet({"kind": ["outlet"], "room.wetted": [True], "house.crawl-space": [False]})
    assert [(because.fact, because.value) for because in found.facts] == [
        ("kind", "outlet"),
        ("room.wetted", "yes"),
        ("house.crawl-space", "no"),
    ]
    assert {because.where for because in found.facts} == {"house.yaml:1"}
    assert not found.asks


def test_what_is_not_known_is_asked_once_each_and_told_as_not_known() -> None:
    found = of_outlet({"wetted": [True], "room.floor": ["oak"], "kind": ["outlet"]})
    assert [ask.path for ask in found.asks] == [("x", "wetted"), ("x", "floor")]
    assert [because.value for because in found.facts] == ["not known", "not known", "outlet"]
    same = a_place("wall", "north", {"outer": None, "cladding": None})
    one = same.facts["outer"]
    twice = Place("wall", "w", "w", {"outer": one, "wetted": one})
    assert len(matches({"outer": [True], "wetted": [True]}, twice, {}).asks) == 1


def test_a_match_that_fails_asks_nothing() -> None:
    found = of_outlet({"wetted": [True], "kind": ["switch"]})
    assert (found.value, found.asks) == (False, ())


def test_a_thing_with_no_room_asks_for_its_room_and_is_never_hidden() -> None:
    thing = a_place("contents", "album", {"kind": "photographs", "wetted": True})
    found = matches({"room.wetted": [True], "kind": ["photographs"]}, thing, ALL)
    assert found.value is None
    assert [ask.path for ask in found.asks] == [("contents", "album", "room")]
    assert found.facts[0].value == "not known"
    assert matches({"house.source": ["river"]}, thing, ALL).value is True
    assert matches({"house.source": ["rain"]}, thing, ALL).value is False


def test_a_thing_with_no_room_is_not_in_a_room_that_is_called_house() -> None:
    dry = a_place("room", "house", {"wetted": False, "floor": None})
    thing = a_place("contents", "album", {"kind": "photographs", "wetted": True})
    found = matches({"room.wetted": [True]}, thing, {**ALL, ("room", "house"): dry})
    assert found.value is None


@pytest.mark.parametrize("kind", OWN_FACTS)
def test_the_facts_of_a_kind_of_place_are_its_own_and_those_of_what_it_belongs_to(
    kind: str,
) -> None:
    known = known_facts(kind)
    assert len(set(known)) == len(known)
    for name in known:
        above, _, own = name.rpartition(".")
        assert above in ("", *ABOVE.get(kind, ()))
        assert kind_of_fact(kind, name) == OWN_FACTS[above or kind][own]
    assert ("house.source" in known) == (kind != "house")


def test_every_place_of_a_house_has_exactly_the_facts_that_rules_may_name() -> None:
    found = places(*house_from(WHOLE, "house.yaml"))
    assert tuple(found) == tuple(OWN_FACTS) == get_args(PlaceKind)
    for kind, here in found.items():
        assert here
        for place in here:
            assert place.facts.keys() == OWN_FACTS[kind].keys()


@pytest.mark.parametrize("there", [True, False])
def test_a_house_knows_whether_it_has_a_crawl_space(there: bool) -> None:
    text = HOUSE.replace("foundation: crawl-space", "foundation: slab")
    if not there:
        text = text.replace("crawl-space:\n  flooded: true\n  ground-cover: poly\n", "")
    found = places(*house_from(text, "house.yaml"))
    assert found["house"][0].facts["crawl-space"].value is there
    assert len(found["crawl-space"]) == there


def test_a_circuit_reaches_water_by_its_worst_part_and_not_by_a_dry_room() -> None:
    loft = """\
  loft-outlet:
    name: loft outlet
    kind: outlet
    room: loft
    height: 14 in
    circuit: {circuit}
"""
    text = HOUSE.replace("crawl-space:\n", loft.format(circuit=6) + "crawl-space:\n", 1)
    found = {p.id: p for p in places(*house_from(text, "house.yaml"))["circuit"]}
    reach = {key: place.facts["reaches-water"].value for key, place in found.items()}
    assert reach == {"circuit-4": True, "circuit-5": True, "circuit-6": False}
    seen_dry = text.replace("height: 2 ft\n", "height: 2 ft\n    wet: false\n")
    dry = {p.id: p for p in places(*house_from(seen_dry, "house.yaml"))["circuit"]}
    assert dry["circuit-5"].facts["reaches-water"].value is True  # its wires run where water was
    traced = text.replace("circuit: 6", "circuit: 5")
    shared = {p.id: p for p in places(*house_from(traced, "house.yaml"))["circuit"]}
    assert shared["circuit-5"].facts["reaches-water"].value is True


def test_every_fact_that_a_rule_may_name_can_be_looked_up_at_every_place() -> None:
    found = places(*house_from(WHOLE, "house.yaml"))
    index = index_of(*(place for here in found.values() for place in here))
    for kind, here in found.items():
        for place in here:
            for name in known_facts(kind):
                assert matches({name: ["never"]}, place, index).value is not True


CONDITIONS = st.dictionaries(
    st.sampled_from(["kind", "wetted", "room.wetted", "room.floor", "house.source"]),
    st.lists(st.sampled_from(["outlet", "switch", "river", "oak", True, False]), min_size=1),
)


@given(CONDITIONS)
def test_the_order_of_conditions_decides_nothing(when: Mapping[str, list[str | bool]]) -> None:
    turned = dict(reversed(list(when.items())))
    one, other = of_outlet(when), of_outlet(turned)
    assert one.value is other.value
    assert set(one.facts) == set(other.facts)
    assert set(one.asks) == set(other.asks)


@given(CONDITIONS, st.sampled_from(["kind", "wetted"]))
def test_forgetting_a_fact_never_hides_what_was_there(
    when: Mapping[str, list[str | bool]], name: str
) -> None:
    known = a_place(
        "electrical-part", "outlet", {"kind": "outlet", "wetted": True}, **OUTLET.belongs_to
    )
    less = Place(known.kind, known.id, known.name, {**known.facts, name: fact(name, None)},
                 known.belongs_to)  # fmt: skip
    if matches(when, known, ALL).value is not False:
        assert matches(when, less, ALL).value is not False


def test_a_why_names_the_other_fact_that_an_amount_was_held_against() -> None:
    """A height alone does not tell why it is above the water."""
    house, source = house_from(WHOLE, "house.yaml")
    found = places(house, source)
    index = {(one.kind, one.id): one for here in found.values() for one in here}
    part, wall = index["electrical-part", "low-outlet"], index["wall", "north"]
    below = matches({"height": {"below": {"fact": "room.waterline"}}}, part, index)
    assert [(b.fact, b.value) for b in below.facts] == [
        ("height", "14 in"),
        ("room.waterline", "31 in"),
    ]
    assert below.facts[1].where.startswith("house.yaml:")
    alike = matches({"finish": {"same-as": "room.wall-finish"}}, wall, index)
    assert [b.fact for b in alike.facts] == ["finish", "room.wall-finish"]
    bare = matches({"height": {"below": {"fact": "room.level"}}}, part, index)
    assert bare.value is False


@pytest.mark.parametrize(
    ("operator", "below", "at", "over"),
    [
        ("at-least", False, True, True),
        ("at-most", True, True, False),
        ("above", False, False, True),
        ("below", True, False, False),
    ],
)
@pytest.mark.parametrize("other", [False, True])
def test_each_bound_holds_up_to_its_very_limit(
    operator: str, below: bool, at: bool, over: bool, other: bool
) -> None:
    house, source = house_from(WHOLE, "house.yaml")
    found = places(house, source)
    index = {(one.kind, one.id): one for here in found.values() for one in here}
    part = index["electrical-part", "low-outlet"]  # its height is 14 in, the waterline 31 in
    for limit, fits in (("14.1 in", below), ("14 in", at), ("13.9 in", over)):
        away = f"{Decimal(limit.split()[0]) - 31} in"
        bound = {"fact": "room.waterline", "plus": away} if other else limit
        assert matches({"height": {operator: bound}}, part, index).value is fits
