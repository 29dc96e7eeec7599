"""The template is a house sheet as it stands, and with every example in it taken as it is."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, get_args, get_origin

import pytest

from siltline.job.begin import template
from siltline.rules.files import check, house_from
from siltline.rules.house import House, warnings
from siltline.rules.places import places
from siltline.rules.shapes import Shape
from siltline.rules.sheet.asking import fields_of, is_shape, kind_of, unwrapped
from support.command import Shell

EXAMPLE = re.compile(r"^( *)# ( *[a-z0-9-]+:.*)$", re.MULTILINE)


def filled() -> str:
    return EXAMPLE.sub(r"\1\2", template())


def test_it_is_a_sheet_as_it_stands() -> None:
    house, source = house_from(template(), "t.yaml")
    assert list(house.rooms) == ["kitchen"]
    assert warnings(house, source) == []


def test_it_is_a_sheet_with_every_example_taken() -> None:
    house, source = house_from(filled(), "t.yaml")
    assert warnings(house, source) == []
    missing = [kind for kind, here in places(house, source).items() if not here]
    assert missing == ["basement"]


def blocks() -> list[list[int]]:
    """Return the lines of each example that stands for itself, with all that is nested in it."""
    found: list[list[int]] = []
    for number, line in enumerate(template().splitlines()):
        example = EXAMPLE.match(line)
        if example and example[2].startswith(" "):
            found[-1].append(number)
        elif example:
            found.append([number])
    return found


@pytest.mark.parametrize("block", blocks(), ids=lambda lines: f"line-{lines[0] + 1}")
def test_each_example_may_be_taken_alone(block: list[int]) -> None:
    lines = template().splitlines()
    for number in block:
        lines[number] = EXAMPLE.sub(r"\1\2", lines[number])
    house, source = house_from("\n".join(lines), "t.yaml")
    assert warnings(house, source) == []
    assert house != house_from(template(), "t.yaml")[0] or "none" in lines[block[0]]


def keys(shape: type[Shape]) -> set[str]:
    """Return every key that a sheet may have, at any depth."""
    found: set[str] = set()
    for key, (_, hint) in fields_of(shape).items():
        bare: Any = unwrapped(hint)[0]
        inner = get_args(bare)[1] if get_origin(bare) is dict else bare
        found |= {key} | (keys(inner) if is_shape(inner) else set())
    return found


def test_it_names_every_key_and_every_word_that_a_sheet_may_have() -> None:
    text = template()
    words = set(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)*", text))
    assert keys(House) - words == {"sump-pits", "other-room"} - words
    chosen = {
        word
        for model in (House, *_shapes(House))
        for _, hint in fields_of(model).values()
        if isinstance(kind := kind_of(hint), tuple)
        for word in kind
    }
    assert chosen - words <= {"east", "south", "west", "door", "hatch", "window", "driven", "dug"}


def _shapes(shape: type[Shape]) -> list[type[Shape]]:
    found: list[type[Shape]] = []
    for _, hint in fields_of(shape).values():
        bare: Any = unwrapped(hint)[0]
        inner = get_args(bare)[1] if get_origin(bare) is dict else bare
        if is_shape(inner):
            found += [inner, *_shapes(inner)]
    return found


def test_it_warns_of_what_can_kill_and_says_that_its_examples_are_invented() -> None:
    text = template()
    assert "INVENTED" in text
    assert "proved dead by a licensed electrician" in text
    assert all(len(line) <= 100 for line in text.splitlines())


def test_it_is_printed_or_written_into_a_new_file_and_never_over_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(capsys)
    assert shell("begin", "--template").out == template()
    path = tmp_path / "my house.yaml"
    written = shell("begin", "--template", path)
    assert written.code == 0
    assert "a house sheet to fill in" in written.out
    assert path.read_text(encoding="utf-8") == template()
    assert check(path).advice == ()
    path.write_text("mine", encoding="utf-8")
    again = shell("begin", "--template", path)
    assert again.code == 2
    assert "there already and was left as it is" in again.err
    assert path.read_text(encoding="utf-8") == "mine"
    assert shell("begin", "--template", tmp_path / "no" / "such.yaml").code == 2
    assert [p.name for p in tmp_path.iterdir()] == ["my house.yaml"]


def test_a_job_can_be_begun_on_the_template(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell, path = Shell(capsys), tmp_path / "h.yaml"
    shell("begin", "--template", path)
    begun = shell("begin", path, tmp_path / "job", "--json")
    assert begun.code == 0
    assert begun.json["steps"] > 3
