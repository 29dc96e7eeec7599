"""A cable was wetted where any of its run was: it can hang lower than its outlet.

Common practice: the end of a cable lies in its box; what runs in or under a floor that water
covered lay in that water.
"""

from __future__ import annotations

from typing import Any

import pytest

from siltline.rules.facts import Fact
from support.sheets import known

LINES = {"waterline": "20 in", "highest-wet-reading": "24 in"}
DRY = {"waterline": "0 in", "highest-wet-reading": "0 in"}


def cable(
    part: dict[str, Any], lines: dict[str, Any] = LINES, source: str = "river", **house: Any
) -> Fact:
    """Return what is known of the cable of an outlet whose box is 44 in up, if not told else."""
    outlet = {"name": "outlet", "kind": "outlet", "room": "den", "height": "44 in", **part}
    data = {
        "house": "H",
        "foundation": "slab",
        "loss": {"source": source},
        "rooms": {"den": {"name": "Den", **lines}},
        "electrical": {"outlet": outlet},
        **house,
    }
    return known(data)["electrical-part", "outlet", "cable-wetted"]


def asked(fact: Fact) -> list[str]:
    return [".".join(ask.path) for ask in fact.asks]


OVER: dict[str, Any] = {"foundation": "crawl-space"}
FLOODED = {**OVER, "crawl-space": {"flooded": True}}
FILLED = {**OVER, "crawl-space": {"flooded": True, "height": "3 ft", "waterline": "36 in"}}
STAYED_DRY = {**OVER, "crawl-space": {"flooded": False}}
LOWEST, RUNS, WET = "electrical.outlet.cable-lowest", "electrical.outlet.cable-runs", "cable-wet"


@pytest.mark.parametrize(
    ("part", "lines", "house", "value", "asks"),
    [
        ({}, LINES, {}, None, [RUNS]),
        ({"height": "14 in"}, LINES, {}, True, []),  # its end is in a wetted box
        ({"wet": True}, LINES, {}, True, []),
        ({"cable-runs": "ceiling"}, LINES, {}, False, []),
        ({"cable-runs": "attic"}, LINES, {}, False, []),
        ({"cable-runs": "wall"}, LINES, {}, None, [LOWEST]),
        ({"cable-runs": "wall"}, DRY, {}, False, []),
        ({"cable-runs": "wall", "cable-lowest": "24 in"}, LINES, {}, True, []),
        ({"cable-runs": "wall", "cable-lowest": "25 in"}, LINES, {}, False, []),
        ({"cable-lowest": "10 in"}, LINES, {}, True, []),
        ({"cable-lowest": "30 in"}, LINES, {}, None, [RUNS]),
        ({"cable-runs": "floor"}, LINES, {}, True, []),
        ({"cable-runs": "floor"}, DRY, {}, False, []),
        ({"cable-runs": "floor"}, DRY, OVER, None, ["crawl-space.flooded"]),
        ({"cable-runs": "floor"}, DRY, {"foundation": None}, None, ["foundation"]),
        ({"cable-runs": "crawl-space"}, LINES, STAYED_DRY, True, []),
        ({"cable-runs": "crawl-space"}, DRY, STAYED_DRY, False, []),
        ({"cable-runs": "crawl-space"}, DRY, FILLED, True, []),
        ({"cable-runs": "crawl-space"}, DRY, FLOODED, None, ["crawl-space.waterline"]),
        ({"cable-runs": "basement"}, DRY, STAYED_DRY, None, [f"electrical.outlet.{WET}"]),
        ({"cable-runs": "ceiling", "height": None}, LINES, {}, None, ["electrical.outlet.height"]),
        (
            {"cable-runs": "wall", "cable-lowest": "30 in", "height": None},
            LINES,
            {},
            None,  # its box may hang lower than all that is known of the cable
            ["electrical.outlet.height"],
        ),
        ({"cable-wet": False, "height": "14 in"}, LINES, {}, False, []),
        ({"cable-wet": True}, DRY, {}, True, []),
    ],
)
def test_a_cable_is_wetted_where_its_run_is(
    part: dict[str, Any],
    lines: dict[str, Any],
    house: dict[str, Any],
    value: bool | None,
    asks: list[str],
) -> None:
    found = cable(part, lines, **house)
    assert found.value is value
    assert asked(found) == asks


