"""A section is drawn to scale, in the size asked for, and says what the rules say.

Held against things outside the drawing: the width of a line by the Unicode tables of `rich`,
heights by the numbers that the drawing itself prints at its side, verdicts by the facts that
checklists are laid with.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from functools import cache
from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from siltline.rules.files import house_from
from siltline.rules.layers import LAYERS as MADE_OF
from siltline.rules.places import places
from siltline.rules.reading import Reader
from siltline.rules.section.drawing import LOWEST, NARROWEST, draw
from siltline.rules.section.gathering import drawables, gather
from siltline.rules.section.glyphs import GLYPHS, HATCHES
from siltline.rules.section.placing import slots, spread
from siltline.rules.section.scale import scale_for
from siltline.rules.section.shape import Cable, Layer, Line, Opening, Part, Point, Section
from siltline.rules.section.telling import keys
from siltline.text import HIDDEN_CATEGORIES
from siltline.units import Quantity, quantity
from support.house import HOUSE, WHOLE
from support.sections import BARE, HOSTILE

KINDS = ("waterline", "silt-line", "highest-wet-reading")
NAMES = st.text(st.characters(), min_size=1, max_size=40)
WETTED = st.sampled_from([True, False, None])
RUNS = st.sampled_from([None, "floor", "wall", "ceiling", "attic", "crawl-space", "basement"])


def typed(unit: str, low: int, high: int) -> st.SearchStrategy[Quantity]:
    return st.integers(low, high).map(lambda n: quantity(f"{n} {unit}"))


# The bounds of a height in the house sheet: 6 m below the floor to 12 m above it.
HEIGHTS = st.none() | typed("in", -236, 472) | typed("cm", -600, 1200)
MATERIALS = st.sampled_from([None, "brick-veneer", "stud", "wallboard", "fibreglass", "osb"])
CABLES = st.none() | st.builds(Cable, RUNS, HEIGHTS, WETTED)
LAYERS = ("cladding", "sheathing", "structure", "insulation", "finish")


@st.composite
def sections(draw_: st.DrawFn) -> Section:
    kind = draw_(st.sampled_from(["wall", "room", "crawl-space", "basement"]))
    names = LAYERS if kind == "wall" else ()
    layers = [Layer(name, draw_(MATERIALS), draw_(WETTED), draw_(HEIGHTS)) for name in names]
    lines = [Line(one, draw_(HEIGHTS), draw_(st.just("") | NAMES)) for one in KINDS]
    return Section(
        place="x",
        kind=kind,
        name=draw_(NAMES),
        wetted=draw_(WETTED),
        before=draw_(NAMES),
        outer=draw_(WETTED),
        top=draw_(st.none() | typed("ft", 1, 30)),
        floor=draw_(st.none() | NAMES),
        layers=tuple(layers),
        lines=tuple(lines),
        parts=tuple(draw_(st.lists(st.builds(Part, NAMES, HEIGHTS, WETTED, CABLES), max_size=40))),
        points=tuple(draw_(st.lists(st.builds(Point, NAMES, HEIGHTS, NAMES), max_size=8))),
        openings=tuple(draw_(st.lists(st.builds(
            Opening, NAMES, st.none() | NAMES, st.none() | NAMES, WETTED), max_size=3))),
        stated={"sewage": draw_(WETTED)},
    )  # fmt: skip


@given(sections(), st.integers(1, 200), st.none() | st.integers(1, 90), st.booleans())
def test_a_section_is_never_wider_or_taller_than_asked_and_holds_nothing_that_obeys(
    section: Section, width: int, height: int | None, ascii_only: bool
) -> None:
    lines = draw(section, width, height, ascii_only=ascii_only)
    assert lines
    assert height is None or len(lines) <= height
    assert [line for line in lines if cell_len(line) > width] == []
    assert all(unicodedata.category(c) not in HIDDEN_CATEGORIES for line in lines for c in line)
    if ascii_only:
        assert all(line.isascii() for line in lines)


@given(sections())
def test_what_scrolls_keeps_every_line(section: Section) -> None:
    assert len(draw(section, 60, 20, whole=True)) >= len(draw(section, 60, 20))
    assert not any("more line" in line for line in draw(section, 60, 20, whole=True))


@pytest.mark.parametrize(("width", "height"), [(NARROWEST - 1, 40), (80, LOWEST - 1)])
def test_a_window_too_small_gets_a_sentence(width: int, height: int) -> None:
    (told,) = draw(Section("x", "room", "Den", None), width, height)
    assert told.startswith("A section needs 40 columns and 12")


@given(st.lists(typed("in", -236, 472) | typed("cm", -600, 1200)), st.integers(3, 80))
def test_a_height_lies_within_half_a_row_of_where_the_scale_says(
    heights: list[Quantity], rows: int
) -> None:
    scale = scale_for(heights, rows)
    assert scale.rows <= rows
    for height in (*heights, quantity("0 in")):
        row = scale.row(height.si)
        assert 0 <= row < scale.rows
        assert abs(scale.height(row) - height.si) <= scale.step / 2


def by_the_numbers(lines: list[str], column: int) -> dict[int, Decimal]:
    """Return row -> height of every row, by two numbers that the scale prints."""
    numbers = [(row, found[column]) for row, line in enumerate(lines)
               if len(found := re.findall(r"-?\d+", line[:9])) == 2]  # fmt: skip
    (one, first), (other, last) = numbers[0], numbers[-1]
    step = (Decimal(first) - Decimal(last)) / (other - one)
    return {row: Decimal(first) + (one - row) * step for row in range(len(lines))}


@given(
    st.sampled_from([("in", 0, 144), ("cm", 1, 366)]).flatmap(
        lambda one: st.tuples(
            st.just(one), st.lists(st.integers(1, one[2]), min_size=1, max_size=6)
        )
    ),
    st.integers(24, 50),
)
def test_a_mark_stands_where_the_numbers_at_the_side_say(
    asked: tuple[tuple[str, int, int], list[int]], rows: int
) -> None:
    (unit, column, _), heights = asked
    parts = tuple(Part("p", quantity(f"{n} {unit}"), True) for n in heights)
    lines = draw(Section("x", "room", "Den", True, parts=parts), 120, rows)
    scale = by_the_numbers(lines, column)
    step = scale[2] - scale[3]
    for key, height in zip("abcdef", sorted(heights, reverse=True), strict=False):
        # left of the labels, which stand from column 36 on
        marks = [row for row, line in enumerate(lines) if f"\u25cf{key}" in line[:36]]
        assert [abs(scale[row] - height) <= step / 2 for row in marks] == [True]


@given(st.integers(1, 144), st.integers(24, 50), st.sampled_from(["room", "wall", "crawl-space"]))
def test_a_line_stands_where_the_numbers_at_the_side_say(inches: int, rows: int, kind: str) -> None:
    lines = (Line("waterline", quantity(f"{inches} in")),)
    drawn = draw(Section("x", kind, "Den", True, lines=lines), 120, rows)
    scale = by_the_numbers(drawn, 0)
    found = [row for row, line in enumerate(drawn) if "\u2248" * 12 in line]
    assert [abs(scale[row] - inches) <= (scale[3] - scale[4]) / 2 for row in found] == [True]


@given(st.lists(st.integers(0, 400), max_size=30), st.integers(60, 160))
def test_every_known_height_is_told_the_highest_first(inches: list[int], width: int) -> None:
    parts = tuple(Part(f"part{n}.", quantity(f"{at} in"), None) for n, at in enumerate(inches))
    lines = draw(Section("x", "room", "Den", None, parts=parts), width)
    told = [int(found[1]) for line in lines if (found := re.search(r"if wetted (\d+) in", line))]
    assert told == sorted(inches, reverse=True)


@given(st.lists(st.integers(0, 39), max_size=40).map(sorted))
def test_no_label_lies_on_another_and_their_order_stays(wanted: list[int]) -> None:
    found = spread(wanted, 40)
    assert len(set(found)) == len(wanted)
    assert found == sorted(found)
    assert all(0 <= row < 40 for row in found)


@given(st.lists(st.integers(0, 5), max_size=30), st.integers(0, 6))
def test_no_mark_lies_on_another(rows: list[int], count: int) -> None:
    placed = [(row, slot) for row, slot in zip(rows, slots(rows, count), strict=True)
              if slot is not None]  # fmt: skip
    assert len(set(placed)) == len(placed)
    for row in set(rows):
        assert sum(there == row for there, _ in placed) == min(rows.count(row), count)


@cache
def reader(text: str) -> Reader:
    return Reader(*house_from(text, "house.yaml"))


@pytest.mark.parametrize("text", [HOUSE, WHOLE, BARE, HOSTILE])
def test_the_verdicts_are_those_that_steps_are_laid_with(text: str) -> None:
    read = reader(text)
    facts = places(read.house, read.source)
    by_name = {(kind, p.name): p for kind in facts for p in facts[kind]}
    for one in drawables(read):
        section = gather(read, one.path)
        if one.kind in ("wall", "room"):
            place = next(p for p in facts[one.kind] if ".".join(p.path) == one.path)
            assert section.wetted is place.facts["wetted"].value
            for layer in section.layers:
                assert layer.wetted is place.facts[f"{layer.name}-wetted"].value
        parts = [p for p in section.parts if p.cable]
        if text != HOSTILE:  # its parts have one name
            for part in parts:
                place = by_name["electrical-part", part.name]
                assert part.wetted is place.facts["wetted"].value
                assert part.cable is not None
                assert part.cable.wetted is place.facts["cable-wetted"].value


def test_a_line_at_the_floor_is_told_and_not_drawn() -> None:
    drawn = "\n".join(draw(gather(reader(HOUSE), "rooms.loft"), 80))
    assert "waterline 0 in" in drawn
    assert "\u2248\u2248\u2248" not in drawn


def test_points_where_something_is_measured_stand_at_their_height() -> None:
    section = gather(reader(HOUSE), "walls.north")
    points = (Point("stud bay 2", quantity("12 in"), "19 %"), Point("sill", None))
    drawn = "\n".join(draw(section.with_points(points), 100))
    assert "\u25a0e 12 in (30 cm) 19 % stud bay 2" in drawn
    assert "\u25a0g sill" in drawn[drawn.index("Height not known:") :]


def test_what_is_drawn_stands_in_the_code_pages_of_old_consoles_and_in_ascii() -> None:
    """Code pages 437 and 1252 as Python's codecs have them."""
    for drawn, plain in (*GLYPHS.values(), *HATCHES.values()):
        assert plain.isascii()
        assert len(plain) == len(drawn) == cell_len(drawn) == 1
        known = drawn.encode("cp437", "ignore") or drawn.encode("cp1252", "ignore")
        assert known or drawn in "\u25cf\u25cb"


