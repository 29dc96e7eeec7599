"""What is known of every place: three-valued laws that hold for any sheet and any fact."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from siltline.rules.cables import ABOVE
from siltline.rules.facts import Fact
from siltline.rules.places import OWN_FACTS
from siltline.rules.yamltext import load
from siltline.units import Quantity, quantity
from support.house import WHOLE
from support.sheets import SEEN, Data, answers, inches, known, leaves, sheets, with_value, without

FEW = settings(max_examples=25, deadline=None)
Known = Mapping[tuple[str, str, str], Fact]


def wetted(facts: Known, value: bool | None) -> set[tuple[str, str, str]]:
    """Return which wetted parts and layers have a verdict."""
    return {key for key, fact in facts.items() if key[2].endswith("wetted") and fact.value is value}


@given(sheets())
@FEW
def test_not_knowing_always_asks_and_knowing_never_does(data: Data) -> None:
    for key, fact in known(data).items():
        assert (fact.value is None) == bool(fact.asks), key
        assert fact.where, key
        assert len(set(fact.asks)) == len(fact.asks), key


@given(sheets())
@FEW
def test_a_known_fact_is_one_of_what_its_kind_allows(data: Data) -> None:
    for (kind, _, name), fact in known(data).items():
        allowed = OWN_FACTS[kind][name]
        if fact.value is None or fact.value == "":
            continue
        if allowed.dimension:
            assert isinstance(fact.value, Quantity)
            assert fact.value.dimension == allowed.dimension
            assert fact.value.text
        else:
            assert allowed.choices is not None
            assert fact.value in allowed.choices


# An answer may lead to the next question (a yes to "flooded?" asks how high), never round again.
@given(sheets(), st.data())
@settings(max_examples=25, deadline=None)
def test_everything_that_is_asked_for_decides_once_it_is_answered(
    data: Data, draw: st.DataObject
) -> None:
    facts = known(data)
    unknown = sorted(key for key, fact in facts.items() if fact.value is None)
    assume(unknown)
    key = draw.draw(st.sampled_from(unknown))
    asked: set[tuple[str, ...]] = set()
    while key in facts and facts[key].value is None:
        for ask in facts[key].asks:
            assert ask.path not in asked, (key, ask.path)
            asked.add(ask.path)
            data = with_value(data, ask.path, draw.draw(answers(ask.path)))
        facts = known(data)


def _goes_up(data: Data, path: tuple[str, ...]) -> bool:
    """Tell whether a path is the lowest point of a cable that leaves its box upwards.

    Where it runs is known then, so its lowest point is its box unless somebody saw otherwise.
    """
    return path[-1] == "cable-lowest" and data["electrical"][path[1]].get("cable-runs") in ABOVE


@given(sheets(), st.data())
@FEW
def test_a_fact_that_is_forgotten_never_turns_wet_into_dry(data: Data, draw: st.DataObject) -> None:
    paths = sorted(path for path in leaves(data) if path[-1] not in SEEN)
    paths = [path for path in paths if not _goes_up(data, path)]
    assume(paths)
    before = known(data)
    after = known(without(data, draw.draw(st.sampled_from(paths))))
    assert not wetted(before, True) & wetted(after, False)


@given(sheets(), st.data(), st.integers(1, 30))
@FEW
def test_a_line_that_is_raised_never_turns_wet_into_dry(
    data: Data, draw: st.DataObject, more: int
) -> None:
    key = draw.draw(st.sampled_from(sorted(data["rooms"])))
    room = data["rooms"][key]
    lines = [one for one in ("silt-line", "waterline", "highest-wet-reading") if one in room]
    assume(lines)
    # the line and those above it, so that the three go on agreeing
    raised = data
    for line in lines[lines.index(draw.draw(st.sampled_from(lines))) :]:
        height = quantity(room[line]).si / Decimal("0.0254") + more
        raised = with_value(raised, ("rooms", key, line), f"{height.normalize():f} in")
    assert not wetted(known(data), True) & wetted(known(raised), False)


@given(sheets(), inches(0, 60), inches(0, 60))
@FEW
def test_what_stands_lower_is_wetted_wherever_what_stands_higher_is(
    data: Data, one: str, other: str
) -> None:
    low, high = sorted((one, other), key=lambda text: quantity(text).si)
    path = ("electrical", "low-outlet", "height")
    higher, lower = known(with_value(data, path, high)), known(with_value(data, path, low))
    fact = ("electrical-part", "low-outlet", "wetted")
    if higher[fact].value is True:
        assert lower[fact].value is True


@given(sheets())
@FEW
def test_where_water_came_from_above_no_height_clears_anything(data: Data) -> None:
    for room in data["rooms"].values():
        room["from-above"] = True
    in_rooms = ("electrical-part", "wall")
    seen = [key for key in wetted(known(data), False) if key[0] in in_rooms]
    parts = [key for key in seen if key[2] == "wetted" or key[2] == "cable-wetted"]
    assert not parts


def test_each_thing_that_a_sheet_may_leave_out_is_asked_for_where_it_matters() -> None:
    """Every key of the whole house, forgotten alone: nothing breaks, and nothing turns dry."""
    data: Data = load(WHOLE, "whole.yaml").data
    before = known(data)
    for path in leaves(data):
        after = known(without(data, path))
        for key, fact in after.items():
            assert (fact.value is None) == bool(fact.asks), (path, key)
        if path[-1] not in SEEN:
            assert not wetted(before, True) & wetted(after, False), path


@pytest.mark.parametrize(
    ("said", "waterline", "asked"),
    [
        ({"flooded": False}, "0 in", ""),
        ({"flooded": True, "waterline": "20 in"}, "20 in", ""),
        ({"flooded": True}, None, "waterline"),
        ({"ground-cover": "poly"}, None, "waterline"),
    ],
)
@pytest.mark.parametrize("space", ["crawl-space", "basement"])
def test_the_waterline_below_the_floor_is_what_was_read_or_the_floor_of_a_dry_one(
    space: str, said: Data, waterline: str | None, asked: str
) -> None:
    if space == "basement" and "ground-cover" in said:
        said = {"area": "200 ft2"}
    sheet = {"house": "H", "loss": {"source": "river"}, "rooms": {"den": {"name": "Den"}}}
    fact = known({**sheet, space: said})[space, space, "waterline"]
    assert (fact.value.text if isinstance(fact.value, Quantity) else None) == waterline
    assert [ask.path[-1] for ask in fact.asks] == ([asked] if asked else [])


@pytest.mark.parametrize(
    ("room", "area", "asked"),
    [
        ({"length": "14 ft", "width": "11 ft"}, "154 ft2", []),
        ({"length": "3 m", "width": "2 m"}, "6 m2", []),
        ({"length": "14 ft"}, None, ["width"]),
        ({"width": "11 ft"}, None, ["length"]),
        ({}, None, ["length", "width"]),
    ],
)
def test_the_area_of_a_floor_is_its_length_by_its_width(
    room: Data, area: str | None, asked: list[str]
) -> None:
    fact = known({"house": "H", "rooms": {"den": {"name": "Den", **room}}})["room", "den", "area"]
    assert (fact.value.text if isinstance(fact.value, Quantity) else None) == area
    assert [ask.path[-1] for ask in fact.asks] == asked