def test_a_crawl_space_that_was_not_filled_to_the_top_leaves_its_cables_to_be_looked_at() -> None:
    space = {"flooded": True, "height": "3 ft", "waterline": "20 in"}
    found = cable({"cable-runs": "crawl-space"}, DRY, foundation=None, **{"crawl-space": space})
    assert found.value is None
    assert asked(found) == [f"electrical.outlet.{WET}"]


@pytest.mark.parametrize("runs", ["ceiling", "attic"])
def test_where_water_came_from_above_a_cable_overhead_is_never_cleared(runs: str) -> None:
    found = cable({"cable-runs": runs, "wet": False}, LINES, "rain")
    assert found.value is None
    assert asked(found) == [f"electrical.outlet.{WET}"]


def test_a_part_in_a_space_has_the_water_of_that_space() -> None:
    box = {"room": None, "space": "crawl-space", "height": "10 in", "cable-runs": "wall"}

    def fact(name: str, space: dict[str, Any]) -> Fact:
        data = {
            "house": "H",
            "loss": {"source": "river"},
            "rooms": {"den": {"name": "Den", **DRY}},
            "electrical": {"box": {"name": "box", "kind": "junction-box", **box}},
            "crawl-space": space,
        }
        return known(data)["electrical-part", "box", name]

    assert fact("wetted", {"waterline": "12 in"}).value is True
    assert fact("wetted", {"waterline": "9 in"}).value is False
    assert fact("wetted", {"flooded": False}).value is False
    assert asked(fact("wetted", {"flooded": True})) == ["crawl-space.waterline"]
    assert asked(fact("wetted", {})) == ["crawl-space.flooded"]
    assert fact("space", {}).value == "crawl-space"
    assert fact("cable-wetted", {"waterline": "12 in"}).value is True


def test_a_circuit_reaches_water_by_a_cable_that_runs_in_it_though_its_parts_are_dry() -> None:
    data = {
        "house": "H",
        "foundation": "crawl-space",
        "loss": {"source": "river"},
        "rooms": {"den": {"name": "Den", **DRY}},
        "electrical": {
            "outlet": {"name": "outlet", "kind": "outlet", "room": "den", "height": "44 in",
                       "circuit": "4"}
        },
        "crawl-space": {"flooded": True, "height": "3 ft", "waterline": "36 in"},
    }  # fmt: skip
    key = ("circuit", "circuit-4", "reaches-water")
    assert known(data)[key].value is False
    data["electrical"]["outlet"]["cable-runs"] = "crawl-space"  # type: ignore[index]
    assert known(data)[key].value is True


@pytest.mark.parametrize(
    ("traced", "reaches"),
    [
        ({}, False),  # nothing points to water: a whole house would wait for every circuit
        ({"cable-runs": "crawl-space"}, True),
        ({"cable-runs": "attic"}, False),
        ({"cable-runs": "wall", "cable-lowest": "2 in"}, False),
    ],
)
def test_a_circuit_reaches_water_where_a_cable_of_it_may_run_through_it(
    traced: dict[str, str], reaches: bool
) -> None:
    outlet = {"name": "outlet", "kind": "outlet", "room": "loft", "height": "40 in",
              "circuit": "4", **traced}  # fmt: skip
    sheet = {
        "house": "H", "foundation": "crawl-space", "loss": {"source": "river"},
        "rooms": {"loft": {"name": "Loft", "waterline": "0 in", "highest-wet-reading": "0 in"}},
        "electrical": {"outlet": outlet}, "crawl-space": {"flooded": True},
    }  # fmt: skip
    fact = known(sheet)["circuit", "circuit-4", "reaches-water"]
    assert fact.value is reaches
