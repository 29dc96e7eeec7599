"""A house sheet says what is known; each of its faults is told at its line with what was meant."""

from __future__ import annotations

from typing import get_args

import pytest

from siltline.rules.faults import Faulty
from siltline.rules.files import house_from
from siltline.rules.house import House
from siltline.rules.places import places
from siltline.rules.reading import Reader
from siltline.rules.sheet.asking import fields_of
from siltline.rules.sheet.building import CrawlSpace
from siltline.rules.sheet.site import LossSource
from siltline.rules.sheet.systems import PartKind
from siltline.sentences import say
from support.house import HOUSE

SHEET = """\
house: Test house
time-zone: America/Chicago
year-built: 1964
loss:
  source: river
  category: 3
  water-in: 2026-03-10 21:30
rooms:
  kitchen:
    name: Kitchen
    waterline: 31 in
walls:
  north:
    name: north wall
    room: kitchen
    outer: true
    cladding: brick-veneer
electrical:
  sink-outlet:
    name: outlet by the sink
    kind: outlet
    room: kitchen
    height: 14 in
    wet: true
crawl-space:
  flooded: true
  ground-cover: poly
contents:
  album:
    name: the family album
    kind: photographs
    room: kitchen
"""


def house(text: str) -> House:
    return house_from(text, "house.yaml")[0]


def told(text: str) -> list[str]:
    """Return the faults of a sheet as `line:column: words`."""
    with pytest.raises(Faulty) as fault:
        house(text)
    return [line.removeprefix("house.yaml:") for line in str(fault.value).splitlines()]


def changed(old: str, new: str) -> str:
    assert SHEET.count(old) == 1
    return SHEET.replace(old, new)


def test_a_good_sheet_is_read_as_it_was_typed() -> None:
    found = house(SHEET)
    assert (found.house, found.time_zone, found.year_built) == (
        "Test house",
        "America/Chicago",
        "1964",
    )
    assert (found.loss.source, found.loss.category) == ("river", "3")
    assert found.rooms["kitchen"].waterline == "31 in"
    assert found.walls["north"].outer is True
    assert found.electrical["sink-outlet"].wet is True
    assert found.crawl_space is not None
    assert found.contents["album"].kind == "photographs"
    house(HOUSE)


@pytest.mark.parametrize(
    "text",
    [
        "house: x\nrooms:\n  a:\n    name: A\n",
        "house: x\nrooms: {a: {name: A}}\n",
        '{"house": "x", "rooms": {"a": {"name": "A"}}}',
    ],
)
def test_what_is_not_known_may_be_left_out(text: str) -> None:
    found = house(text)
    assert found.loss.source is None
    assert found.rooms["a"].waterline is None
    assert not [*found.walls, *found.electrical, *found.contents]
    assert found.crawl_space is None


LINES = [n for n, line in enumerate(SHEET.splitlines()) if line.strip().partition(": ")[2]]
NEEDED = {"house", "name", "kind", "room"}


@pytest.mark.parametrize("number", LINES)
def test_every_optional_line_may_be_left_out_or_left_empty_and_no_other(number: int) -> None:
    lines = SHEET.splitlines()
    key = lines[number].strip().partition(":")[0]
    without = "\n".join(lines[:number] + lines[number + 1 :])
    empty = "\n".join(
        [*lines[:number], lines[number].partition(":")[0] + ":", *lines[number + 1 :]]
    )
    if key in NEEDED and number < len(lines) - 1:  # the room of a belonging is optional
        assert any(f"'{key}'" in fault for fault in told(without))
        assert any(f"'{key}'" in fault for fault in told(empty))
    else:
        house(without)
        house(empty)


