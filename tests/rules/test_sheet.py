"""The whole house sheet: what it takes, what it refuses, what it finds odd."""

from __future__ import annotations

from typing import get_args

import pytest

from siltline.rules.faults import Faulty
from siltline.rules.files import house_from
from siltline.rules.house import warnings
from siltline.rules.places import places
from siltline.rules.sheet.building import Floor
from siltline.rules.sheet.writing import faults_of
from support.house import WHOLE

SMALL = "house: x\nloss: {source: river}\nrooms:\n  a:\n    name: A\n"


def faults(text: str) -> list[str]:
    with pytest.raises(Faulty) as found:
        house_from(text, "h.yaml")
    return [str(fault).removeprefix("h.yaml:") for fault in found.value.faults]


def odd(text: str) -> list[str]:
    return [str(one).removeprefix("h.yaml:") for one in warnings(*house_from(text, "h.yaml"))]


def changed(old: str, new: str) -> str:
    assert old in WHOLE
    return WHOLE.replace(old, new, 1)


def has(text: str, key: str) -> bool | None:
    (house,) = places(*house_from(text, "h.yaml"))["house"]
    value = house.facts[key].value
    assert value in (True, False, None)
    return value  # type: ignore[return-value]


def test_the_whole_sheet_has_neither_faults_nor_oddities() -> None:
    house, source = house_from(WHOLE, "whole.yaml")
    assert warnings(house, source) == []
    assert house.loss.consent_to_work is not None
    assert house.loss.consent_to_work.by == "Somebody Invented"
    assert house.loss.consent_to_discard is None
    assert house.walls["north"].sheathing_mark == "exposure-1"
    assert house.burners["heater"].draws_air_from == "crawl-space"
    assert house.crawl_space is not None
    assert house.crawl_space.openings["north-vent"].side == "north"


GROUPS = ["walls", "electrical", "motors", "appliances", "burners", "fuels", "live-sources",
          "contents"]  # fmt: skip
SINGLES = ["well", "septic", "heating-cooling", "crawl-space", "basement", "manufactured-home"]


@pytest.mark.parametrize("key", [*GROUPS, *SINGLES])
@pytest.mark.parametrize(
    ("typed", "value"), [("none", False), ("false", False), ("true", True), ("", None)]
)
def test_a_sheet_may_say_that_there_is_none_or_some_and_silence_is_neither(
    key: str, typed: str, value: bool | None
) -> None:
    assert has(f"{SMALL}{key}: {typed}\n", key) is value


@pytest.mark.parametrize(("key", "value"), [("burners", None), ("well", True)])
def test_an_empty_group_lists_nothing_and_an_empty_description_is_still_there(
    key: str, value: bool | None
) -> None:
    assert has(f"{SMALL}{key}: {{}}\n", key) is value


def test_what_is_not_known_to_be_there_has_no_steps_and_asks_the_house() -> None:
    found = places(*house_from(SMALL, "h.yaml"))
    assert not [*found["well"], *found["burner"], *found["septic"]]
    (ask,) = found["house"][0].facts["burners"].asks
    assert ask.path == ("burners",)
    assert ask.words == "whether x has anything that burns fuel (yes or no)"


