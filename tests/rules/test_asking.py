"""What a key of the sheet takes is read off its shape, for any path that somebody types."""

from __future__ import annotations

from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.errors import WrongUse
from siltline.rules.faults import Faulty
from siltline.rules.files import house_from
from siltline.rules.places import OWN_FACTS, places
from siltline.rules.sheet.asking import as_typed, field_kind
from siltline.rules.sheet.building import Cladding
from support.house import HOUSE, WHOLE


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("house", "words"),
        ("year-built", "year"),
        ("altitude", "length"),
        ("time-zone", "zone"),
        ("position.latitude", "degrees"),
        ("loss.water-in", "moment"),
        ("loss.consent-to-work.at", "moment"),
        ("loss.consent-to-work", "yes-no"),
        ("rooms.kitchen.waterline", "length"),
        ("rooms.never-seen-before.from-above", "yes-no"),
        ("rooms.kitchen.name", "words"),
        ("walls.north.cladding", get_args(Cladding)),
        ("electrical.x.wet", "yes-no"),
        ("electrical.x.room", "words"),
        ("burners", "yes-no"),
        ("well", "yes-no"),
        ("well.flooded", "yes-no"),
        ("crawl-space.area", "area"),
        ("crawl-space.openings.north.open", "yes-no"),
        ("basement.sump-pits", "count"),
        ("contents.album.quantity", "count"),
        ("contents.album.value", "money"),
    ],
)
def test_a_path_is_read_by_its_shape(path: str, kind: object) -> None:
    assert field_kind(tuple(path.split("."))) == kind


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("rooms.kitchen.watrline", "no 'watrline' here; did you mean 'waterline'?"),
        ("room.kitchen.waterline", "no 'room' here; did you mean 'rooms'?"),
        ("rooms.kitchen", "'rooms.kitchen' holds other keys; name one of them; known: name,"),
        ("rooms", "'rooms' holds other keys"),
        ("loss", "'loss' holds other keys; name one of them; known: source, salt"),
        ("rooms.The Kitchen.waterline", "'The Kitchen' should be small letters"),
        ("rooms.kitchen.waterline.high", "no 'high' here"),
        ("well.flooded.deep", "no 'deep' here"),
        ("", "no '' here"),
    ],
)
def test_a_path_that_the_sheet_does_not_have_is_told_with_what_was_meant(
    path: str, told: str
) -> None:
    with pytest.raises(WrongUse) as fault:
        field_kind(tuple(path.split(".")))
    assert told in str(fault.value)


@pytest.mark.parametrize(
    ("path", "typed", "value"),
    [
        ("electrical.x.wet", "yes", True),
        ("electrical.x.wet", "No", False),
        ("electrical.x.wet", "true", True),
        ("rooms.a.waterline", "2 ft 10 in", "2 ft 10 in"),
        ("crawl-space.area", "900 ft2", "900 ft2"),
        ("rooms.a.floor", "yes", "yes"),
        ("well", "no", False),
        ("well", "None", "none"),
        ("walls", "none", "none"),
        ("walls.x.cladding", "Brick - veneer", "brick-veneer"),
        ("walls.x.insulation", "None", "none"),
    ],
)
def test_what_was_typed_becomes_what_the_sheet_holds(path: str, typed: str, value: Any) -> None:
    assert as_typed(tuple(path.split(".")), typed) == value


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        ("electrical.x.wet", "maybe"),
        ("rooms.a.waterline", "high"),
        ("rooms.a.waterline", "20 C"),
        ("crawl-space.area", "900 ft"),
        ("year-built", "old"),
        ("contents.a.quantity", "1.5"),
    ],
)
def test_an_answer_of_another_kind_is_refused_in_one_sentence(path: str, typed: str) -> None:
    with pytest.raises(WrongUse) as fault:
        as_typed(tuple(path.split(".")), typed)
    assert "\n" not in str(fault.value)


@given(st.lists(st.text(max_size=8) | st.sampled_from(["rooms", "a", "loss", "name"]), max_size=5))
def test_any_path_at_all_is_read_or_refused(path: list[str]) -> None:
    try:
        told: object = field_kind(path)
    except WrongUse as fault:
        told = str(fault)
    assert told


def test_every_question_is_about_a_key_that_the_sheet_has() -> None:
    asked = 0
    for text in (HOUSE, "house: x\nrooms: {a: {name: A}}\nwalls: {w: {name: W, room: a}}\n", WHOLE):
        for kind, here in places(*house_from(text, "h.yaml")).items():
            for place in here:
                assert place.facts.keys() == OWN_FACTS[kind].keys()
                for fact in place.facts.values():
                    for ask in fact.asks:
                        asked += 1
                        assert field_kind(ask.path)
                        assert "{" not in ask.words
    assert asked > 100


# A correction may concern a place that the sheet does not have yet.
@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"rooms.pantry.name": "Pantry", "rooms.pantry.waterline": "20 in"}, None),
        ({"burners.f.name": "F", "burners.f.sealed": True}, None),
        ({"well": True}, None),
        ({"well": False}, None),
        ({"contents": False, "contents.box.name": "box", "contents.box.kind": "books"}, None),
        ({"crawl-space.openings.vent.side": "north"}, None),
        ({"rooms.pantry.waterline": "20 in"}, "'name' is missing here"),
        ({"rooms.pantry.name": "Pantry", "rooms.pantry.watrline": "1 in"}, "'watrline'"),
        ({"walls.w.name": "W", "walls.w.room": "nowhere"}, "there is no room 'nowhere'"),
        ({"loss.source.deep": "x"}, "'source' cannot be"),
    ],
)
def test_a_correction_makes_the_place_that_it_is_about(
    facts: dict[str, str | bool], told: str | None
) -> None:
    made = [(tuple(path.split(".")), value) for path, value in facts.items()]
    if told is None:
        house_from(HOUSE, "h.yaml", made)
    elif told.startswith("'source'"):  # the sheet has a word there: no correction hides it
        assert house_from(HOUSE, "h.yaml", made)[0].loss.source == "river"
    else:
        with pytest.raises(Faulty, match=told):
            house_from(HOUSE, "h.yaml", made)


def test_a_place_that_was_corrected_in_is_said_to_be_found_out_on_the_job() -> None:
    made = [(("rooms", "pantry", "name"), "Pantry"), (("rooms", "pantry", "waterline"), "20 in")]
    found = places(*house_from(HOUSE, "h.yaml", made))["room"]
    pantry = next(room for room in found if room.id == "pantry")
    assert pantry.where == "found out on the job"
    assert pantry.facts["waterline"].where == "found out on the job"


@pytest.mark.parametrize("sheet", ["- a\n", "words\n", "rooms: [a]\nhouse: x\n", ""])
def test_a_correction_of_a_sheet_that_is_wrong_in_itself_tells_the_sheet(sheet: str) -> None:
    with pytest.raises(Faulty):
        house_from(sheet, "h.yaml", [(("rooms", "a", "name"), "A")])
