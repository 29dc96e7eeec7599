"""A job file of each version is kept for ever, and must open, read and go on being worked on."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest
import sqlite_utils

from siltline.job import Job, open_job
from siltline.job.acts import tick, undo
from siltline.job.pictures import describe
from siltline.job.tell import step
from siltline.record.audit import faults

DATA = Path(__file__).parent / "data"
FROZEN = sorted(DATA.glob("job-v*.siltline"))


@pytest.fixture(params=FROZEN, ids=lambda path: path.stem)
def frozen(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    return Path(shutil.copy(request.param, tmp_path))


def expected(path: Path) -> dict[str, object]:
    """Return what was true of a frozen job when it was frozen."""
    found: dict[str, object] = json.loads((DATA / f"{path.stem}.json").read_text(encoding="utf-8"))
    return found


def told(job: Job) -> dict[str, object]:
    return {
        "states": {s: v.state for s, v in job.board.steps.items()},
        "heads": sorted(job.record.heads),
        "photos": [
            {k: v for k, v in photo.items() if k in ("sha256", "name", "stamp", "clock", "steps")}
            for photo in describe(job)
        ],
        "do": {s: step(v)["do"] for s, v in job.board.steps.items()},
    }


def test_there_is_a_frozen_job() -> None:
    assert FROZEN


def test_a_frozen_job_tells_what_it_told(frozen: Path) -> None:
    assert faults(frozen) == []
    job = open_job(frozen)
    found = told(job)
    job.close()
    assert found == expected(frozen)


def test_a_frozen_job_can_be_worked_on(frozen: Path) -> None:
    job = open_job(frozen)
    open_steps = [s for s, v in job.board.steps.items() if v.state == "todo"]
    tick(job, open_steps[0], by="Ada")
    assert job.step(open_steps[0]).state in ("done", "documented")
    undo(job)
    job.close()
    assert faults(frozen) == []


def test_sqlite_alone_tells_the_story(frozen: Path) -> None:
    """Nothing but SQL: who said what, when, and how each step stands."""
    connection = sqlite3.connect(frozen)
    acts = connection.execute("SELECT at, kind, by, step FROM acts").fetchall()
    steps = dict(connection.execute("SELECT step, state FROM steps"))
    photos = connection.execute("SELECT name, sha256, bytes FROM photos").fetchall()
    connection.close()
    assert {kind for _, kind, _, _ in acts} >= {"begun", "laid", "photo", "ticked", "handed-off"}
    assert steps == expected(frozen)["states"]
    assert photos


def test_sqlite_utils_opens_it(frozen: Path) -> None:
    database = sqlite_utils.Database(frozen)
    assert {"event", "photo"} <= set(database.table_names())
    assert list(database.query("SELECT step FROM steps"))
    database.close()