@pytest.mark.parametrize("kind", ["crawl-space", "basement"])
@pytest.mark.parametrize(
    ("foundation", "count"), [("slab", 0), ("crawl-space", 1), ("basement", 1), ("", 2)]
)
def test_the_foundation_speaks_of_what_is_below_until_the_sheet_does(
    kind: str, foundation: str, count: int
) -> None:
    text = f"{SMALL}foundation: {foundation}\n"
    found = places(*house_from(text, "h.yaml"))
    assert len(found["crawl-space"]) + len(found["basement"]) == count
    assert not places(*house_from(f"{text}{kind}: none\n", "h.yaml"))[kind]
    assert len(places(*house_from(f"{text}{kind}: true\n", "h.yaml"))[kind]) == 1


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("altitude: 410 ft", "altitude: 410 km", "'410 km' is not a number with its unit"),
        ("altitude: 410 ft", "altitude: 41000 ft", "41000 ft is no altitude of a house"),
        ("latitude: 41.25", "latitude: 91", "'91' is not an angle in degrees"),
        ("latitude: 41.25", "latitude: 41 15 N", "'41 15 N' is not an angle in degrees"),
        ("longitude: -95.93", "longitude: -180.1", "'-180.1' is not an angle in degrees"),
        ("latitude: 41.25, ", "", "'latitude' is missing here"),
        ("length: 14 ft", "length: 14 m2", "has another kind of unit"),
        ("length: 14 ft", "length: 14000 ft", "14000 ft is no length in a house"),
        ("level: 0 in", "level: 300 ft", "300 ft is no level of a floor"),
        ("height: 3 ft", "height: 300 ft", "300 ft is no height in a house"),
        ("cable-runs: wall", "cable-runs: walls", "did you mean 'wall'?"),
        ("insulation: fibreglass", "insulation: glass", "'insulation' cannot be 'glass'"),
        ("sheathing: plywood", "sheathing: ply", "did you mean 'plywood'?"),
        ("fuel: gas", "fuel: diesel", "'fuel' cannot be 'diesel'; known: gas, propane, oil"),
        ("kind: solar", "kind: sun", "'kind' cannot be 'sun'; known: solar, battery"),
        ("space: attic", "space: loft", "'space' cannot be 'loft'"),
        ("quantity: 2", "quantity: two", "'two' is not a whole number"),
        ("sump-pits: 1", "sump-pits: -1", "'-1' is not a whole number"),
        ("at: 2026-03-12 08:00", "at: Thursday", "'Thursday' is not a date and time"),
        ("    other-room: loft", "    other-room: lof", "there is no room 'lof'"),
        ("    space: crawl-space", "    space: crawl-space\n    room: loft", "keep one"),
        ("    space: crawl-space", "    room: atic", "there is no room 'atic'"),
        ("  flooded: false\n", "  flooded: false\n  waterline: 3 in\n", "contradict each other"),
        ("  flooded: true\n  ground", "  flooded: true\n  waterline: 0 in\n  ground", "contradict"),
        ("  flooded: true\n  ground", "  waterline: -2 in\n  ground", "is below the floor"),
        ("motors:\n", "motor:\n", "'motor' is not known here; did you mean 'motors'?"),
        ("well: {", "well: [{", "yaml"),
        ("septic: {flooded: true, backs-up: false}", "septic: maybe", "should hold keys"),
        ("manufactured-home: none", "manufactured-home: no", "should hold keys"),
    ],
)
def test_each_fault_of_the_whole_sheet_is_told(old: str, new: str, fault: str) -> None:
    (told,) = faults(changed(old, new))
    if fault != "yaml":
        assert fault in told
    line = int(told.partition(":")[0])
    typed = changed(old, new).splitlines()
    key = new.strip().partition(":")[0].strip()
    assert any(key in one for one in typed[max(line - 2, 0) : line + 1])


def test_an_electrical_part_that_stands_nowhere_is_told_and_one_in_a_space_is_not() -> None:
    part = "electrical:\n  box:\n    name: box\n    kind: junction-box\n"
    assert faults(SMALL + part) == ["8:5: 'room' is missing here"]
    house_from(f"{SMALL}{part}    space: crawl-space\n", "h.yaml")


def test_faults_of_shape_and_faults_between_places_are_told_at_once() -> None:
    text = changed("fuel: gas", "fuel: diesel").replace("other-room: loft", "other-room: lof")
    assert len(faults(text.replace("altitude: 410 ft", "altitude: high"))) == 3


ROOMS = """\
house: x
loss: {source: river, water-in: 2026-03-10 21:30}
rooms:
  a: {name: A, level: 0 in, waterline: 30 in}
  b: {name: B, level: -12 in, waterline: 36 in}
"""


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (ROOMS, []),  # 30 and 24 in above the level of the site: 6 in apart is not more than 6
        (
            ROOMS.replace("waterline: 36 in", "waterline: 35.9 in"),
            ["5:42: this water stood 6.1 in (15 cm) lower than in A, though it was the same"],
        ),
        (ROOMS.replace("36 in", "35 in").replace("river", "rain"), []),
        (ROOMS.replace("36 in", "10 in").replace("name: B", "name: B, from-above: true"), []),
        (ROOMS.replace("name: A", "name: A, floor: Carpet"), [
            "4:23: no rule knows the floor covering 'Carpet'; did you mean 'carpet'?"]),
        (ROOMS.replace("name: A", "name: A, ceiling-height: 20 in"), [
            "4:63: 'waterline' is above the ceiling"]),
        (ROOMS.replace("name: A", "name: A, category: 1"), [
            "4:26: water of this source (river) counts as category 3 from the start"]),
        (ROOMS.replace("source: river", "source: river, category: 2"), ["2:33: water of this"]),
        (ROOMS.replace("name: A", "name: A, category-since: 2026-03-09 08:00"), [
            "4:32: this lies before the water came"]),
        (ROOMS + "foundation: slab\ncrawl-space: {}\n", ["7:1: the foundation is a slab"]),
        (ROOMS + "crawl-space: {area: about 900}\n", ["6:21: 'about 900' is not a number"]),
        (ROOMS + "walls: {w: {name: W, room: a, outer: false, cladding: log}}\n", [
            "6:55: this wall is not an outer wall"]),
        (ROOMS + "walls: {w: {name: W, room: a, other-room: a}}\n", ["6:43: the room behind"]),
        (ROOMS + "burners: {f: {name: F, sealed: true, draws-air-from: room}}\n", [
            "6:54: a sealed burner"]),
    ],
)  # fmt: skip
def test_what_is_odd_but_may_be_so_is_a_warning_at_its_line(text: str, wanted: list[str]) -> None:
    found = odd(text)
    assert len(found) == len(wanted)
    for told, start in zip(found, wanted, strict=True):
        assert told.startswith(start)


