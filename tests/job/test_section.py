"""The section of a job shows what was found out since, and each step has its place."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.errors import WrongUse
from siltline.job import Job
from siltline.job.laying import correct
from siltline.job.section import drawable, measured, place_of_step, reader_of, section_at, told
from support.crawl import crawl_job, read_on
from support.house import WHOLE


def test_a_section_shows_a_fact_that_was_corrected(job: Job) -> None:
    before = section_at(reader_of(job), "kitchen")
    hidden = next(part for part in before.parts if part.name == "outlet behind the range")
    assert (hidden.height, hidden.wetted) == (None, None)
    correct(job, ["electrical.hidden-outlet.height=12 in"], by="Ada", take=True)
    after = section_at(reader_of(job), "kitchen")
    found = next(part for part in after.parts if part.name == "outlet behind the range")
    assert found.height is not None
    assert (found.height.text, found.wetted) == ("12 in", True)


@pytest.mark.parametrize(
    ("step", "place"),
    [
        ("weep-holes-open/north", "walls.north"),
        ("room-as-found/kitchen", "rooms.kitchen"),
        ("outlet-replaced/low-outlet", "rooms.kitchen"),
        ("prove-dead/circuit-4", "rooms.kitchen"),
        ("wet-photos-bagged/album", "rooms.kitchen"),
        ("poly-out/crawl-space", "crawl-space"),
        ("gear-on/house", "walls.north"),  # of no place: the first there is
    ],
)
def test_each_step_has_the_place_that_shows_it(job: Job, step: str, place: str) -> None:
    assert place_of_step(job, reader_of(job), step) == place


def test_a_step_that_is_not_there_is_refused(job: Job) -> None:
    with pytest.raises(WrongUse, match="gear-on/hous"):
        place_of_step(job, reader_of(job), "gear-on/hous")


def test_a_place_is_named_by_its_id_or_its_path(new_job: Callable[..., Job]) -> None:
    reader = reader_of(new_job(WHOLE))
    for one in drawable(reader):
        assert section_at(reader, one.path).place == one.path
    assert section_at(reader, "north").place == "walls.north"
    assert section_at(reader, "basement").kind == "basement"
    with pytest.raises(WrongUse, match="did you mean 'kitchen'"):
        section_at(reader, "kitchn")


def test_two_places_of_one_id_are_told_apart(new_job: Callable[..., Job]) -> None:
    house = WHOLE.replace("  north:\n    name: north wall", "  loft:\n    name: north wall")
    reader = reader_of(new_job(house))
    with pytest.raises(WrongUse, match=r"name one of walls\.loft, rooms\.loft"):
        section_at(reader, "loft")
    assert section_at(reader, "rooms.loft").kind == "room"


def test_a_section_tells_scripts_what_it_shows(new_job: Callable[..., Job]) -> None:
    facts = told(section_at(reader_of(new_job(WHOLE)), "north"))
    assert json.loads(json.dumps(facts)) == facts
    outlet = next(part for part in facts["parts"] if part["name"] == "outlet by the sink")
    assert (outlet["height"], outlet["metres"], outlet["wetted"]) == ("14 in", "0.3556", True)
    assert outlet["cable"]["lowest"] == {"height": "12 in", "metres": "0.3048"}
    hidden = next(part for part in facts["parts"] if part["name"] == "outlet behind the range")
    assert (hidden["height"], hidden["metres"], hidden["wetted"]) == (None, None, None)
    assert [layer["name"] for layer in facts["layers"]] == [
        "cladding", "sheathing", "structure", "insulation", "finish"
    ]  # fmt: skip


def test_unaffected_wood_is_in_no_section(tmp_path: Path) -> None:
    job, clock = crawl_job(tmp_path)
    next(read_on(job, clock))
    section = section_at(reader_of(job), "crawl-space", measured(job))
    assert [one.label for one in section.points] == ["J1", "J2", "J3"]
