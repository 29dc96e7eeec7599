"""Was it wetted? Yes, no or not known; what is not known is asked for and never guessed.

The rules are common practice: rising water wets what is not above its highest line, wallboard
draws water above that line (so the highest wet reading decides too), and water from above
leaves no line that could clear anything.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.rules.house import House, Loss, Room
from siltline.rules.sheet.site import RISING
from siltline.rules.water import in_rooms
from siltline.rules.wetted import Thing, Verdict, part, room
from siltline.units import quantity

LINES = ("waterline", "silt-line", "highest-wet-reading")
FROM_ABOVE = ("rain", "supply-pipe", None)  # None: nobody has said where it came from
PATH = ("electrical", "outlet")

Known = dict[str, str]


def a_house(lines: Known, source: str | None = "river") -> House:
    here = Room.model_validate({"name": "Kitchen", **lines})
    loss = Loss.model_validate({"source": source})
    return House(house="H", loss=loss, rooms={"kitchen": here})


def of_part(
    lines: Known, height: str | None = None, wet: bool | None = None, source: str | None = "river"
) -> Verdict:
    water = in_rooms(a_house(lines, source))["kitchen"]
    return part(Thing(PATH, "the outlet", height, wet), water)


def of_room(lines: Known) -> Verdict:
    return room(in_rooms(a_house(lines))["kitchen"])


def asked(verdict: Verdict) -> list[str]:
    return [ask.path[-1] for ask in verdict.asks]


ALL = {"waterline": "31 in", "silt-line": "28 in", "highest-wet-reading": "38 in"}
DRY = {"waterline": "0 in", "highest-wet-reading": "0 in"}


@pytest.mark.parametrize(
    ("lines", "value", "asks"),
    [
        (ALL, True, []),
        ({"waterline": "31 in"}, True, []),
        ({"silt-line": "1 mm"}, True, []),
        ({"highest-wet-reading": "2 ft"}, True, []),
        ({"waterline": "0 in", "highest-wet-reading": "4 in"}, True, []),
        (DRY, False, []),
        ({**DRY, "silt-line": "0 cm"}, False, []),
        ({}, None, ["waterline", "highest-wet-reading"]),
        ({"waterline": "0 in"}, None, ["highest-wet-reading"]),
        ({"highest-wet-reading": "0 in"}, None, ["waterline"]),
        ({"silt-line": "0 in"}, None, ["waterline", "highest-wet-reading"]),
    ],
)
def test_a_room_is_wetted_by_any_line_and_dry_only_when_the_two_that_decide_are_at_nought(
    lines: Known, value: bool | None, asks: list[str]
) -> None:
    verdict = of_room(lines)
    assert verdict.value is value
    assert asked(verdict) == asks


HIGH, LOW, MIDDLE = "44 in", "14 in", "34 in"


@pytest.mark.parametrize(
    ("lines", "height", "value", "asks"),
    [
        (ALL, "14 in", True, []),
        (ALL, "28 in", True, []),  # at the silt line
        (ALL, "31 in", True, []),  # at the waterline
        (ALL, "34 in", True, []),  # above both, but below the highest wet reading
        (ALL, "38 in", True, []),
        (ALL, "38.01 in", False, []),
        (ALL, "44 in", False, []),
        ({"waterline": "31 in", "highest-wet-reading": "38 in"}, "44 in", False, []),
        ({"silt-line": "28 in"}, "20 in", True, []),
        ({"silt-line": "28 in"}, "30 in", None, ["waterline", "highest-wet-reading"]),
        ({"waterline": "31 in"}, "31 in", True, []),
        ({"waterline": "31 in"}, "32 in", None, ["highest-wet-reading"]),
        ({"highest-wet-reading": "38 in"}, "38 in", True, []),
        ({"highest-wet-reading": "38 in"}, "39 in", None, ["waterline"]),
        ({}, "0 in", None, ["waterline", "highest-wet-reading"]),
        ({}, "44 in", None, ["waterline", "highest-wet-reading"]),
        (DRY, "14 in", False, []),
        (DRY, "0 in", False, []),  # on the floor of a room that stayed dry
        ({"waterline": "1 in", "highest-wet-reading": "1 in"}, "0 in", True, []),
        ({"waterline": "0 in"}, "14 in", None, ["highest-wet-reading"]),
        ({"waterline": "86 cm", "highest-wet-reading": "0.9 m"}, "2 ft 10 in", True, []),
        ({"waterline": "86 cm", "highest-wet-reading": "0.9 m"}, "3 ft", False, []),
    ],
)
def test_rising_water_wets_what_is_not_above_every_line(
    lines: Known, height: str, value: bool | None, asks: list[str]
) -> None:
    verdict = of_part(lines, height)
    assert verdict.value is value
    assert asked(verdict) == asks


@pytest.mark.parametrize(
    ("lines", "value", "asks"),
    [
        (ALL, None, ["height"]),
        ({"waterline": "31 in"}, None, ["height", "highest-wet-reading"]),
        ({}, None, ["height", "waterline", "highest-wet-reading"]),
        (DRY, False, []),
    ],
)
def test_a_part_of_unknown_height_is_asked_for_unless_its_room_stayed_dry(
    lines: Known, value: bool | None, asks: list[str]
) -> None:
    verdict = of_part(lines, None)
    assert verdict.value is value
    assert asked(verdict) == asks


@pytest.mark.parametrize("source", FROM_ABOVE)
@pytest.mark.parametrize(
    ("lines", "height", "value", "asks"),
    [
        (ALL, LOW, True, []),
        (ALL, MIDDLE, True, []),
        (ALL, HIGH, None, ["wet"]),
        (DRY, LOW, None, ["wet"]),
        (DRY, None, None, ["wet"]),
        (ALL, None, None, ["wet"]),
        ({"waterline": "31 in"}, HIGH, None, ["highest-wet-reading"]),
    ],
)
def test_water_that_did_not_rise_never_clears_a_part_by_its_height(
    source: str | None, lines: Known, height: str | None, value: bool | None, asks: list[str]
) -> None:
    verdict = of_part(lines, height, source=source)
    assert verdict.value is value
    assert asked(verdict) == asks


@pytest.mark.parametrize("source", [*RISING, *FROM_ABOVE])
@pytest.mark.parametrize("lines", [ALL, DRY, {}])
@pytest.mark.parametrize("height", [LOW, HIGH, None])
@pytest.mark.parametrize("wet", [True, False])
def test_what_somebody_saw_decides_over_every_line(
    source: str | None, lines: Known, height: str | None, wet: bool
) -> None:
    verdict = of_part(lines, height, wet, source)
    assert verdict.value is wet
    assert not verdict.asks
    assert verdict.because == (
        "somebody saw that it was wet" if wet else "somebody saw that it stayed dry"
    )


def test_a_verdict_says_why_in_the_words_that_were_typed() -> None:
    assert of_part(ALL, LOW).because == (
        "its bottom, 14 in (36 cm), is not above the waterline, 31 in (79 cm)"
    )
    assert (
        of_part(ALL, HIGH).because == "its bottom, 44 in (112 cm), is above every line of its room"
    )
    assert of_room(ALL).because == (
        "water reached this room: the highest wet reading is at 38 in (97 cm)"
    )
    assert of_room(DRY).because == "water did not reach this room: its lines are at 0"


def test_what_is_asked_says_where_in_the_sheet_it_belongs() -> None:
    one, other = of_part({"waterline": "31 in"}, None).asks
    assert one.path == (*PATH, "height")
    assert one.words == "the height of the bottom of the outlet above the finished floor"
    assert other.path == ("rooms", "kitchen", "highest-wet-reading")
    assert "Kitchen" in other.words


HEIGHTS = st.integers(0, 60).map(lambda n: f"{n} in")
SOME = st.dictionaries(st.sampled_from(LINES), HEIGHTS)
MAYBE = st.none() | HEIGHTS
SOURCES = st.sampled_from([*RISING, *FROM_ABOVE])


def si(text: str) -> Decimal:
    return quantity(text, "length").si


@given(SOME, MAYBE, SOURCES)
def test_not_knowing_always_asks_and_knowing_never_does(
    lines: Known, height: str | None, source: str | None
) -> None:
    for verdict in (of_part(lines, height, None, source), of_room(lines)):
        assert (verdict.value is None) == bool(verdict.asks)
        assert verdict.because


# The law of more knowledge. A line that is found out later can always wet what was not known,
# and may wet what was cleared only by lying above what was known (a silt line above the two
# lines that decide would contradict them). So: what is wetted stays wetted whatever is added,
# and what is dry stays dry as long as the new line lies no higher than the highest known one.
@given(SOME, MAYBE, SOURCES, st.sampled_from(LINES), HEIGHTS)
def test_more_knowledge_never_dries_what_was_wetted(
    lines: Known, height: str | None, source: str | None, line: str, level: str
) -> None:
    if line in lines:
        return
    more = {**lines, line: level}
    if of_room(lines).value:
        assert of_room(more).value is True
    if of_part(lines, height, None, source).value:
        assert of_part(more, height, None, source).value is True


@given(SOME, MAYBE, st.sampled_from(RISING), st.sampled_from(LINES), HEIGHTS)
def test_a_new_line_below_the_known_ones_never_wets_what_was_dry(
    lines: Known, height: str | None, source: str, line: str, level: str
) -> None:
    if line in lines or si(level) > max(map(si, lines.values()), default=Decimal(0)):
        return
    more = {**lines, line: level}
    if of_room(lines).value is False:
        assert of_room(more).value is False
    if of_part(lines, height, None, source).value is False:
        assert of_part(more, height, None, source).value is False


@given(SOME, SOURCES, HEIGHTS)
def test_a_height_that_is_found_out_never_overturns_what_was_known_without_it(
    lines: Known, source: str | None, height: str
) -> None:
    before = of_part(lines, None, None, source).value
    after = of_part(lines, height, None, source).value
    assert before is None or after is before


@given(SOME, MAYBE, SOURCES, st.sampled_from(LINES), HEIGHTS)
def test_a_line_that_is_raised_never_makes_a_wetted_thing_dry(
    lines: Known, height: str | None, source: str | None, line: str, level: str
) -> None:
    if line not in lines or si(level) < si(lines[line]):
        return
    raised = {**lines, line: level}
    if of_room(lines).value:
        assert of_room(raised).value is True
    if of_part(lines, height, None, source).value:
        assert of_part(raised, height, None, source).value is True


@given(SOME, HEIGHTS, HEIGHTS, SOURCES)
def test_a_part_below_a_wetted_one_is_wetted_too(
    lines: Known, one: str, other: str, source: str | None
) -> None:
    lower, higher = sorted((one, other), key=si)
    if of_part(lines, higher, None, source).value:
        assert of_part(lines, lower, None, source).value is True


@given(SOME, MAYBE)
def test_a_part_is_never_cleared_by_water_from_above(lines: Known, height: str | None) -> None:
    for source in FROM_ABOVE:
        assert of_part(lines, height, None, source).value is not False
