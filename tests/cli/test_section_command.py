"""`section` lists what can be drawn, draws it in the size asked for, and prints its facts."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.command import Shell


def test_without_a_place_it_lists_what_can_be_drawn(shell: Shell, path: Path) -> None:
    ran = shell("section", path)
    assert ran.code == 0
    assert [line.split()[0] for line in ran.out.splitlines()] == [
        "walls.north", "rooms.kitchen", "rooms.loft", "crawl-space"
    ]  # fmt: skip
    assert shell("section", path, "--json").json[0] == {
        "place": "walls.north", "kind": "wall", "name": "north wall"
    }  # fmt: skip


def test_it_draws_in_the_size_asked_for(shell: Shell, path: Path) -> None:
    ran = shell("section", path, "north", "--width", 60, "--height", 20, "--ascii")
    lines = ran.out.splitlines()
    assert ran.code == 0
    assert lines[0] == "Section: north wall  wetted * yes"
    assert len(lines) <= 20
    assert max(map(len, lines)) <= 60
    assert ran.out.isascii()
    assert "highest wet reading 38 in (97 cm)" in ran.out


def test_its_json_holds_the_facts_and_the_drawing(shell: Shell, path: Path) -> None:
    facts = shell("section", path, "crawl-space", "--json").json
    assert (facts["kind"], facts["wetted"], facts["floor"]) == ("crawl-space", True, "poly")
    assert facts["drawing"][0].startswith("Section: Crawl space")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["nort"], "did you mean 'north'"),
        (["north", "--width", "39"], "--width"),
        (["north", "--height", "3"], "--height"),
    ],
)
def test_what_cannot_be_drawn_is_2(shell: Shell, path: Path, args: list[str], told: str) -> None:
    ran = shell("section", path, *args)
    assert (ran.code, ran.out) == (2, "")
    assert told in ran.err
