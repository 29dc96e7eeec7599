"""rules check, schema and diff: what they print, how they end, and that editors can rely on it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from siltline import resources
from siltline.rules.yamltext import load
from support.command import Shell
from support.wide import HOUSE, NAMES, ONE, TOP, write_wide

SHIPPED = sorted((resources.folder("checklists")).rglob("*.yaml"))


def kind_of(text: str) -> str:
    keys = load(text, "x.yaml").data.keys()
    return next(kind for kind in ("checklist", "phase", "shared", "house") if kind in keys)


def validator(shell: Shell, kind: str) -> Draft202012Validator:
    schema = shell("rules", "schema", kind).json
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_what_ships_fits_the_schema_that_editors_get(path: Path, shell: Shell) -> None:
    text = path.read_text(encoding="utf-8")
    data = json.loads(json.dumps(load(text, path.name).data))
    assert [e.message for e in validator(shell, kind_of(text)).iter_errors(data)] == []


@pytest.mark.parametrize("text", [TOP, NAMES, ONE, HOUSE])
def test_all_that_the_language_can_say_fits_the_schema(text: str, shell: Shell) -> None:
    data = json.loads(json.dumps(load(text, "x.yaml").data))
    assert [e.message for e in validator(shell, kind_of(text)).iter_errors(data)] == []


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("phase", ONE.replace("why: It is foul.", "wy: It is foul.", 1)),
        ("phase", ONE.replace("each: room", "each: attic", 1)),
        ("house", HOUSE.replace("waterline: 31 in", "waterlin: 31 in")),
        ("house", HOUSE.replace("kind: outlet", "kind: plug")),
        ("checklist", TOP.replace("phases:", "phase:")),
        ("shared", NAMES.replace("cautions:", "caution:")),
    ],
)
def test_what_does_not_fit_is_told_by_the_schema_too(kind: str, text: str, shell: Shell) -> None:
    data = json.loads(json.dumps(load(text, "x.yaml").data))
    assert list(validator(shell, kind).iter_errors(data))


def test_check_ends_with_0_where_nothing_is_said_and_with_1_where_something_is(
    shell: Shell, tmp_path: Path
) -> None:
    checklist, _ = write_wide(tmp_path)
    clean = shell("rules", "check", checklist)
    assert (clean.code, clean.out) == (0, "Clean: a checklist (steps: 9, phases: 1).\n")
    phase = checklist / "one.yaml"
    phase.write_text(ONE.replace("Watch the pump.", "Check the pump."), encoding="utf-8")
    advised = shell("rules", "check", checklist)
    assert advised.code == 1
    assert "advice: 'check' without what is seen" in advised.out
    assert advised.out.splitlines()[-2:] == [
        "Clean: a checklist (steps: 9, phases: 1).",
        "1 piece of advice.",
    ]
    told = shell("rules", "check", checklist, "--json").json
    assert (told["clean"], told["faults"], len(told["advice"])) == (True, [], 1)
    phase.write_text(ONE.replace("needs: [pump]", "needs: [pomp]"), encoding="utf-8")
    faulty = shell("rules", "check", checklist / "one.yaml", "--json")
    assert faulty.code == 1
    (fault,) = faulty.json["faults"]
    assert fault["file"] == "one.yaml"
    assert fault["text"] == "there is no step 'pomp'; did you mean 'pump'?"


def test_parts_that_several_checklists_share_lie_in_a_folder_beside_them(
    shell: Shell, tmp_path: Path
) -> None:
    checklist, house = write_wide(tmp_path)
    shared = tmp_path / "shared"
    shared.mkdir()
    for name in ("names.yaml", "one.yaml"):
        (checklist / name).rename(shared / name)
    top = TOP.replace("names.yaml", "../shared/names.yaml").replace(
        "one.yaml", "../shared/one.yaml"
    )
    (checklist / "checklist.yaml").write_text(top, encoding="utf-8")
    assert shell("rules", "check", checklist).out == "Clean: a checklist (steps: 9, phases: 1).\n"
    job = tmp_path / "job.siltline"
    assert shell("begin", house, job, "--checklist", checklist).code == 0
    assert "../shared/one.yaml line" in shell("why", job, "cable/low").out
    assert shell("rules", "check", shared / "names.yaml").out.startswith("Clean: a file of shared")
    assert shell("rules", "check", shared / "one.yaml").out.startswith("Clean: a phase of steps")
    (shared / "names.yaml").unlink()
    assert "checklist.yaml:3:8: there is no file" in shell("rules", "check", checklist).out


@pytest.mark.parametrize(
    "name", ["../../etc/one.yaml", "/one.yaml", "../shared/../one.yaml", "a/b.yaml"]
)
def test_a_checklist_reads_no_file_that_lies_anywhere_else(
    shell: Shell, tmp_path: Path, name: str
) -> None:
    checklist, _ = write_wide(tmp_path)
    (checklist / "checklist.yaml").write_text(TOP.replace("one.yaml", name), encoding="utf-8")
    assert f"there is no file '{name}'" in shell("rules", "check", checklist).out


def test_diff_tells_what_a_changed_checklist_does_to_a_house(shell: Shell, tmp_path: Path) -> None:
    checklist, house = write_wide(tmp_path / "old")
    changed, _ = write_wide(tmp_path / "new")
    same = shell("rules", "diff", checklist, changed, "--house", house)
    assert (same.code, same.out) == (0, "Nothing changes for this house.\n")
    text = ONE.replace("below: 1978", "below: 1950").replace("It was wet.", "It was in the water.")
    text = text.replace("  - step: lead\n    when: {is: old}\n", "  - step: asbestos\n")
    (changed / "one.yaml").write_text(text, encoding="utf-8")
    told = shell("rules", "diff", checklist, changed, "--house", house)
    assert told.code == 1
    assert told.out.splitlines() == [
        "- lead/house: Ask for a lead survey.",
        "+ asbestos/house: Ask for a lead survey.",
        "~ cable/low: why",
        "Comes: 1, goes: 1, reads otherwise: 1.",
    ]
    changes = shell("rules", "diff", checklist, changed, "--house", house, "--json").json["changes"]
    assert {c["step"]: (c["kind"], c["about"]) for c in changes} == {
        "lead/house": ("gone", []),
        "asbestos/house": ("came", []),
        "cable/low": ("changed", ["why"]),
    }


def test_why_names_the_rule_the_line_the_facts_and_what_would_make_the_step_go_away(
    shell: Shell, tmp_path: Path
) -> None:
    checklist, house = write_wide(tmp_path)
    job = tmp_path / "job.siltline"
    shell("begin", house, job, "--checklist", checklist)
    told = shell("why", job, "cable/low").out
    for part in (
        f"rule cable, one.yaml line {ONE.splitlines().index('  - step: cable') + 1}, because:",
        "wetted = yes",
        "DANGER: A live part kills.",
        "test: Test it.",
        "Source: A county (says: test)",
        "The sources differ; a licensed person may decide otherwise: electrician",
        "It goes away if wetted is not yes.",
        "It goes away if the house has no such place: low outlet.",
    ):
        assert part in " ".join(told.split()), part
    assert "NEVER: Do not vacuum it." in shell("why", job, "carpet/den").out
