"""What a plan owes to whoever lays it, over a whole house and a checklist that says everything.

The same plan however things are ordered; no step gone because something is not known; ids that
stay; and a why that is enough: the facts it names lay the step again where nothing else is known.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from copy import deepcopy
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from siltline import resources
from siltline.rules import lay as laying
from siltline.rules.checklist import Checklist
from siltline.rules.facts import Fact, Place
from siltline.rules.files import checklist_from, checklist_texts, house_from
from siltline.rules.lay import lay
from siltline.rules.places import places
from siltline.rules.plan import Ask, Plan, Step
from siltline.rules.yamltext import load
from support import wide
from support.sheets import SEEN, Data, leaves, sheets, without

FEW = settings(max_examples=15, deadline=None)
Texts = Mapping[str, str]

# Every way to ask: bounds, other facts, likeness, one of several, the contrary, names.
ASKING = """\
phase: asking
title: Asking
conditions:
  old: {house.year-built: {below: 1978}}
steps:
  - {step: bound, each: room, when: {waterline: {at-least: 12 in, below: 40 in}}}
  - {step: part-above, each: electrical-part, when: {height: {above: {fact: room.waterline}}}}
  - {step: part-near, each: electrical-part,
     when: {height: {at-most: {fact: room.waterline, plus: 12 in}}}}
  - {step: alike, each: wall, when: {finish: {same-as: room.wall-finish}}}
  - {step: unlike, each: wall, when: {not: {finish: {same-as: room.wall-finish}}}}
  - {step: either, each: wall, when: {any: [{wetted: true}, {insulation-wetted: true}]}}
  - {step: neither, each: wall, when: {not: {any: [{outer: false}, {cladding: lap}]}}}
  - {step: not-panel, each: electrical-part, when: {kind: {not: panel}, is: old}}
  - {step: house-of-part, each: electrical-part, when: {house.source: [river, sea], wetted: true}}
  - {step: circuit-of-part, each: electrical-part, when: {circuit.reaches-water: true}}
  - {step: below-floor, each: crawl-space, when: {flooded: true, ground-cover: {not: none}}}
  - {step: nested, each: room,
     when: {any: [{not: {wetted: true}}, {floor: [carpet, sheet-vinyl]}]}}