IDS = "should be small letters, digits and single hyphens (a-z, 0-9, -), 60 at most"
NO_ZONE = "is not a time zone; write one of the tz database, for example America/Chicago"
QUANTITY = (
    "is not a number with its unit; type for example 34in, 34 1/2 in, 2 ft 10 in, 86cm"
    " (units: mm, cm, m, in, ft)."
)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            "    waterline:",
            "    water-line:",
            "11:5: 'water-line' is not known here; did you mean 'waterline'?",
        ),
        (
            "time-zone:",
            "timezone:",
            "2:1: 'timezone' is not known here; did you mean 'time-zone'?",
        ),
        (
            "  flooded:",
            "  colour:",
            f"26:3: 'colour' is not known here; known: {', '.join(fields_of(CrawlSpace))}",
        ),
        (
            "kind: outlet",
            "kind: outlets",
            "21:11: 'kind' cannot be 'outlets'; did you mean 'outlet'?",
        ),
        (
            "source: river",
            "source: a dam",
            f"5:11: 'source' cannot be 'a dam'; known: {', '.join(get_args(LossSource))}",
        ),
        ("category: 3", "category: 4", "6:13: 'category' cannot be '4'; known: 1, 2, 3"),
        (
            "ground-cover: poly",
            "ground-cover: Poly",
            "27:17: 'ground-cover' cannot be 'Poly'; did you mean 'poly'?",
        ),
        ("    name: Kitchen\n", "", "10:5: 'name' is missing here"),
        ("house: Test house\n", "", "1:1: 'house' is missing here"),
        (
            "name: Kitchen",
            "name: ''",
            "10:11: 'name' is empty; write something or leave the key out",
        ),
        (
            "name: Kitchen",
            f"name: {'x' * 121}",
            "10:11: 'name' is too long (120 characters at most)",
        ),
        (
            "name: Kitchen",
            "name: true",
            "10:11: 'name' should be text; put it in quotes if it looks like something else",
        ),
        (
            "name: Kitchen",
            "name: [Kitchen]",
            "10:11: 'name' should be text; put it in quotes if it looks like something else",
        ),
        ("waterline: 31 in", "waterline: 31", f"11:16: '31' {QUANTITY}"),
        ("waterline: 31 in", "waterline: 31in in", f"11:16: '31in in' {QUANTITY}"),
        (
            "waterline: 31 in",
            "waterline: 31 C",
            "11:16: '31 C' has another kind of unit than is wanted here: mm, cm, m, in, ft.",
        ),
        ("height: 14 in", "height: low", f"23:13: 'low' {QUANTITY}"),
        (
            "America/Chicago",
            "Chicago",
            f"2:12: 'Chicago' {NO_ZONE}",
        ),
        (
            "America/Chicago",
            "../etc/passwd",
            f"2:12: '../etc/passwd' {NO_ZONE}",
        ),
        (
            "2026-03-10 21:30",
            "10 March",
            "7:13: '10 March' is not a date and time; write it as 2026-03-14 16:30",
        ),
        (
            "2026-03-10 21:30",
            "2026-02-30 21:30",
            "7:13: '2026-02-30 21:30' is not a date and time; write it as 2026-03-14 16:30",
        ),
        ("year-built: 1964", "year-built: 64", "3:13: '64' is not a year"),
        ("year-built: 1964", "year-built: 1599", "3:13: '1599' is not a year"),
        ("year-built: 1964", "year-built: 2201", "3:13: '2201' is not a year"),
        ("year-built: 1964", "year-built: about 1964", "3:13: 'about 1964' is not a year"),
        ("  album:", "  Album:", f"29:3: 'Album' {IDS}"),
        ("  album:", "  the_album:", f"29:3: 'the_album' {IDS}"),
        ("  album:", "  -album:", f"29:3: '-album' {IDS}"),
        ("  north:", f"  {'n' * 61}:", "13:3: "),
        (
            "    room: kitchen\n    outer",
            "    room: kitchn\n    outer",
            "15:11: there is no room 'kitchn' in this sheet; did you mean 'kitchen'?",
        ),
        (
            "    room: kitchen\n    height",
            "    room: den\n    height",
            "22:11: there is no room 'den' in this sheet; known: kitchen",
        ),
        (
            "kind: photographs\n    room: kitchen",
            "kind: photographs\n    room: attic",
            "32:11: there is no room 'attic' in this sheet; known: kitchen",
        ),
        ("wet: true", "wet: yes", "24:10: 'wet' should be true or false"),
        ("outer: true", "outer: True", "16:12: 'outer' should be true or false"),
        (
            "loss:\n  source: river\n  category: 3\n  water-in: 2026-03-10 21:30",
            "loss: river",
            "4:7: 'loss' should hold keys and values (key: value)",
        ),
        (
            "crawl-space:\n  flooded: true\n  ground-cover: poly",
            "crawl-space: [flooded]",
            "25:14: 'crawl-space' should hold keys and values (key: value)",
        ),
        (
            SHEET[SHEET.index("contents:") :],
            "contents: [album]",
            "28:11: 'contents' should hold keys and values (key: value)",
        ),
    ],
)
def test_a_fault_is_told_at_its_line_and_column_with_what_was_meant(
    old: str, new: str, fault: str
) -> None:
    (only,) = told(changed(old, new))
    assert only == fault or (fault.endswith(": ") and only.startswith(fault))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("year-built: 1964", "year-built: 1600"),
        ("year-built: 1964", "year-built: 2200"),
        ("2026-03-10 21:30", "2026-03-10"),
        ("2026-03-10 21:30", "2026-03-10T21:30:00-05:00"),
        ("name: Kitchen", "name: K"),
        ("name: Kitchen", f"name: {'x' * 120}"),
        ("  album:", f"  {'a' * 60}:"),
        ("  album:", "  7:"),
        ("waterline: 31 in", "waterline: 2'7\""),
        ("wet: true", "wet: false"),
    ],
)
def test_what_stands_just_inside_the_bounds_is_read(old: str, new: str) -> None:
    house(changed(old, new))


