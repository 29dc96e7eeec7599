"""The head line of the desk: whatever it must leave out, it tells which house this is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline import config
from siltline.job import Job
from siltline.job.contact import begin_wet
from siltline.screens import desk
from siltline.screens.app import SiltlineApp
from siltline.screens.headline import Head, fitted
from siltline.text import cells
from support.desk import stand, until
from support.screens import text
from support.wetting import STEP, SetClock, wet_job

HOUSE = "The house at Heron Bend"
FULL = Head(
    HOUSE,
    ("20/103 documented", "3 to put back", "1 photo at no step"),
    ("Mould window: mould can begin now, 18 h 0 min left", "Mould window: 18 h 0 min left"),
)
SIZES = pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=str)


def head(app: Any) -> str:
    return text(app).splitlines()[0].strip()


@pytest.mark.parametrize(
    ("width", "line"),
    [
        (200, f"{FULL.due[0]}   {'   '.join(FULL.counts)}   The house at Heron Bend"),
        (118, f"{FULL.due[1]}   {'   '.join(FULL.counts)}   The house at Heron Bend"),
        (78, "Mould window: 18 h 0 min left  20/103 documented  The house at Heron Bend"),
        (58, "Mould window: 18 h 0 min left  The house at Heron Bend"),
        (40, "The house at Heron Bend"),
        (10, "The house at Heron Bend"),
    ],
)  # fmt: skip
def test_the_deadline_is_shortened_first_and_the_name_never(width: int, line: str) -> None:
    assert fitted(FULL, width) == line


WORDS = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=40)


@given(
    st.builds(
        Head,
        WORDS,
        st.lists(WORDS, max_size=3).map(tuple),
        st.one_of(st.just(()), st.tuples(WORDS, WORDS)),
        st.lists(WORDS, max_size=3).map(tuple),
    ),
    st.integers(0, 200),
)
def test_alarms_and_name_are_always_told_and_the_rest_only_where_it_fits(
    told: Head, width: int
) -> None:
    line = fitted(told, width)
    assert line.endswith(told.house)
    assert all(alarm in line for alarm in told.alarms)
    assert cells(line) <= max(width, cells("  ".join((*told.alarms, told.house))))


@SIZES
async def test_the_name_stands_beside_a_deadline(
    size: tuple[int, int],
    sample: Job,
    on_screen: Callable[..., Any],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(desk, "DUE_AFTER_S", 0.01)
    sample.clock = lambda: datetime(2026, 3, 13, 16, tzinfo=UTC)
    async with on_screen(sample, size) as pilot:
        await stand(pilot)
        await until(pilot, lambda: head(pilot.app).startswith("Mould window: "))
        assert "18 h 0 min left" in head(pilot.app)
        assert head(pilot.app).endswith(HOUSE)
        await pilot.resize_terminal(200, 60)
        await until(pilot, lambda: "mould can begin now" in head(pilot.app))
        await pilot.resize_terminal(*size)
        await until(pilot, lambda: head(pilot.app).endswith(f"left  {HOUSE}") == (size[0] == 60))
        assert head(pilot.app).endswith(HOUSE)


@pytest.fixture
def wet(tmp_path: Path) -> Iterator[Job]:
    job = wet_job(tmp_path, SetClock())
    yield job
    job.close()


@SIZES
async def test_the_name_stands_beside_what_must_stay_wet(
    size: tuple[int, int], wet: Job, on_screen: Callable[..., Any]
) -> None:
    config.remember_person("Ada")
    async with on_screen(wet, size) as pilot:
        await stand(pilot, STEP)
        begin_wet(wet, STEP, by="Ada")
        pilot.app.screen.changed()
        await until(pilot, lambda: "WET sanitise" in head(pilot.app))
        assert wet.board.plan.house in head(pilot.app)


async def test_a_practice_job_is_marked_once(new_job: Callable[..., Job]) -> None:
    from support.house import HOUSE as SHEET  # noqa: PLC0415 - its house is another

    mark = "PRACTICE, not a real job: "
    job = new_job(SHEET.replace("house: Test house", f"house: '{mark}Test house'"))
    assert job.is_practice
    async with SiltlineApp(job).run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert head(pilot.app).startswith("PRACTICE   ")
        assert head(pilot.app).count("PRACTICE") == 1
        assert head(pilot.app).endswith("   Test house")