@pytest.mark.parametrize(("floor", "value"), [("carpet", "carpet"), ("Axminster", None)])
def test_a_floor_in_free_text_is_kept_and_asked_for_again(floor: str, value: str | None) -> None:
    text = SMALL.replace("name: A", f"name: A\n    floor: {floor}")
    fact = places(*house_from(text, "h.yaml"))["room"][0].facts["floor"]
    assert fact.value == value
    assert bool(fact.asks) == (value is None)
    assert floor == value or floor not in get_args(Floor)


def test_the_category_of_a_room_is_its_own_or_that_of_the_loss() -> None:
    text = "house: x\nloss: {category: 2}\nrooms: {a: {name: A, category: 3}, b: {name: B}}\n"
    found = places(*house_from(text, "h.yaml"))["room"]
    assert [room.facts["category"].value for room in found] == ["3", "2"]
    assert [room.facts["category"].where for room in found] == ["h.yaml:3", "h.yaml:2"]


def test_the_area_of_a_room_is_length_by_width() -> None:
    text = SMALL.replace("name: A", "name: A\n    length: 14 ft\n    width: 11 ft 6 in")
    area = places(*house_from(text, "h.yaml"))["room"][0].facts["area"].value
    assert str(getattr(area, "text", "")) == "161 ft2"
    # 161 square feet of the international foot, 0.3048 m: NIST SP 811 (2008), appendix B.8
    assert str(getattr(area, "si", "")).startswith("14.957")


def test_consent_stands_once_both_who_and_when_are_known() -> None:
    def fact(typed: str) -> tuple[object, list[str]]:
        text = SMALL.replace("river}", f"river, consent-to-work: {typed}}}")
        found = places(*house_from(text, "h.yaml"))["house"][0].facts["consent-to-work"]
        return found.value, [ask.path[-1] for ask in found.asks]

    assert fact("{by: X, at: 2026-03-12}") == (True, [])
    assert fact("{by: X}") == (None, ["at"])
    assert fact("true") == (None, ["by", "at"])
    assert fact("") == (None, ["by", "at"])
    assert fact("false") == (False, [])


DRAWS = "burners: {f: {name: F, draws-air-from: crawl-space}}\n"
AIR = SMALL + "foundation: crawl-space\n"


@pytest.mark.parametrize(
    ("more", "value", "asked"),
    [
        ("", None, "crawl-space.burners-draw-air"),
        ("burners: none\n", False, ""),
        ("burners: true\n", None, "crawl-space.burners-draw-air"),
        ("burners: {f: {name: F}}\n", None, "burners.f.draws-air-from"),
        (DRAWS, True, ""),
        ("burners: {f: {name: F, draws-air-from: room}}\n", False, ""),
        ("burners: {f: {name: F, sealed: true}}\n", False, ""),
        (
            "burners: {f: {name: F, sealed: true}, g: {name: G, draws-air-from: crawl-space}}\n",
            True,
            "",
        ),
        ("crawl-space: {burners-draw-air: true}\n", True, ""),
        ("crawl-space: {burners-draw-air: false}\n", False, ""),
        (
            "crawl-space: {burners-draw-air: false}\n" + DRAWS,
            True,  # the dangerous one of two words counts
            "",
        ),
    ],
)
def test_whether_a_burner_draws_its_air_from_the_crawl_space(
    more: str, value: bool | None, asked: str
) -> None:
    (space,) = places(*house_from(AIR + more, "h.yaml"))["crawl-space"]
    fact = space.facts["burners-draw-air"]
    assert fact.value is value
    assert ",".join(".".join(ask.path) for ask in fact.asks) == asked


