"""Each command does its act, prints facts on stdout and messages on stderr, and keeps its JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from siltline.cli.root import COMMANDS
from support.command import Shell
from support.pictures import photo

STEP_KEYS = {"id", "phase", "do", "place", "state", "needs", "proof", "why", "cautions", "source"}
PHOTO_KEYS = {
    "sha256", "name", "bytes", "width", "height", "camera", "stamp", "zone", "earliest_utc",
    "latest_utc", "clock", "lat", "lon",
}  # fmt: skip


def test_steps_have_the_keys_that_the_outside_leans_on(shell: Shell, path: Path) -> None:
    steps = shell("steps", path, "--json").json
    assert all(step.keys() >= STEP_KEYS for step in steps)
    outlet = next(s for s in steps if s["id"] == "outlet-replaced/low-outlet")
    assert outlet["needs"] == ["prove-dead/circuit-4"]
    assert outlet["state"] == "blocked"
    assert [p["name"] for p in outlet["proof"]] == ["before", "after", "electrician"]
    assert outlet["cautions"][0]["word"] == "WARNING"
    assert outlet["why"]["file"] == "electrical.yaml"
    wetted = next(f for f in outlet["why"]["facts"] if f["fact"] == "wetted")
    assert wetted["value"] == "yes"
    assert "14 in (36 cm)" in wetted["where"]


def test_the_ending_of_a_job_may_be_left_off(shell: Shell, sheet: Path, tmp_path: Path) -> None:
    assert shell("begin", sheet, tmp_path / "house.of.ada").code == 0
    assert (tmp_path / "house.of.ada.siltline").is_file()
    for command in ("steps", "review", "photos", "verify"):
        assert shell(command, tmp_path / "house.of.ada", "--json").json is not None


def test_steps_can_be_chosen_by_phase_and_state(shell: Shell, path: Path) -> None:
    assert {s["phase"] for s in shell("steps", path, "--phase", "walls", "--json").json} == {
        "walls"
    }
    assert {s["state"] for s in shell("steps", path, "--state", "todo", "--json").json} == {"todo"}
    wrong = shell("steps", path, "--state", "tood")
    assert (wrong.code, wrong.out) == (2, "")
    assert "did you mean 'todo'" in wrong.err


def test_the_text_of_steps_names_phases_states_and_what_they_wait_for(
    shell: Shell, path: Path
) -> None:
    told = shell("steps", path).out
    assert "Make safe" in told
    assert "todo       gear-on/house" in told
    assert "waits for prove-dead/circuit-4" in told
    assert "Prove circuit 4 dead first. Measure the height" in told


def test_why_names_rule_line_facts_and_source(shell: Shell, path: Path) -> None:
    told = " ".join(shell("why", path, "weep-holes-open/north").out.split())
    assert "rule weep-holes-open, ../shared/walls.yaml line" in told
    assert "cladding = brick-veneer (house.yaml:" in told
    assert "R703.8.6" in told
    assert "needs lines-as-found/kitchen (not there yet)" in told


def test_add_tells_what_was_taken_what_was_there_and_what_was_refused(
    shell: Shell, path: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "card"
    photo(folder, "A.JPG", 1)
    photo(folder, "B.JPG", 2)
    assert shell("add", path, folder).code == 0
    photo(folder, "C.JPG", 3)
    (folder / "empty.jpg").touch()
    ran = shell("add", path, folder, "--json")
    assert ran.code == 1
    assert [t["name"] for t in ran.json["taken"]] == ["C.JPG"]
    assert [t["name"] for t in ran.json["already"]] == ["A.JPG", "B.JPG"]
    assert ran.json["refused"] == [{"name": "empty.jpg", "because": "it is empty (0 bytes)"}]
    assert "empty.jpg: not taken in, it is empty" in ran.err


def test_photos_have_the_keys_that_the_outside_leans_on(
    shell: Shell, path: Path, tmp_path: Path
) -> None:
    shell("add", path, photo(tmp_path, stamp="2026:03:12 08:00:00", offset="-05:00"))
    (told,) = shell("photos", path, "--json").json
    assert told.keys() >= PHOTO_KEYS
    assert told["stamp"] == "2026:03:12 08:00:00"
    assert (told["zone"], told["zone_from"]) == ("-05:00", "camera")
    assert told["earliest_utc"] == "2026-03-12T13:00:00Z"
    assert told["latest_utc"] == "2026-03-12T13:00:01Z"
    assert told["camera"] == "Invented T1"
    assert (told["width"], told["height"]) == (32, 24)
    assert (told["lat"], told["lon"], told["clock"]) == (None, None, "unchecked")


def test_the_acts_by_command(shell: Shell, path: Path, tmp_path: Path) -> None:
    image = photo(tmp_path)
    shell("add", path, image)
    assert shell("attach", path, "gear-on/house", image.name, "--json").json["state"] == "todo"
    ticked = shell("tick", path, "gear-on/house", "--by", "Ada", "--note", "n", "--json").json
    assert ticked["state"] == "documented"
    assert ticked["word"]["by"] == "Ada"
    assert shell("untick", path, "gear-on/house", "--json").json["state"] == "todo"
    undone = shell("undo", path, "--json").json
    assert (undone["undone"], undone["step"]) == ("unticked", "gear-on/house")
    assert shell("detach", path, "gear-on/house", image.name, "--json").json["state"] == "done"
    left = shell("leave-out", path, "power-off/house", "--by", "Ada", "--because", "r", "--json")
    assert left.json["state"] == "not-done"


def test_review_handoff_signoff_and_verify(shell: Shell, path: Path) -> None:
    review = shell("review", path, "--json")
    assert review.code == 1
    assert review.json["clear"] is False
    assert {"code", "weight", "step", "text", "remedy"} <= review.json["findings"][0].keys()
    handed = shell("handoff", path, "--from", "Ada", "--to", "Ben", "--json")
    assert handed.code == 0
    assert len(handed.json["open"]) == sum(
        handed.json["states"].get(s, 0) for s in ("todo", "blocked", "measure", "done")
    )
    refused = shell("signoff", path, "--by", "Ada")
    assert refused.code == 1
    assert "must still be fixed" in refused.err
    assert shell("verify", path, "--json").json == {"whole": True, "faults": []}


def test_a_house_with_nothing_left_to_do_is_signed_off(
    shell: Shell, sheet: Path, tmp_path: Path
) -> None:
    path = tmp_path / "small.siltline"
    sheet.write_text(
        "house: Dry house\nfoundation: slab\nloss: {source: river}\nrooms:\n"
        "  den: {name: Den, waterline: 0 in, highest-wet-reading: 0 in}\n",
        encoding="utf-8",
    )
    shell("begin", sheet, path)
    for step in shell("steps", path, "--json").json:
        for number, proof in enumerate(p for p in step["proof"] if p["kind"] == "photo"):
            image = photo(
                tmp_path, f"{step['id'].replace('/', '-')}-{number}.JPG", hash(step["id"]) % 999
            )
            shell("add", path, image)
            shell("attach", path, step["id"], image.name, "--as", proof["name"])
        licence = ["--licence", "X-1"]
        assert shell("tick", path, step["id"], "--by", "Ada", *licence).code == 0
    review = shell("review", path, "--json")
    assert (review.code, review.json["clear"]) == (0, True), review.out
    assert shell("signoff", path, "--by", "Ada").code == 0
    shell("leave-out", path, "gear-on/house", "--by", "Ada", "--because", "changed my mind")
    codes = [f["code"] for f in shell("review", path, "--json").json["findings"]]
    assert "changed-after-signoff" in codes


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(shell: Shell, command: str) -> None:
    ran = shell(command, "--help")
    assert ran.code == 0
    assert "Usage: siltline" in ran.out


def test_json_never_carries_a_raw_control_or_right_to_left_mark(
    shell: Shell, path: Path, tmp_path: Path
) -> None:
    shell("tick", path, "gear-on/house", "--by", "A\u202eb\x1b[31m", "--note", "n\x9b[red]x[/red]")
    told = shell("steps", path, "--json").out
    assert told.isascii()
    assert "\x1b" not in told
    assert json.loads(told)[0]["word"]["by"] == "A\u202eb\x1b[31m"
    plain = shell("why", path, "gear-on/house").out
    assert "A\\u202eb\\x1b[31m" in plain
