"""Each layer of a wall was wetted, or not, from its own lowest edge and by what it is made of.

Common practice: wallboard, fibre insulation and wood draw water above the line where it stood,
so the highest wet reading decides for them; foam, metal, vinyl and tile do not.
"""

from __future__ import annotations

from typing import Any

import pytest

from siltline.rules.house import House
from siltline.rules.layers import LAYERS, layer, wall
from siltline.rules.water import in_rooms
from siltline.rules.wetted import Verdict

WET = {"waterline": "31 in", "silt-line": "28 in", "highest-wet-reading": "38 in"}
DRY = {"waterline": "0 in", "highest-wet-reading": "0 in"}
DAMP = {"waterline": "0 in", "highest-wet-reading": "4 in"}  # it drew water from a wet floor


def judged(name: str, built: dict[str, Any], lines: dict[str, Any] = WET, **more: Any) -> Verdict:
    rooms = {"here": {"name": "Here", **lines}, "there": {"name": "There", **more.pop("there", {})}}
    walls = {"w": {"name": "the wall", "room": "here", **built}}
    data = {"house": "H", "loss": {"source": "river", **more}, "rooms": rooms, "walls": walls}
    house = House.model_validate(data)
    water, one = in_rooms(house), house.walls["w"]
    waters = [water[room] for room in (one.room, one.other_room) if room]
    return wall("w", one, waters) if name == "wall" else layer(name, "w", one, waters)


def asked(verdict: Verdict) -> list[str]:
    return [ask.path[-1] for ask in verdict.asks]


@pytest.mark.parametrize(
    ("name", "built", "lines", "value", "asks"),
    [
        ("finish", {"finish": "wallboard"}, WET, True, []),
        ("finish", {"finish": "wallboard"}, DRY, False, []),
        ("finish", {"finish": "wallboard"}, DAMP, True, []),
        ("finish", {"finish": "tile"}, DAMP, False, []),
        ("finish", {"finish": "wallboard", "finish-from": "34 in"}, WET, True, []),
        ("finish", {"finish": "tile", "finish-from": "34 in"}, WET, False, []),
        ("finish", {"finish": "wallboard", "finish-from": "39 in"}, WET, False, []),
        ("finish", {"finish": "none"}, WET, False, []),
        ("insulation", {"insulation": "fibreglass"}, DAMP, True, []),
        ("insulation", {"insulation": "spray-foam"}, DAMP, False, []),
        ("insulation", {"insulation": "none"}, WET, False, []),
        ("insulation", {}, WET, None, ["insulation"]),  # there may be none
        ("insulation", {}, DRY, False, []),
        ("insulation", {}, DAMP, None, ["insulation"]),
        ("structure", {}, WET, True, []),  # every wall has one
        ("structure", {}, DAMP, None, ["structure"]),
        ("structure", {"structure": "stud"}, DAMP, True, []),
        ("sheathing", {"sheathing": "fibreboard"}, DAMP, True, []),
        ("sheathing", {"sheathing": "foam"}, DAMP, False, []),
        ("sheathing", {"sheathing": "foam"}, WET, True, []),
        ("cladding", {"outer": False}, WET, False, []),
        ("cladding", {"outer": True}, WET, True, []),
        ("cladding", {}, WET, None, ["outer", "cladding"]),
        ("cladding", {"cladding": "brick-veneer"}, WET, True, []),
        ("cladding", {"outer": True, "cladding": "vinyl"}, DAMP, False, []),
        ("finish", {"finish": "wallboard"}, {"waterline": "0 in"}, None, ["highest-wet-reading"]),
        ("finish", {"finish": "tile"}, {"waterline": "0 in"}, False, []),
        ("finish", {}, {}, None, ["finish", "waterline", "highest-wet-reading"]),
    ],
)
def test_a_layer_is_wetted_from_its_lowest_edge_by_what_it_is_made_of(
    name: str, built: dict[str, Any], lines: dict[str, Any], value: bool | None, asks: list[str]
) -> None:
    verdict = judged(name, built, lines)
    assert verdict.value is value
    assert asked(verdict) == asks


@pytest.mark.parametrize("name", ["wall", *LAYERS])
@pytest.mark.parametrize("wet", [True, False])
def test_what_somebody_saw_of_a_wall_decides_for_all_that_it_has(name: str, wet: bool) -> None:
    built = {"wet": wet, "outer": True, "finish": "plaster", "insulation": "rock-wool",
             "sheathing": "osb"}  # fmt: skip
    assert judged(name, built, DRY if wet else WET).value is wet


@pytest.mark.parametrize("name", ["wall", "finish"])
def test_a_wall_between_two_rooms_is_wetted_from_either_side(name: str) -> None:
    built = {"finish": "wallboard", "other-room": "there"}
    assert judged(name, built, DRY, there=WET).value is True
    assert judged(name, built, WET, there=DRY).value is True
    assert judged(name, built, DRY, there=DRY).value is False
    assert judged(name, built, DRY, there={}).value is None


@pytest.mark.parametrize("name", ["wall", "finish"])
def test_where_water_came_from_above_somebody_must_look_at_the_wall(name: str) -> None:
    verdict = judged(name, {"finish": "wallboard"}, {**DRY, "from-above": True})
    assert verdict.value is None
    assert asked(verdict) == ["wet"]


def test_where_water_came_from_above_nothing_is_cleared_for_drawing_no_water() -> None:
    assert judged("finish", {"finish": "tile"}, {**DAMP, "from-above": True}).value is True
    assert judged("finish", {"finish": "tile"}, DAMP, source="rain").value is True


def test_a_wall_that_reaches_the_floor_is_wetted_as_its_room_is() -> None:
    wetted = judged("wall", {})
    assert wetted.value is True
    assert wetted.because.startswith("water reached this room: ")
