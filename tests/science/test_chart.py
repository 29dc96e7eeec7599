"""The drying chart as text: what it shows, how wide it is, and in plain characters too."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from siltline.science.chart import BLOCKS, PLAIN, chart
from siltline.science.drying import Reading
from siltline.science.forecast import forecast

READINGS = [
    Reading(d, mc) for d, mc in ((0, 26.5), (1, 24), (2, 22), (3, 20.5), (4, 19.5), (6, 17.5))
]
PICTURE = """\
  28%|
     |o
     |:*:
     | :o:
     |   **:
     |    :o*:
     |      :*o*:
     |         :*o::
     |           :****:::
     |              ::*o**::::
     |                 :::*****:::::::
  15%|-------------------------*******--------
     |                         :::::::********
     |                               :::::::::
     |
  11%|........................................
     +----------------------------------------
      0                  7                  14"""


def test_the_plain_chart_as_a_picture() -> None:
    told = forecast(READINGS, 11, 15)
    assert chart(READINGS, 15, 11, told.fit, 14, (46, 18), marks=PLAIN) == PICTURE.splitlines()


def test_without_a_fit_the_readings_the_goal_and_the_end_still_stand() -> None:
    lines = chart(READINGS[:2], 15, 11, size=(40, 14), marks=PLAIN)
    told = "\n".join(lines)
    assert told.count("o") == 2
    assert any(line.startswith("  15%|---") for line in lines)
    assert any(line.startswith("  11%|...") for line in lines)
    assert "*" not in told
    assert "." not in "\n".join(chart(READINGS, 15, size=(40, 14), marks=PLAIN)[:-1])


def test_nothing_to_show_is_no_lines() -> None:
    assert chart([], 15, 11) == []


def test_blocks_and_plain_show_the_same_readings() -> None:
    told = forecast(READINGS, 11, 15)
    blocks = chart(READINGS, 15, 11, told.fit, 14)
    plain = chart(READINGS, 15, 11, told.fit, 14, marks=PLAIN)
    assert "\n".join(plain).isascii()
    for one, other in zip(blocks, plain, strict=True):
        assert [i for i, c in enumerate(one) if c == "\u25cf"] == [
            i for i, c in enumerate(other) if c == "o"
        ]
    assert any(0x2800 < ord(c) <= 0x28FF for line in blocks for c in line)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.floats(-100, 1000), st.floats(1, 200)), min_size=1, max_size=12),
    st.floats(3, 30),
    st.none() | st.floats(2, 30),
    st.integers(1, 200),
    st.integers(1, 60),
    st.booleans(),
)
def test_any_readings_make_a_chart_that_fits(
    readings: list[tuple[float, float]],
    goal: float,
    emc: float | None,
    width: int,
    height: int,
    plain: bool,
) -> None:
    lines = chart(
        [Reading(*one) for one in readings],
        goal,
        emc,
        size=(width, height),
        marks=PLAIN if plain else BLOCKS,
    )
    assert len(lines) == max(6, height - 2) + 2
    assert max(map(len, lines)) <= max(30, width)
    assert sum(line.count("o" if plain else "\u25cf") for line in lines) >= 1
