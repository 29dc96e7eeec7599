"""The README and DEVELOPERS.md stay true: commands, states, kinds of events, the picture."""

from __future__ import annotations

import importlib.util
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest

from siltline.cli.root import COMMANDS
from siltline.judge.board import STATES
from siltline.judge.ledger import _FOLDS
from siltline.rules.house import House
from siltline.rules.shapes import Shape
from siltline.rules.sheet.asking import fields_of
from siltline.tour import JOB_NAME, lay_out

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_in_the_readme(command: str) -> None:
    assert f"| `{command} " in README


@pytest.mark.parametrize("state", STATES)
def test_every_state_is_in_the_readme(state: str) -> None:
    assert f"| `{state}` |" in README


@pytest.mark.parametrize("kind", [*_FOLDS, "begun", "undone"])
def test_every_kind_of_event_is_described_for_those_who_read_the_file(kind: str) -> None:
    assert f"| `{kind}` |" in DEVELOPERS


@pytest.mark.parametrize(
    "package", sorted(p.parent.name for p in (ROOT / "tui").glob("siltline/*/__init__.py"))
)
def test_every_package_is_in_the_house_of_code(package: str) -> None:
    assert f"`{package}/`" in DEVELOPERS


def sheet_keys(shape: type[Shape]) -> set[str]:
    """Return every key that a house sheet may have, at any depth."""
    found: set[str] = set()
    for key, (_, hint) in fields_of(shape).items():
        inner = next(iter(shapes_in(hint)), None)
        found |= {key} | (sheet_keys(inner) if inner else set())
    return found


def shapes_in(hint: Any) -> Iterator[type[Shape]]:
    if isinstance(hint, type) and issubclass(hint, Shape):
        yield hint
    for inner in get_args(hint):
        yield from shapes_in(inner)


@pytest.mark.parametrize("key", sorted(sheet_keys(House)))
def test_every_key_of_the_house_sheet_is_in_the_readme(key: str) -> None:
    table = README.partition("## The house sheet")[2].partition("\n## ")[0]
    assert f"`{key}`" in table


def test_the_hazards_and_who_decides_stand_in_the_readme() -> None:
    for word in ("electricity", "carbon", "mould", "sewage", "chemicals", "lead", "asbestos"):
        assert word in README
    assert "Local codes, product labels and licensed people" in README


async def test_the_picture_in_the_readme_is_what_the_screen_shows(tmp_path: Path) -> None:
    where = ROOT / "tests" / "screens" / "draw_readme_picture.py"
    spec = importlib.util.spec_from_file_location("draw_readme_picture", where)
    assert spec is not None
    assert spec.loader is not None
    drawing = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(drawing)
    list(lay_out(tmp_path / "tour"))
    job = Path(shutil.copy(tmp_path / "tour" / JOB_NAME, tmp_path))
    assert drawing.PICTURE.read_text(encoding="utf-8") == await drawing.draw(job)