@pytest.mark.parametrize(
    ("loss", "value"),
    [("source: sea", True), ("source: river", None), ("source: sea, salt: false", False)],
)
def test_water_from_the_sea_is_salt_unless_somebody_says_else(
    loss: str, value: bool | None
) -> None:
    text = SMALL.replace("source: river", loss)
    assert places(*house_from(text, "h.yaml"))["house"][0].facts["salt"].value is value


def test_a_thing_in_a_space_has_no_room_that_could_fit_a_rule() -> None:
    from siltline.rules.facts import above_missing  # noqa: PLC0415

    (motor,) = places(*house_from(WHOLE, "h.yaml"))["motor"]
    assert above_missing(motor, "room").value == ""
    text = SMALL + "motors: {m: {name: M}}\n"
    (lost,) = places(*house_from(text, "h.yaml"))["motor"]
    (ask,) = above_missing(lost, "room").asks
    assert ask.path == ("motors", "m", "room")


@pytest.mark.parametrize("typed", ["high", "15 %", "31 in 2"])
def test_a_height_that_is_no_length_is_told_at_its_line(typed: str) -> None:
    text = f"house: H\nrooms:\n  den:\n    name: Den\n    waterline: {typed}\n"
    with pytest.raises(Faulty) as told:
        house_from(text, "house.yaml")
    (fault,) = told.value.faults
    assert (fault.line, fault.column) == (5, 16)
    assert fault.text


@pytest.mark.parametrize(
    ("lines", "at"),
    [
        (("waterline: 9 in", "silt-line: 10 in"), (6, 16)),
        (("waterline: 9 in", "silt-line: 9 in"), None),
        (("waterline: 9 in", "highest-wet-reading: 8 in"), (6, 26)),
        (("waterline: 9 in", "highest-wet-reading: 9 in"), None),
        (("silt-line: 10 in", "highest-wet-reading: 8 in"), None),  # of two that do not order
        (("waterline: -1 in",), (5, 16)),
        (("waterline: 0 in",), None),
    ],
)
def test_lines_that_cannot_be_so_are_told_at_the_one_that_is_wrong(
    lines: tuple[str, ...], at: tuple[int, int] | None
) -> None:
    text = "house: H\nrooms:\n  den:\n    name: Den\n" + "".join(f"    {one}\n" for one in lines)
    if at is None:
        house_from(text, "house.yaml")
        return
    with pytest.raises(Faulty) as told:
        house_from(text, "house.yaml")
    assert [(fault.line, fault.column) for fault in told.value.faults] == [at]


@pytest.mark.parametrize("what", ["work", "discard"])
def test_a_consent_before_the_water_came_is_a_warning_at_its_moment(what: str) -> None:
    text = (
        "house: H\nloss:\n  water-in: 2026-03-10 21:30\n"
        f"  consent-to-{what}:\n    by: Ada\n    at: 2026-03-09 08:00\n"
        "rooms: {den: {name: Den}}\n"
    )
    (odd,) = warnings(*house_from(text, "house.yaml"))
    assert (odd.line, odd.column) == (6, 9)
    assert not warnings(*house_from(text.replace("03-09", "03-11"), "house.yaml"))


@pytest.mark.parametrize(
    "year", ["\uff11\uff19\uff15\uff18", "195८", "19580", "58", "-958", "1e03"]
)
def test_a_year_is_four_plain_digits(year: str) -> None:
    with pytest.raises(Faulty):
        house_from(f'house: H\nyear-built: "{year}"\nrooms: {{den: {{name: Den}}}}\n', "h.yaml")


@pytest.mark.parametrize(("height", "odd"), [("8 ft", False), ("8.1 ft", True)])
def test_a_line_above_the_ceiling_is_odd_and_one_that_touches_it_is_not(
    height: str, odd: bool
) -> None:
    room = f"{{name: Den, ceiling-height: 8 ft, waterline: {height}}}"
    text = f"house: H\nrooms:\n  den: {room}\n"
    assert bool(warnings(*house_from(text, "house.yaml"))) is odd


@pytest.mark.parametrize("where", ["draws-air-from: outside", "fuel: gas"])
def test_a_sealed_burner_that_draws_from_outside_or_nobody_knows_where_is_not_odd(
    where: str,
) -> None:
    assert odd(ROOMS + f"burners: {{f: {{name: F, sealed: true, {where}}}}}\n") == []


@pytest.mark.parametrize(("digits", "fits"), [(17, True), (18, False)])
def test_a_position_may_have_as_many_digits_as_twenty_characters_hold(
    digits: int, fits: bool
) -> None:
    text = ROOMS + f"position: {{latitude: 41.{'2' * digits}, longitude: 1}}\n"
    found = faults_of(text)[0]
    assert (found == []) is fits
