"""Answers go into the text of a house sheet at their place; all else of it stays as it was."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from siltline.job.begin import template
from siltline.rules.faults import Faulty
from siltline.rules.house import read_house
from siltline.rules.sheet.sections import NEW, sections, text_at, value_at, with_key
from siltline.rules.sheet.writing import faults_of, put
from siltline.rules.yamltext import load
from support.house import HOUSE, WHOLE

TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cn"]), min_size=1, max_size=40)


def test_a_new_sheet_grows_answer_by_answer_in_the_order_of_the_sheet() -> None:
    text = put("", {("rooms", "den", "name"): "Den", ("house",): "Test house"})
    text = put(text, {("crawl-space",): False, ("loss", "source"): "river"})
    text = put(text, {("rooms", "den", "waterline"): '34"', ("year-built",): "1958"})
    text = put(text, {("loss", "consent-to-work", "by"): "An owner", ("burners",): True})
    assert (
        text
        == """\
house: Test house
year-built: 1958
loss:
  source: river
  consent-to-work:
    by: An owner
rooms:
  den:
    name: Den
    waterline: 34"
burners: true
crawl-space: none
"""
    )
    assert faults_of(text) == ([], [])


def test_comments_quotes_and_order_stay() -> None:
    text = "# mine\nhouse: 'Test'   # so\n\nrooms:\n  den: {name: Den}  # the den\n# the end\n"
    new = put(text, {("rooms", "den", "floor"): "cork", ("owner",): "NO"})
    assert all(words in new for words in ("# mine", "'Test'   # so", "# the den", "# the end"))
    assert load(new, "x").data == {
        "house": "Test", "owner": "NO", "rooms": {"den": {"name": "Den", "floor": "cork"}},
    }  # fmt: skip


def test_what_was_typed_of_a_moment_stands_in_a_comment_beside_it() -> None:
    path = ("loss", "water-in")
    new = put(HOUSE, {path: "2026-03-11 21:30"}, {path: "yesterday 21:30\x1b\n# x"})
    assert r"water-in: 2026-03-11 21:30  # typed: yesterday 21:30\x1b\x0a# x" in new
    assert value_at(load(new, "x").data, path) == "2026-03-11 21:30"


def test_what_is_not_known_any_more_goes() -> None:
    new = put(WHOLE, {("crawl-space", "area"): None, ("loss", "salt"): None, ("note",): None})
    data = load(new, "x").data
    assert "area" not in data["crawl-space"]
    assert "salt" not in data["loss"]


def test_no_yaml_is_refused_and_nothing_of_it_changes() -> None:
    with pytest.raises(Faulty):
        put("house: [", {("house",): "x"})


@given(TEXT | st.sampled_from(["true", "null", "~", "- x", "a: b", "12 Oak #4", "*x", "1.0", "'"]))
@settings(max_examples=60, deadline=None)
def test_any_text_is_read_again_as_it_was_typed(value: str) -> None:
    text = put(HOUSE, {("note",): value, ("rooms", "loft", "name"): value})
    data = load(text, "x").data
    assert data["note"] == value
    assert data["rooms"]["loft"]["name"] == value
    rest = put(text, {("note",): None, ("rooms", "loft", "name"): "Loft"})
    assert load(rest, "x").data == load(HOUSE, "x").data


def test_putting_nothing_changes_no_fact_of_any_sheet() -> None:
    for text in (HOUSE, WHOLE.replace("crawl-space:\n  area", "# \n", 1), template()):
        try:
            data = load(text, "x").data
        except Faulty:
            continue
        assert load(put(text, {("house",): data["house"]}), "x").data == data


def test_every_key_of_the_sheet_is_asked_for_in_some_section() -> None:
    data = load(HOUSE, "x").data
    asked = {one.path for section in sections(data) for one in section.asked}
    for path in [
        ("house",), ("position", "latitude"), ("loss", "consent-to-work"),
        ("loss", "consent-to-work", "at"), ("rooms", "kitchen", "waterline"),
        ("rooms", NEW, "name"), ("walls", "north", "cladding"), ("electrical", NEW, "kind"),
        ("burners",), ("well", "tested"), ("crawl-space", "openings", NEW, "side"),
        ("contents", "album", "value"), ("manufactured-home", "skirting"),
    ]:  # fmt: skip
        assert path in asked, path
    assert ("crawl-space", "openings", NEW, "side") not in {
        one.path for section in sections({}) for one in section.asked
    }
    names = {one.path for s in sections(data) for one in s.asked if one.needed}
    assert {("house",), ("rooms", NEW, "name"), ("electrical", NEW, "kind")} <= names


def test_a_place_to_come_gets_its_key_from_its_name() -> None:
    data = load(HOUSE, "x").data
    new = next(s for s in sections(data) if s.path == ("rooms", NEW))
    answers = {("rooms", NEW, "name"): "Loft", ("rooms", NEW, "waterline"): "1 in"}
    found = with_key(new, answers, data)
    assert found == {("rooms", "loft-2", "name"): "Loft", ("rooms", "loft-2", "waterline"): "1 in"}
    burners = next(s for s in sections(data) if s.path == ("burners", NEW))
    assert with_key(burners, {("burners",): False}, data) == {("burners",): False}


def test_what_is_known_is_told_as_a_person_types_it() -> None:
    data = load(WHOLE, "x").data
    assert text_at(data, ("rooms", "kitchen", "waterline")) == "31 in"
    assert text_at(data, ("rooms", "kitchen", "from-above")) == "no"
    assert text_at(data, ("manufactured-home",)) == "no"
    assert text_at(data, ("septic",)) == "yes"
    assert text_at(data, ("loss", "consent-to-discard")) == "no"
    assert text_at(data, ("basement", "openings")) == ""
    assert text_at({"walls": {"x": {"insulation": "none"}}}, ("walls", "x", "insulation")) == "none"


def test_the_house_that_was_written_is_the_house_that_is_read() -> None:
    data = load(HOUSE, "x").data
    answers = {
        one.path: value_at(data, one.path)
        for section in sections(data)
        for one in section.asked
        if isinstance(value_at(data, one.path), str | bool)
    }
    text = put("", answers)
    assert load(text, "x").data == data
    assert read_house(load(text, "x")) == read_house(load(HOUSE, "x"))


def test_a_key_that_is_there_keeps_its_place_wherever_it_stands() -> None:
    text = "rooms:\n  den: {name: Den}\nowner: Ada\nhouse: Test\n"
    assert put(text, {("house",): "Other", ("owner",): "Bo"}) == text.replace("Ada", "Bo").replace(
        "Test", "Other"
    )


def test_a_key_that_the_sheet_does_not_know_is_told_as_it_stands() -> None:
    assert text_at({"wals": "none"}, ("wals",)) == "none"
    assert text_at({"rooms": {"den": {"flor": "none"}}}, ("rooms", "den", "flor")) == "none"


def test_questions_name_the_house_as_people_do() -> None:
    named = sections({"house": "Mill house"})
    unnamed = sections({})
    assert any("Mill house" in one.words for section in named for one in section.asked)
    assert any("the house" in one.words for section in unnamed for one in section.asked)
    assert not any("Mill house" in one.words for section in unnamed for one in section.asked)
