"""Laws of conditions: what is known decides for good, order never does, reasons are enough."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.rules.condition import Condition, read_condition
from siltline.rules.facts import Fact, Place, measured
from siltline.rules.match import Match, matches
from siltline.rules.plan import Ask
from siltline.rules.possible import possible
from siltline.rules.telling import goes_if, in_words

YES_NO = (True, False)
YEARS = ("1920", "1964", "1977", "1978", "1990")
FLOORS = ("carpet", "concrete")
VALUES: dict[str, tuple[object, ...]] = {
    "wetted": YES_NO,
    "from-above": YES_NO,
    "floor": FLOORS,
    "house.year-built": YEARS,
}
Known = Mapping[str, object]


def place_of(known: Known) -> tuple[Place, dict[tuple[str, str], Place]]:
    """Return a room and its house with these facts; what is missing or None is not known."""

    def fact(name: str) -> Fact:
        value: Any = known.get(name)
        if value is not None and name.endswith("year-built"):
            value = measured(str(value), "year")
        return Fact(value, "line 1", () if value is not None else (Ask(("x", name), name),))

    own = {name: fact(name) for name in VALUES if "." not in name}
    room = Place("room", "den", "Den", own)
    house = Place("house", "house", "H", {"year-built": fact("house.year-built")})
    return room, {("room", "den"): room, ("house", "house"): house}


def read(when: Mapping[str, Any]) -> Condition:
    faults: list[str] = []
    found = read_condition(when, "room", {}, ("when",), lambda _, text, __: faults.append(text))
    assert faults == []
    return found


def hold(when: Mapping[str, Any], known: Known) -> Match:
    return matches(read(when), *place_of(known))


def completions(known: Known) -> list[dict[str, object]]:
    """Return every way in which the facts that are not known could turn out."""
    open_facts = [name for name in VALUES if known.get(name) is None]
    return [
        {**known, **dict(zip(open_facts, found, strict=True))}
        for found in product(*(VALUES[name] for name in open_facts))
    ]


TESTS = st.one_of(
    st.fixed_dictionaries({"wetted": st.sampled_from(YES_NO)}),
    st.fixed_dictionaries({"from-above": st.sampled_from(YES_NO)}),
    st.fixed_dictionaries({"floor": st.sampled_from([*FLOORS, ["carpet", "concrete"]])}),
    st.fixed_dictionaries({"floor": st.sampled_from([{"not": "carpet"}, {"not": list(FLOORS)}])}),
    st.fixed_dictionaries(
        {
            "house.year-built": st.dictionaries(
                st.sampled_from(["at-least", "at-most", "above", "below"]),
                st.sampled_from(YEARS),
                min_size=1,
                max_size=2,
            )
        }
    ),
)


def _deeper(inner: st.SearchStrategy[dict[str, Any]]) -> st.SearchStrategy[dict[str, Any]]:
    return st.one_of(
        st.lists(inner, min_size=2, max_size=3).map(lambda parts: {"any": parts}),
        inner.map(lambda part: {"not": part}),
        st.tuples(inner, inner).map(lambda pair: {**pair[0], **pair[1]}),
    )


WHEN = st.recursive(TESTS, _deeper, max_leaves=6)
KNOWN = st.fixed_dictionaries(
    {name: st.sampled_from([None, *values]) for name, values in VALUES.items()}
)


@given(WHEN, KNOWN)
def test_what_is_decided_stays_decided_however_the_rest_turns_out(
    when: dict[str, Any], known: Known
) -> None:
    value = hold(when, known).value
    if value is not None:
        assert {hold(when, whole).value for whole in completions(known)} == {value}


@given(WHEN, KNOWN)
def test_what_is_not_decided_asks_and_what_is_asked_is_not_known(
    when: dict[str, Any], known: Known
) -> None:
    found = hold(when, known)
    asked = {ask.path[1] for ask in found.asks}
    assert all(known.get(name) is None for name in asked)
    if found.value is None:
        assert asked
        answered = {name: VALUES[name][0] for name in asked}
        again = hold(when, {**known, **answered})
        assert again.value is not None or {ask.path[1] for ask in again.asks} - asked


@given(WHEN, KNOWN)
def test_the_facts_that_are_told_are_reason_enough(when: dict[str, Any], known: Known) -> None:
    found = hold(when, known)
    told = {because.fact: known[because.fact] for because in found.facts}
    assert hold(when, told).value is found.value


@given(WHEN, KNOWN)
def test_the_contrary_of_a_condition_comes_out_the_contrary(
    when: dict[str, Any], known: Known
) -> None:
    value, contrary = hold(when, known).value, hold({"not": when}, known).value
    assert contrary is (None if value is None else not value)


@given(st.lists(WHEN, min_size=2, max_size=3), KNOWN, st.randoms(use_true_random=False))
def test_the_order_of_alternatives_and_of_keys_decides_nothing(
    parts: list[dict[str, Any]], known: Known, chance: Any
) -> None:
    turned = [dict(reversed(part.items())) for part in parts]
    chance.shuffle(turned)
    assert hold({"any": parts}, known).value is hold({"any": turned}, known).value


@given(WHEN)
def test_what_holds_somewhere_is_never_called_impossible(when: dict[str, Any]) -> None:
    if any(hold(when, whole).value for whole in completions({})):
        assert possible(read(when), "room")


@pytest.mark.parametrize(
    "when",
    [
        {"wetted": True, "not": {"wetted": True}},
        {"any": [{"wetted": True, "not": {"wetted": True}}, {"floor": {"not": "carpet"}}],
         "floor": "carpet"},
        {"floor": "carpet", "not": {"floor": ["carpet", "concrete"]}},
        {"house.year-built": {"above": "1990", "below": "1978"}},
        {"house.year-built": {"above": "1978", "at-most": "1978"}},
        {"house.year-built": {"at-least": "1978", "at-most": "1978"},
         "not": {"house.year-built": {"at-least": "1978"}}},
        {"house.year-built": {"at-least": "1978", "at-most": "1978"},
         "not": {"house.year-built": {"at-most": "1978"}}},
        {"not": {"house.year-built": {"below": "1990"}}, "any": [
            {"house.year-built": {"below": "1978"}}, {"house.year-built": {"at-most": "1964"}}]},
    ],
)  # fmt: skip
def test_what_no_house_could_have_is_called_impossible(when: dict[str, Any]) -> None:
    assert not possible(read(when), "room")


@given(WHEN, KNOWN)
def test_a_step_tells_what_would_make_it_go_away(when: dict[str, Any], known: Known) -> None:
    room, _ = place_of(known)
    told = goes_if(read(when), room)
    assert told[-1] == "It goes away if the house has no such place: Den."
    assert len(told) == len(when) + 1 or len(when) == 1


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ({"wetted": True}, "wetted is not yes"),
        ({"floor": ["carpet", "cork"]}, "floor is not carpet or cork"),
        ({"floor": {"not": "carpet"}}, "floor is carpet"),
        ({"not": {"floor": "carpet"}}, "floor is carpet"),
        ({"house.year-built": {"below": "1978"}}, "year-built of the house is 1978 or more"),
        (
            {"house.year-built": {"at-least": "1960", "below": "1978"}},
            "year-built of the house is less than 1960 or year-built of the house is 1978 or more",
        ),
        ({"any": [{"wetted": True}, {"from-above": True}]},
         "wetted is not yes and from-above is not yes"),
        (
            {"silt-line": {"above": {"fact": "waterline", "plus": "2 in"}}},
            "silt-line is waterline and 2 in more or less",
        ),
    ],
)  # fmt: skip
def test_what_would_make_it_go_away_reads_as_people_speak(when: Any, words: str) -> None:
    assert in_words(read(when), wish=False) == words


def test_two_facts_are_held_against_each_other_with_what_is_added() -> None:
    when = {"highest-wet-reading": {"above": {"fact": "waterline", "plus": "6 in"}}}
    condition = read(when)
    for waterline, wet, value in (
        ("30 in", "37 in", True),
        ("30 in", "36 in", False),
        ("76.2 cm", "36 in", False),
        ("30 in", None, None),
        (None, "37 in", None),
    ):
        facts = {
            name: Fact(measured(text, "length") if text else None, "x", (Ask((name,), name),))
            for name, text in (("waterline", waterline), ("highest-wet-reading", wet))
        }
        assert matches(condition, Place("room", "den", "Den", facts), {}).value is value