"""


def asking_texts() -> Texts:
    data = load(ASKING, "asking.yaml").data
    more = {"do": "Look at {place}.", "why": "W.", "source": "common practice"}
    for step in data["steps"]:
        step |= {**more, "caution": [{"NOTICE": "Mind it."}]}
    top = "checklist: asking\ntitle: Asking\nphases: [asking.yaml]\n"
    return {"checklist.yaml": top, "asking.yaml": json.dumps(data)}


def wide_texts() -> Texts:
    return {"checklist.yaml": wide.TOP, "names.yaml": wide.NAMES, "one.yaml": wide.ONE}


def shipped_texts() -> Texts:
    return checklist_texts(resources.folder("checklists") / "river-flood")


TEXTS = {"shipped": shipped_texts, "wide": wide_texts, "asking": asking_texts}
NAMES = st.sampled_from(sorted(TEXTS))


@cache
def checklist(name: str) -> Checklist:
    return checklist_from(TEXTS[name]())


def on(data: Data, rules: Checklist) -> Plan:
    return lay(rules, *house_from(json.dumps(data), "drawn.yaml"))


def ids(plan: Plan) -> set[str]:
    return {step.id for step in plan.steps}


def told(plan: Plan) -> dict[str, Step]:
    """Return the steps without what says only where things stand in files, by id."""
    found = {}
    for step in plan.steps:
        facts = tuple(replace(fact, where="") for fact in step.facts)
        needs = tuple(sorted(step.needs))
        found[step.id] = replace(step, facts=facts, needs=needs, order=(0, 0, 0), line=0)
    return found


# the same whatever the order


@st.composite
def shuffled(draw: st.DrawFn, data: Data) -> Data:
    """Draw the same sheet with the entries of every mapping in another order."""
    keys = draw(st.permutations(sorted(data)))
    inner = {key: data[key] for key in keys}
    return {
        key: draw(shuffled(value)) if isinstance(value, dict) else value
        for key, value in inner.items()
    }


@given(sheets(), st.data(), NAMES)
@FEW
def test_no_order_of_a_sheet_changes_a_step(data: Data, draw: st.DataObject, name: str) -> None:
    other = draw.draw(shuffled(data))
    assert told(on(other, checklist(name))) == told(on(data, checklist(name)))


@given(sheets(), NAMES)
@FEW
def test_laying_again_gives_the_very_same_plan(data: Data, name: str) -> None:
    assert on(data, checklist_from(TEXTS[name]())) == on(deepcopy(data), checklist(name))


def reordered(texts: Texts, draw: st.DataObject) -> Texts:
    """Return a checklist with its phases, its files and its steps in another order, retitled."""
    found = {}
    for name, text in texts.items():
        data = load(text, name).data
        for key in ("steps", "phases", "uses"):
            if key in data:
                data[key] = draw.draw(st.permutations(data[key]))
        if "title" in data:
            data["title"] = "Another title"
        found[name] = json.dumps(data)
    return {name: found[name] for name in draw.draw(st.permutations(sorted(found)))}


@given(sheets(), st.data(), NAMES)
@FEW
def test_no_order_of_files_and_rules_and_no_title_changes_a_step(
    data: Data, draw: st.DataObject, name: str
) -> None:
    other = checklist_from(reordered(TEXTS[name](), draw))
    assert told(on(data, other)) == told(on(data, checklist(name)))


# ids that stay


@given(sheets(), NAMES, st.sampled_from(["first", "last"]))
@FEW
def test_a_room_more_changes_no_step_of_another_place(data: Data, name: str, where: str) -> None:
    """Of the new room nothing is known: one that is measured tells of its neighbours, too."""
    more = {"annex": {"name": "Annex"}}
    rooms = data["rooms"]
    grown = data | {"rooms": {**more, **rooms} if where == "first" else {**rooms, **more}}
    before, after = told(on(data, checklist(name))), told(on(grown, checklist(name)))
    assert {step.place for step in after.values() if step.id not in before} <= {"annex"}
    for key, step in before.items():
        assert replace(after[key], needs=()) == replace(step, needs=())
        assert set(step.needs) <= set(after[key].needs)


@given(sheets(), NAMES)
@FEW
def test_a_place_that_is_called_otherwise_keeps_its_steps(data: Data, name: str) -> None:
    renamed = deepcopy(data)
    for group in renamed.values():
        for place in group.values() if isinstance(group, dict) else ():
            if isinstance(place, dict) and "name" in place:
                place["name"] += ", renamed"
    assert ids(on(renamed, checklist(name))) == ids(on(data, checklist(name)))


# what is not known


@given(sheets(), st.data(), NAMES)
@FEW
def test_no_step_goes_because_something_is_forgotten(
    data: Data, draw: st.DataObject, name: str
) -> None:
    """What somebody saw decides over any line: forgetting that is another house."""
    named = {"circuit", *SEEN}
    paths = [path for path in leaves(data) if path[-1] not in named]
    gone = draw.draw(st.sets(st.sampled_from(sorted(paths)), max_size=12))
    lost = ids(on(data, checklist(name))) - ids(on(without(data, *gone), checklist(name)))
    assert not lost, (lost, gone)


# the why of a step


def unknown_but(place: Place, kept: set[tuple[str, str]]) -> Place:
    """Return a place of which nothing is known but some facts: (its kind and id, the fact)."""
    ask = (Ask(("rooms", "any", "floor"), "something"),)
    facts = {
        name: fact if (f"{place.kind}/{place.id}", name) in kept else Fact(None, "", ask)
        for name, fact in place.facts.items()
    }
    return replace(place, facts=facts)


def named_facts(step: Step, found: Mapping[str, list[Place]]) -> Iterator[tuple[str, str]]:
    """Yield the facts that the why of a step names, each with the place that it is of."""
    (place,) = (p for p in found[step.place_kind] if p.id == step.place)
    for because in step.facts:
        above, _, own = because.fact.rpartition(".")
        if above in ("", place.kind):
            yield f"{place.kind}/{place.id}", own
        else:
            key = "house" if above == "house" else place.belongs_to.get(above, "")
            yield f"{above}/{key}", own


@given(sheets(), st.data(), NAMES)
@FEW
def test_the_facts_of_a_why_are_enough_to_lay_the_step(
    data: Data, draw: st.DataObject, name: str
) -> None:
    rules = checklist(name)
    house, source = house_from(json.dumps(data), "drawn.yaml")
    found = places(house, source)
    step = draw.draw(st.sampled_from(lay(rules, house, source).steps))
    kept = set(named_facts(step, found))
    bare = {kind: [unknown_but(one, kept) for one in here] for kind, here in found.items()}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(laying, "places", lambda *_: bare)
        again = {one.id: one for one in lay(rules, house, source).steps}
    assert step.id in again
    assert again[step.id].facts == step.facts
    if not step.asks:  # it applies for sure, and by these facts alone
        assert not again[step.id].asks
