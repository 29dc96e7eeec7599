"""What every plan of the trade owes to the crew, over random and incomplete houses.

No wet thing without a verdict, nothing out without a way back, no tear-out before the survey, no
hand near a part before its circuit is dead, no suction on a burner, no cover over wet soil.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from hypothesis import given, settings
from hypothesis import strategies as st

from siltline.rules.facts import Place
from siltline.rules.files import house_from
from siltline.rules.places import places
from siltline.rules.plan import Plan, Step
from support.random_houses import houses
from support.sheets import Data
from support.trade import NAMES, before, checklist, plan_of

MANY = settings(max_examples=30, deadline=None)
WITH_WALLS = ("river-flood", "burst-pipe")
EVERY = st.sampled_from(NAMES)


def places_of(house: Data) -> Mapping[str, list[Place]]:
    return places(*house_from(json.dumps(house), "house.yaml"))


def steps_at(plan: Plan) -> Mapping[tuple[str, str], set[str]]:
    """Return the rules that stand at each place: (its kind, its id) -> rules."""
    found: dict[tuple[str, str], set[str]] = {}
    for step in plan.steps:
        found.setdefault((step.place_kind, step.place), set()).add(step.rule)
    return found


def may_be(place: Place, fact: str) -> bool:
    return place.facts[fact].value is not False


# a verdict for every wet thing, or a step that asks whether it is one

LAYERS = {
    "finish": {"wallboard-cut", "board-judged", "plaster-opened", "covering-off"},
    "insulation": {"insulation-out", "foam-looked-at", "spray-foam-judged"},
    "structure": {"studs-dry", "masonry-dry", "logs-dry", "panels-judged", "forms-stripped"},
    "sheathing": {
        "sheathing-dry", "sheathing-marked", "lap-fibreboard-decided", "fibreboard-decided",
        "boards-judged", "foam-sheathing-judged", "gypsum-sheathing-judged",
    },
    "cladding": {
        "weep-holes-open", "screed-clear", "stucco-opened", "lap-fibreboard-decided",
        "fibreboard-decided", "siding-looked-behind", "masonry-dried", "block-drained",
        "log-stripped", "synthetic-stucco-judged",
    },
}  # fmt: skip
FLOORS = {"carpet-out", "carpet-dried", "floor-lifted", "hard-floor-kept"}
UNDER_FLOOR = {"subfloor-dry", "slab-tested"}
PARTS = {
    placed.rule.step
    for placed in checklist("river-flood").rules
    if placed.rule.each == "electrical-part" and placed.rule.step != "part-below-reached"
}
MACHINES = {
    "motor": {"motor-decided", "motor-replaced"},
    "appliance": {"appliance-judged", "cold-appliance-judged"},
    "burner": {"burner-judged", "hearth-judged"},
}
LISTED = {"walls": "walls-listed", "electrical": "parts-listed", "motors": "machines-listed",
          "appliances": "machines-listed", "burners": "nothing-burns", "fuels": "nothing-leaks",
          "live-sources": "nothing-stays-live", "well": "systems-listed",
          "septic": "systems-listed", "heating-cooling": "systems-listed"}  # fmt: skip


@given(houses(), st.sampled_from(WITH_WALLS))
@MANY
def test_every_wet_layer_and_floor_has_a_verdict(house: Data, name: str) -> None:
    at, there = steps_at(plan_of(house, name)), places_of(house)
    for wall in there["wall"]:
        for layer, verdicts in LAYERS.items():
            outer = layer not in ("sheathing", "cladding") or may_be(wall, "outer")
            if may_be(wall, f"{layer}-wetted") and outer:
                assert at.get(("wall", wall.id), set()) & verdicts, (layer, wall)
    for room in there["room"]:
        if may_be(room, "wetted"):
            here = at["room", room.id]
            assert here & FLOORS
            assert here & UNDER_FLOOR
            assert {"mould-contained", "built-ins-out", "room-as-found"} <= here


@given(houses(), EVERY)
@MANY
def test_every_wet_part_and_machine_has_a_verdict(house: Data, name: str) -> None:
    at, there = steps_at(plan_of(house, name)), places_of(house)
    for part in there["electrical-part"]:
        here = at.get(("electrical-part", part.id), set())
        boxes = here & PARTS - {"cable-replaced", "wet-cable-judged", "old-cable-judged"}
        assert bool(boxes) is may_be(part, "wetted"), part
        cables = here & {"cable-replaced", "wet-cable-judged", "old-cable-judged"}
        assert bool(cables) is may_be(part, "cable-wetted"), part
    for kind, verdicts in MACHINES.items():
        for machine in there[kind]:
            here = at.get((kind, machine.id), set())
            assert bool(here & verdicts) is may_be(machine, "wetted"), machine
    for kind in ("crawl-space", "basement"):
        for space in there[kind]:
            if may_be(space, "flooded"):
                assert at[kind, space.id] & {"entry-safe", "basement-entry-safe"}


@given(houses(), EVERY)
@MANY
def test_what_nobody_listed_is_asked_for(house: Data, name: str) -> None:
    rules = {step.rule for step in plan_of(house, name).steps}
    for group, step in LISTED.items():
        if group not in house or house[group] == "none":
            assert step in rules, group


@given(houses())
@MANY
def test_a_room_that_is_wet_above_a_wet_crawl_space_is_sent_to_another_checklist(
    house: Data,
) -> None:
    at = steps_at(plan_of(house, "crawl-space-only"))
    for room in places_of(house)["room"]:
        here = at.get(("room", room.id), set())
        assert ("room-above-dry" in here) is may_be(room, "wetted")


# nothing is out without a way back


@given(houses(), EVERY)
@MANY
def test_what_is_taken_out_comes_back_at_its_place_or_somebody_decides(
    house: Data, name: str
) -> None:
    plan = plan_of(house, name)
    steps = {step.id: step for step in plan.steps}
    back = {step.puts_back: step for step in plan.steps if step.puts_back}
    assert back.keys() == {step.id for step in plan.steps if step.takes_out}
    for out, returning in back.items():
        assert (returning.place, returning.place_kind) == (steps[out].place, steps[out].place_kind)
        # power alone comes back by itself: a house without it is not handed over
        assert returning.may_stay_out or returning.rule == "power-back"
        assert out not in before(plan) or returning.id not in before(plan)[out]


# before the first cut

# Opens, cuts or breaks something, by what its rule says of itself and of what it takes out.
BEFORE_ANY_CUT = ("asbestos-surveyed", "lead-safe")
# Touches no painted or covered face: carpet and pad, debris, ducts, what lies on soil.
NO_PAINT = {"carpet-dried", "debris-hauled", "ducts-replaced"}


def cutting(plan: Plan, name: str) -> Iterator[Step]:
    rules = {placed.rule.step: placed.rule for placed in checklist(name).rules}
    for step in plan.steps:
        if "tear-out" in rules[step.rule].work and step.rule not in BEFORE_ANY_CUT:
            yield step


@given(houses(), EVERY)
@MANY
def test_nothing_is_torn_out_before_the_survey(house: Data, name: str) -> None:
    plan = plan_of(house, name)
    there, first = {step.id for step in plan.steps}, before(plan)
    for step in cutting(plan, name):
        for rule in BEFORE_ANY_CUT[: 1 if step.rule in NO_PAINT else 2]:
            assert f"{rule}/house" not in there or f"{rule}/house" in first[step.id], step.id
        if step.rule not in ("debris-hauled", "ducts-replaced"):
            assert "consent-to-work/house" in first[step.id]


TOUCHING = ("electrical-part", "motor", "appliance", "burner")


def opens_or_touches(plan: Plan, name: str) -> Iterator[Step]:
    """Yield the steps that put a hand on a part, a machine, a wall, a ceiling or a floor."""
    yield from (s for s in cutting(plan, name) if s.place_kind in ("wall", "room"))
    yield from (s for s in plan.steps if s.phase == "electrical" and s.place_kind in TOUCHING)


@given(houses(), EVERY)
@MANY
def test_no_hand_goes_near_a_part_before_its_circuit_is_dead(house: Data, name: str) -> None:
    plan, there = plan_of(house, name), places_of(house)
    first = before(plan)
    circuits: dict[str, set[str]] = {}
    for part in there["electrical-part"]:
        if "room" in part.belongs_to:
            circuits.setdefault(part.belongs_to["room"], set()).add(part.belongs_to["circuit"])
    for step in opens_or_touches(plan, name):
        came = first[step.id]
        assert "power-off/house" in came, step.id
        if not there["electrical-part"]:  # nobody listed the parts yet
            assert "parts-listed/house" in came, step.id
            continue
        (place,) = (one for one in there[step.place_kind] if one.id == step.place)
        if step.place_kind == "electrical-part":
            own = {place.belongs_to["circuit"]}
        else:
            room = place.id if step.place_kind == "room" else place.belongs_to.get("room")
            own = circuits.get(room or "", set())
        dead = {f"prove-dead/{circuit}" for circuit in own}
        if step.place_kind == "electrical-part" and step.asks:
            dead &= first.keys()  # where its cable runs is asked; wet, it lays the proof too
        assert dead <= came, step.id


@given(houses(), EVERY)
@MANY
def test_nothing_is_dead_before_all_that_stays_live_is_opened(house: Data, name: str) -> None:
    plan = plan_of(house, name)
    first = before(plan)
    opened = {"solar-opened", "battery-isolated", "generator-stopped", "nothing-stays-live"}
    live = {step.id for step in plan.steps if step.rule in opened}
    for step in plan.steps:
        if step.rule in ("prove-dead", "parts-listed"):
            assert live <= first[step.id]
            assert (
                not {f"{rule}/house" for rule in ("placard-obeyed", "structure-seen")}
                - first[step.id]
            )


@given(houses(), EVERY)
@MANY
def test_nobody_goes_in_before_placard_structure_gas_and_gear(house: Data, name: str) -> None:
    plan = plan_of(house, name)
    first = before(plan)
    gate = {f"{rule}/house" for rule in ("placard-obeyed", "structure-seen", "gear-on")}
    gate |= {s.id for s in plan.steps if s.rule in ("fuel-shut", "nothing-leaks")}
    for step in plan.steps:
        inside = step.rule in {"room-as-found", "lines-as-found", "appliance-as-found",
                               "burner-as-found", "prove-dead", "entry-safe",
                               "basement-entry-safe"}  # fmt: skip
        if inside or (step.place_kind in ("wall", "room") and step.rule in PARTS):
            assert gate <= first[step.id], step.id


# the space below


@given(houses(), EVERY)
@MANY
def test_no_fan_pulls_on_a_burner_whose_air_is_not_known_to_come_from_elsewhere(
    house: Data, name: str
) -> None:
    plan, there = plan_of(house, name), places_of(house)
    first = before(plan)
    clears = {"crawl-space": "burners-cleared", "basement": "basement-burners-cleared"}
    for step in plan.steps:
        if step.rule not in ("drying-begun", "basement-drying-begun"):
            continue
        (space,) = there[step.place_kind]
        for burner in there["burner"]:
            assert f"burner-off/{burner.id}" in first[step.id]
        if may_be(space, "burners-draw-air"):
            cleared = f"{clears[step.place_kind]}/{space.id}"
            assert cleared in first[step.id]
            assert {s.id: s for s in plan.steps}[cleared].hold_point
        if not there["burner"]:
            assert "nothing-burns/house" in first[step.id]


@given(houses(), EVERY)
@MANY
def test_poly_goes_back_only_behind_dry_soil(house: Data, name: str) -> None:
    plan = plan_of(house, name)
    steps, first = {step.id: step for step in plan.steps}, before(plan)
    for step in plan.steps:
        if step.rule in ("poly-back", "insulation-below-back"):
            dry = steps["soil-dry/crawl-space"]
            assert dry.id in step.needs
            assert dry.hold_point
            (reading,) = (proof for proof in dry.proof if proof.kind == "reading")
            assert (reading.at_most, reading.count, reading.hours_apart) == ("15 %", 2, 24)
            assert "drying-begun/crawl-space" in first[dry.id]