class Drawing(SingleFileSnapshotExtension):
    """Keeps each drawing as a text file of its own."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


HOUSES = {"whole": WHOLE, "bare": BARE, "hostile": HOSTILE}


@pytest.mark.parametrize(
    ("house", "path", "width", "height", "ascii_only"),
    [
        ("whole", "walls.north", 80, 24, False),
        ("whole", "walls.north", 100, 40, False),
        ("whole", "walls.north", 44, 18, False),
        ("whole", "walls.north", 80, 24, True),
        ("whole", "rooms.kitchen", 60, 20, False),
        ("whole", "crawl-space", 80, 24, False),
        ("whole", "crawl-space", 44, 18, True),
        ("whole", "basement", 60, 20, False),
        ("bare", "walls.back", 60, 20, False),
        ("bare", "crawl-space", 60, 20, False),
        ("hostile", "walls.back", 60, 20, False),
        ("hostile", "walls.back", 80, 24, True),
        ("hostile", "crawl-space", 80, 24, False),
    ],
)
def test_a_section_looks_as_kept(
    house: str, path: str, width: int, height: int, ascii_only: bool, snapshot: SnapshotAssertion
) -> None:
    lines = draw(gather(reader(HOUSES[house]), path), width, height, ascii_only=ascii_only)
    assert "\n".join(lines) + "\n" == snapshot.use_extension(Drawing)


def test_a_section_of_many_things_goes_on_with_keys_of_two_letters() -> None:
    found = list(islice(keys(), 26 + 26 * 26 + 1))
    assert found[:2] == ["a", "b"]
    assert found[25:28] == ["z", "aa", "ab"]
    assert found[-1] == "aaa"
    assert len(set(found)) == len(found)


def test_every_material_of_a_layer_has_its_hatch() -> None:
    materials = {one for made_of in MADE_OF.values() for one in made_of} - {"none"}
    assert materials - HATCHES.keys() <= {"other"}
    assert HATCHES.keys() <= materials


@pytest.mark.parametrize(("feet", "per_row"), [(39, 240), (60, 480), (130, 960)])
def test_beyond_the_last_nice_step_each_step_is_twice_the_one_before(
    feet: int, per_row: int
) -> None:
    """Three rows: 0, and two above it; the last nice step is 120 in."""
    assert scale_for([quantity(f"{feet} ft")], 3).per_row == per_row


def _drawn_cable(runs: str, lowest: str) -> list[str]:
    """Return the rows of a wall on which a cable stands, or its end, from the top."""
    cable = Cable(runs, quantity(lowest), True)
    part = Part("outlet", quantity("40 in"), True, cable)
    section = Section("x", "wall", "wall", True, outer=True, parts=(part,))
    lines = draw(section, 100, 30)
    (top,) = [n for n, line in enumerate(lines) if "\u25cfa" in line and "\u2524" in line]
    column = lines[top].index("\u25cf")
    return [line[column] for line in lines[top + 1 :] if len(line) > column]


def test_a_cable_in_the_wall_is_drawn_to_its_lowest_height_and_ends_there() -> None:
    found = _drawn_cable("wall", "8 in")
    end = found.index("\u2534")
    assert end > 1
    assert set(found[:end]) == {"\u2502"}


def test_a_cable_that_goes_down_has_no_end_at_its_lowest_height() -> None:
    assert "\u2534" not in _drawn_cable("floor", "8 in")


def test_a_wall_of_unknown_height_is_not_cut() -> None:
    line = Line("waterline", quantity("12 in"), "")
    assert not Section("x", "wall", "wall", True, lines=(line,)).cut
