"""A step as the record holds it: what says nothing is left out, as in the oldest files."""

from __future__ import annotations

from msgspec.structs import replace

from siltline.rules.plan import Proof, Way, spoken, step_from_json, step_to_json
from siltline.rules.plan import Step as AStep

STEP = AStep(
    id="a/house", rule="a", file="f", line=1, phase="p", place="house", place_name="House",
    place_kind="house", do="Do it.", reason="Because.", measure="", measure_after="", asks=(),
    needs=("b/house",), hold_point="", proof=(Proof("photo", "after"),), cautions=(),
    sources=("s",), facts=(), takes_out="", puts_back="", order=(1, 2, 3),
)  # fmt: skip
LATER = {"nevers", "ways", "every", "until", "override", "may_stay_out", "goes_if", "other"}


def test_what_came_later_is_left_out_where_it_says_nothing() -> None:
    value = step_to_json(STEP)
    assert not LATER & value.keys()
    assert "roles" not in value["proof"][0]
    roles = replace(STEP, proof=(Proof("same-spot", "x", roles=("before", "after")),))
    assert list(step_to_json(roles)["proof"][0]["roles"]) == ["before", "after"]
    ways = replace(STEP, ways=(Way("w", "Do.", "", (Proof("photo", "after"),)),))
    assert "roles" not in step_to_json(ways)["ways"][0]["proof"][0]


def test_a_step_comes_back_as_it_was_from_lists() -> None:
    value = step_to_json(STEP) | {"needs": ["b/house"], "sources": ["s"], "order": [1, 2, 3]}
    assert step_from_json(value) == STEP


def test_a_step_is_spoken_in_a_language_as_far_as_it_goes() -> None:
    two = replace(STEP, other={"es": {"do": "Hágalo."}})
    assert (spoken(two, "es").do, spoken(two, "es").reason) == ("Hágalo.", "Because.")
    assert spoken(two, "fr") == two


def test_what_a_later_version_says_of_a_step_is_left_alone() -> None:
    assert step_from_json(step_to_json(STEP) | {"something-new": [1]}) == STEP
