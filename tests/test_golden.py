"""The golden job: one day done by commands and done by keys ends in the same job.

The states are compared in four places: JSON, the screen, the SQL view, the claim folder.
"""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
import subprocess
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input, OptionList

from siltline import resources
from siltline.cli.exits import run
from siltline.cli.root import root
from siltline.job import open_job
from siltline.job.acts import find_photo
from siltline.job.replay import Act, Day, read_day
from siltline.judge.board import STATES
from siltline.screens import app as app_module
from siltline.screens.app import SiltlineApp
from siltline.screens.words import MARKS
from support.desk import Hands
from support.screens import text

SAMPLE = resources.folder("sample_job")
Call = Callable[..., Any]


@pytest.fixture
def day() -> Day:
    return read_day(SAMPLE / "day.yaml")


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Call:
    """Run a command; return what it printed, as JSON where it is asked for."""

    def calling(*args: object, code: int | None = 0) -> Any:
        capsys.readouterr()
        found = run(root, [str(arg) for arg in args])
        told = capsys.readouterr()
        assert code is None or found == code, told.err
        return json.loads(told.out) if "--json" in args else told.out

    return calling


def by_command(call: Call, job: Path, act: Act) -> None:
    """Do one act of the day as a command."""
    licence = ["--licence", act.licence] if act.licence else []
    values = [word for value in act.values for word in ("--value", value)]
    role = ["--as", act.as_] if act.as_ else []
    way = ["--way", act.way] if act.way else []
    words: dict[str, list[str]] = {
        "add": [str(SAMPLE / "photos" / name) for name in act.photos],
        "attach": [act.step, act.photo, *role],
        "detach": [act.step, act.photo],
        "tick": [act.step, "--by", act.by or "", *licence, *values, *way, "--note", act.note],
        "untick": [act.step],
        "leave-out": [act.step, "--by", act.by or "", "--because", act.because],
        "undo": [],
    }
    call(act.act, job, *words[act.act])


async def by_keys(hands: Hands, act: Act, folder: Path) -> None:
    """Do one act of the day on the screen."""
    if act.act == "add":
        for name in act.photos:
            shutil.copy(SAMPLE / "photos" / name, folder)
        await hands.press("f")
        await hands.fill({"path": str(folder)})
        await hands.settle()
        return
    if act.act == "undo":
        await hands.press("u")
        return
    await hands.go_to(act.step)
    if act.act == "untick":
        await hands.press("w")
    elif act.act == "attach":
        view = hands.app.screen.in_hand
        missing = [h.proof.name for h in view.missing if h.proof.kind == "photo"]
        await hands.press("a")
        await hands.pick(find_photo(hands.app.job, act.photo), act.as_ or missing[0])
    elif act.act == "leave-out":
        await hands.press("x")
        await hands.fill({"by": act.by or "", "because": act.because})
    else:
        await tick_by_keys(hands, act)


async def tick_by_keys(hands: Hands, act: Act) -> None:
    hands.app.screen.person = ""  # so that the form always asks, as for a new person
    await hands.press("enter")
    await hands.settle_form()
    keys = [str(field.id).removeprefix("field-") for field in hands.app.screen.query(Input)]
    values = dict(zip([k for k in keys if k.startswith("value")], act.values, strict=False))
    typed = {"by": act.by or "", "note": act.note, "licence": act.licence, "way": act.way, **values}
    await hands.fill({key: typed[key] for key in keys if key in typed})


def json_states(call: Call, job: Path) -> dict[str, str]:
    return {step["id"]: step["state"] for step in call("steps", job, "--json")}


def sql_states(job: Path) -> dict[str, str]:
    connection = sqlite3.connect(job)  # plain, as anybody would
    try:
        return dict(connection.execute("SELECT step, state FROM steps"))
    finally:
        connection.close()


def claim_states(folder: Path) -> dict[str, str]:
    with (folder / "steps.csv").open(encoding="utf-8-sig", newline="") as file:
        return {row["step"]: row["state"] for row in csv.DictReader(file)}


def screen_states(app: SiltlineApp) -> dict[str, str]:
    """Read the states off the marks of the list, as a person does."""
    by_mark = {mark: state for state, mark in MARKS.items()}
    rows = app.screen.query_one("#steps", OptionList)
    return {str(option.id): by_mark[str(option.prompt)[:3]] for option in rows.options if option.id}


async def test_the_same_day_by_commands_and_by_keys_is_the_same_job(
    day: Day, call: Call, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app_module, "BOUNCE_S", 0.0)  # these hands are quick and mean each Enter
    commanded, keyed = tmp_path / "commands.siltline", tmp_path / "keys.siltline"
    call("begin", SAMPLE / "house.yaml", commanded)
    call("begin", SAMPLE / "house.yaml", keyed)

    for act in day.acts:
        by_command(call, commanded, act)
    call("handoff", commanded, "--from", day.handoff.from_, "--to", day.handoff.to)
    call("claim", commanded, tmp_path / "claim")

    card = tmp_path / "card"
    card.mkdir()
    job = open_job(keyed)
    app = SiltlineApp(job)
    async with app.run_test(size=(120, 40)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        for act in day.acts:
            await by_keys(hands, act, card)
        await hands.press("h")
        await hands.fill({"giver": day.handoff.from_, "taker": day.handoff.to})
        await hands.settle()
        assert "Record number" in text(app)
        await hands.press("enter")
        on_screen = screen_states(app)
    job.close()

    wanted = json_states(call, commanded)
    assert on_screen == wanted
    assert json_states(call, keyed) == wanted
    assert sql_states(commanded) == wanted
    assert sql_states(keyed) == wanted
    assert claim_states(tmp_path / "claim") == wanted
    assert set(wanted.values()) == set(STATES), "every state that can be reached occurs"

    one, other = words(commanded), words(keyed)
    assert one == other
    assert call("verify", commanded, "--json") == {"whole": True, "faults": []}
    assert call("verify", keyed, "--json") == {"whole": True, "faults": []}


def words(path: Path) -> Counter[str]:
    """Return everything that was said in a job, without who pressed the key and when."""
    job = open_job(path)
    try:
        kinds = {"ticked", "left-out", "attached", "measured", "unticked", "handed-off", "photo"}
        return Counter(
            json.dumps([e.kind, e.by if e.kind in ("ticked", "left-out") else "", dict(e.body)])
            for e in job.record.events
            if e.kind in kinds
        )
    finally:
        job.close()


def test_the_claim_holds_the_originals_byte_for_byte(call: Call, tmp_path: Path) -> None:
    call("tour", "--into", tmp_path / "tour")
    claim = tmp_path / "tour" / "claim"
    checked = subprocess.run(
        ["sha256sum", "-c", "--strict", "sha256sums.txt"],
        cwd=claim,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr
    originals = {path.read_bytes() for path in (claim / "originals").iterdir()}
    assert originals == {path.read_bytes() for path in (SAMPLE / "photos").iterdir()}