def test_a_house_without_any_room_is_told() -> None:
    (fault,) = told("house: x\nrooms: {}\n")
    assert fault.startswith("2:8: ")


@pytest.mark.parametrize("text", ["", "# nothing yet\n", "just words\n", "- house\n"])
def test_a_sheet_that_holds_no_keys_is_told(text: str) -> None:
    (fault,) = told(text)
    assert fault == "1:1: the file should hold keys and values (key: value), and does not"


MANY = (
    SHEET.replace("time-zone: America/Chicago", "time-zone: Chicago")
    .replace("source: river", "source: rivers")
    .replace("    waterline: 31 in", "    water-line: 31 in")
    .replace("kind: outlet", "kind: plug")
    .replace("wet: true", "wet: maybe")
    .replace("  album:", "  Album:")
)


def test_all_faults_of_a_sheet_are_told_at_once_in_the_order_of_its_lines() -> None:
    assert told(MANY) == [
        f"2:12: 'Chicago' {NO_ZONE}",
        "5:11: 'source' cannot be 'rivers'; did you mean 'river'?",
        "11:5: 'water-line' is not known here; did you mean 'waterline'?",
        f"21:11: 'kind' cannot be 'plug'; known: {', '.join(get_args(PartKind))}",
        "24:10: 'wet' should be true or false",
        f"29:3: 'Album' {IDS}",
    ]


def test_rooms_that_are_not_there_are_all_told_at_once() -> None:
    assert told(SHEET.replace("room: kitchen", "room: kitchn")) == [
        f"{line}:11: there is no room 'kitchn' in this sheet; did you mean 'kitchen'?"
        for line in (15, 22, 32)
    ]


def test_a_room_that_is_not_there_is_told_beside_the_other_faults() -> None:
    text = changed("source: river", "source: rivers").replace("room: kitchen", "room: kitchn", 1)
    assert [fault.partition(": ")[0] for fault in told(text)] == ["5:11", "15:11"]


def test_what_stands_in_a_fault_is_shown_and_never_obeyed() -> None:
    (fault,) = told(changed("kind: outlet", 'kind: "\\e[31m{name}\\u202e"'))
    assert fault.startswith(r"21:11: 'kind' cannot be '\x1b[31m{name}\u202e'")


def test_a_correction_of_a_fact_is_held_to_the_same_shape() -> None:
    path = ("electrical", "sink-outlet", "height")
    corrected, source = house_from(SHEET, "house.yaml", [(path, "50 in")])
    assert corrected.electrical["sink-outlet"].height == "50 in"
    assert source.corrected == {path}
    with pytest.raises(Faulty, match=r"23:13: 'high' is not a number"):
        house_from(SHEET, "house.yaml", [(path, "high")])


def test_a_correction_may_state_what_the_sheet_left_out() -> None:
    found, _ = house_from(
        "house: x\nrooms:\n  a:\n    name: A\n",
        "house.yaml",
        [(("loss", "source"), "river"), (("rooms", "a", "waterline"), "1 m")],
    )
    assert found.loss.source == "river"
    assert found.rooms["a"].waterline == "1 m"


@pytest.mark.parametrize(
    ("said", "fact", "value", "asked"),
    [
        ("{belly-insulation: true}", "belly-insulation", True, ""),
        ("{belly-wet: true}", "belly-wetted", True, ""),
        ("{belly-wet: false}", "belly-wetted", False, ""),
        ("{skirting: true}", "belly-wetted", None, "belly-wet"),
        ("{skirting: true}", "belly-insulation", None, "belly-insulation"),
        ("{skirting: true}", "skirting", True, ""),
        ("none", "belly-wetted", False, ""),
    ],
)
def test_what_hangs_below_a_manufactured_home_is_known_or_asked_for(
    said: str, fact: str, value: bool | None, asked: str
) -> None:
    text = f"house: H\nmanufactured-home: {said}\nrooms: {{den: {{name: Den}}}}\n"
    house, source = house_from(text, "h.yaml")
    (here,) = places(house, source)["house"]
    found = here.facts[fact]
    assert found.value is value
    assert [ask.path[-1] for ask in found.asks] == ([asked] if asked else [])


def test_where_a_value_stands_is_its_line_or_the_job_where_it_was_found_out() -> None:
    found = [(("loss", "source"), "river"), (("rooms", "den", "floor"), "carpet")]
    house, source = house_from("house: H\nrooms:\n  den: {name: Den}\n", "h.yaml", found)
    reader = Reader(house, source)
    for path in (("loss",), ("loss", "source"), ("rooms", "den", "floor")):
        assert reader.at(*path) == say("fact.measured")
    assert reader.at("rooms", "den") == "h.yaml:3"
    assert reader.at("rooms", "den", "width").startswith("h.yaml:")
