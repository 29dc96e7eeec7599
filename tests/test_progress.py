"""How far, how fast, how long yet: of a clock that the test owns."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from siltline.progress import ASLEEP_S, WINDOW_S, Pace, lasting


class Hand:
    """A clock that goes on when it is told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_a_line_tells_count_total_rate_and_what_is_left() -> None:
    clock = Hand()
    pace = Pace(clock)
    pace.see("take", 0, 500)
    assert pace.line() == "Taking photos in: 0 of 500"
    clock.now += 10
    pace.see("take", 200, 500)
    assert pace.line() == "Taking photos in: 200 of 500, 20 a second, 15 s left"


def test_work_whose_end_nobody_knows_tells_what_it_has() -> None:
    pace = Pace(Hand())
    pace.see("structure", 0)
    assert pace.line() == "Checking the structure of the file"
    pace.see("look", 41)
    assert pace.line() == "Looking for photos: 41"


def test_the_rate_is_that_of_the_last_seconds() -> None:
    clock = Hand()
    pace = Pace(clock)
    done = 0
    for rate in (100, 2):
        for _ in range(60):
            pace.see("take", done, 10_000)
            clock.now += 1
            done += rate
    assert pace.rate == 2


def test_another_piece_of_work_and_a_night_asleep_begin_a_new_rate() -> None:
    clock = Hand()
    pace = Pace(clock)
    pace.see("take", 0, 10)
    clock.now += 5
    pace.see("take", 5, 10)
    assert pace.rate == 1
    clock.now += 8 * 3600
    pace.see("take", 6, 10)
    assert pace.rate is None
    clock.now += 2
    pace.see("take", 7, 10)
    assert pace.rate == 0.5
    pace.see("sums", 0, 3)
    assert pace.rate is None


def test_lengths_of_time_are_told_as_people_tell_them() -> None:
    told = [lasting(s) for s in (0.2, 59, 60, 200, 3599, 3600, 29_520)]
    assert told == ["1 s", "59 s", "1 min", "3 min", "1 h 0 min", "1 h 0 min", "8 h 12 min"]


@given(st.lists(st.tuples(st.floats(0, 2 * ASLEEP_S), st.integers(0, 50)), max_size=60))
def test_whatever_the_pace_what_is_left_is_no_nonsense(steps: list[tuple[float, int]]) -> None:
    clock = Hand()
    pace = Pace(clock)
    done = 0
    for passed, more in steps:
        clock.now += passed
        done += more
        pace.see("take", done, 3000)
        assert pace.line()
        if pace.rate is not None:
            assert pace.rate > 0
            assert pace.left_s is not None
            assert 0 <= pace.left_s < 1e9
    assert len(pace._marks) < 2 or pace._marks[-1][0] - pace._marks[1][0] <= WINDOW_S
