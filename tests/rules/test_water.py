"""A flood from outside is one water: its surface is carried from room to room by their levels."""

from __future__ import annotations

from typing import Any

import pytest

from siltline.rules.house import House
from siltline.rules.sheet.site import OUTSIDE, RISING
from siltline.rules.water import in_rooms
from siltline.rules.wetted import Thing, Verdict, part, room

DEN = {"name": "Den", "level": "-12 in", "waterline": "43 in", "highest-wet-reading": "50 in"}


def water(study: dict[str, Any], source: str | None = "river", den: dict[str, Any] = DEN) -> Any:
    """Return what is known of the water in a study, in a house whose den was measured."""
    rooms = {"den": den, "study": {"name": "Study", **study}}
    data = {"house": "H", "loss": {"source": source}, "rooms": rooms}
    return in_rooms(House.model_validate(data))["study"]


def at(height: str, study: dict[str, Any], source: str | None = "river") -> Verdict:
    return part(Thing(("electrical", "x"), "the outlet", height), water(study, source))


def asked(verdict: Verdict) -> list[str]:
    return [".".join(ask.path) for ask in verdict.asks]


# The surface stands at 43 - 12 = 31 in above the level of the site.
@pytest.mark.parametrize(
    ("level", "height", "value", "asks"),
    [
        ("0 in", "31 in", True, []),
        ("0 in", "32 in", None, ["rooms.study.highest-wet-reading"]),
        ("20 in", "11 in", True, []),
        ("20 in", "11.1 in", None, ["rooms.study.highest-wet-reading"]),
        ("-2 ft", "55 in", True, []),
        ("31 in", "0 in", None, ["rooms.study.highest-wet-reading"]),
        ("40 in", "0 in", None, ["rooms.study.highest-wet-reading"]),
    ],
)
def test_a_room_without_lines_gets_the_waterline_of_the_same_water(
    level: str, height: str, value: bool | None, asks: list[str]
) -> None:
    verdict = at(height, {"level": level})
    assert verdict.value is value
    assert asked(verdict) == asks


def test_the_reason_says_where_the_line_was_measured() -> None:
    assert at("20 in", {"level": "0 in"}).because == (
        "its bottom, 20 in (51 cm), is not above the waterline carried over by level from Den"
        " (the same water), 31 in (79 cm)"
    )
    assert room(water({"level": "0 cm"})).because == (
        "water reached this room: the waterline carried over by level from Den (the same water)"
        " is at 78.7 cm (31 in)"
    )


@pytest.mark.parametrize(
    "own",
    [
        {"waterline": "0 in", "highest-wet-reading": "0 in"},
        {"waterline": "2 in", "highest-wet-reading": "5 in"},
    ],
)
def test_the_lines_of_the_room_itself_always_win(own: dict[str, str]) -> None:
    assert at("20 in", {"level": "0 in", **own}).value is False


def test_a_line_that_contradicts_the_one_carried_over_asks_for_its_own_waterline() -> None:
    dry_reading = {"level": "0 in", "highest-wet-reading": "4 in"}
    assert asked(at("20 in", dry_reading)) == ["rooms.study.waterline"]
    high_silt = {"level": "20 in", "silt-line": "14 in"}
    assert asked(at("20 in", high_silt)) == [
        "rooms.study.waterline",
        "rooms.study.highest-wet-reading",
    ]


def test_a_wet_reading_above_the_line_carried_over_settles_it() -> None:
    assert at("34 in", {"level": "0 in", "highest-wet-reading": "36 in"}).value is True
    assert at("37 in", {"level": "0 in", "highest-wet-reading": "36 in"}).value is False
    assert at("1 in", {"level": "9 ft", "highest-wet-reading": "0 in"}).value is False


@pytest.mark.parametrize("source", [*(s for s in RISING if s not in OUTSIDE), "rain", None])
def test_only_a_flood_from_outside_is_the_same_water_everywhere(source: str | None) -> None:
    assert at("20 in", {"level": "0 in"}, source).value is None


@pytest.mark.parametrize(
    "den",
    [
        {**DEN, "level": None},
        {**DEN, "waterline": None},
        {**DEN, "waterline": "0 in"},  # a dry floor says only that the water stood lower
        {**DEN, "from-above": True},
    ],
)
def test_a_line_is_carried_over_only_from_where_the_water_stood_at_a_known_level(
    den: dict[str, Any],
) -> None:
    assert "waterline" not in water({"level": "0 in"}, "river", den).lines
    assert "waterline" not in water({}).lines


def test_of_two_measured_rooms_the_higher_surface_is_carried_over() -> None:
    low = {"name": "Hall", "level": "0 in", "waterline": "20 in"}
    for order in (("den", "hall"), ("hall", "den")):
        rooms = {"den": DEN, "hall": low}
        data = {
            "house": "H",
            "loss": {"source": "river"},
            "rooms": {**{k: rooms[k] for k in order}, "x": {"name": "X", "level": "0 in"}},
        }
        assert in_rooms(House.model_validate(data))["x"].lines["waterline"].height.text == "31 in"


@pytest.mark.parametrize(
    ("from_above", "source", "value"),
    [
        (None, "river", False),
        (False, "river", False),
        (True, "river", None),  # a leak above clears nothing by height
        (None, "rain", None),
        (False, "rain", False),  # somebody looked: none of it came from above here
        (False, None, False),
        (True, "rain", None),
    ],
)
def test_water_from_above_is_a_fact_of_each_room(
    from_above: bool | None, source: str | None, value: bool | None
) -> None:
    lines = {"waterline": "10 in", "highest-wet-reading": "12 in", "from-above": from_above}
    assert at("20 in", lines, source).value is value
    assert at("11 in", lines, source).value is True
    assert room(water(lines, source)).value is True


def test_a_room_that_water_came_into_from_above_was_wetted_though_its_lines_are_at_nought() -> None:
    dry = {"waterline": "0 in", "highest-wet-reading": "0 in"}
    assert room(water({**dry, "from-above": True})).value is True
    assert room(water(dry)).value is False
