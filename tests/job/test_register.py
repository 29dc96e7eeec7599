"""People and products of a job: told once, offered where a step asks, taken back, merged."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from siltline.errors import NotNow, WrongUse
from siltline.job import Job, open_job
from siltline.job.acts import undo
from siltline.job.add import add
from siltline.job.belongings import enter
from siltline.job.close_out import review
from siltline.job.laying import sheet_as_it_stands
from siltline.job.merge import merge
from siltline.job.people import (
    add_person,
    add_product,
    licence_for,
    people,
    product_named,
    products,
)
from siltline.job.withholding import withhold
from siltline.record.audit import faults
from support.command import Shell
from support.pictures import photo

HOSTILE = "\x1b]0;owned\x07[red]x[/] \u202e\ud800"


def test_a_person_is_told_once_and_anew_where_something_changed(job: Job) -> None:
    assert add_person(job, "Ben Volt", trade="electrician", licence="E-1", by="Ada")
    before = len(job.record.events)
    assert not add_person(job, " Ben Volt", trade="electrician ", licence="E-1")
    assert len(job.record.events) == before
    assert add_person(job, "ben volt", trade="Electrician", licence="E-2")
    assert [(one.name, one.licence) for one in people(job)] == [("ben volt", "E-2")]
    undo(job)
    assert [(one.name, one.licence) for one in people(job)] == [("Ben Volt", "E-1")]
    undo(job)
    assert people(job) == []
    assert faults(job.record.path) == []


@pytest.mark.parametrize(
    ("asked", "licence"),
    [
        ("electrician", "E-1"),
        ("utility or electrician", "E-1"),
        ("plumber", "P-1"),
        ("electricians", ""),
        ("gas fitter", ""),
        ("", ""),
    ],
)
def test_a_licence_is_that_of_the_trade_that_a_step_asks_for(
    job: Job, asked: str, licence: str
) -> None:
    add_person(job, "Ben Volt", trade="electrician", licence="E-1")
    add_person(job, "Ben Volt", trade="plumber", licence="P-1")
    add_person(job, "Di Wire", trade="electrician", licence="E-9")
    assert licence_for(job, "BEN VOLT ", asked) == licence
    assert licence_for(job, "Nobody", asked) == ""


@pytest.mark.parametrize(("name", "trade"), [("", "electrician"), ("Ben", " "), ("x" * 200, "y")])
def test_a_person_without_a_name_or_a_trade_is_refused(job: Job, name: str, trade: str) -> None:
    with pytest.raises(WrongUse):
        add_person(job, name, trade=trade)
    assert people(job) == []


def test_what_two_laptops_said_of_one_person_stands_side_by_side(job: Job, tmp_path: Path) -> None:
    other = open_job(
        Path(shutil.copy(job.record.path, tmp_path / "other.siltline")), device="b" * 16
    )
    add_person(job, "Ben", trade="electrician", licence="E-1")
    add_person(other, "Ben", trade="electrician", licence="E-2")
    other.close()
    merged, _ = merge([job.record.path, other.record.path], tmp_path / "both.siltline")
    assert {one.licence for one in people(merged)} == {"E-1", "E-2"}
    assert licence_for(merged, "Ben", "electrician") == "", "a person decides"
    add_person(merged, "Ben", trade="electrician", licence="E-2")
    assert licence_for(merged, "Ben", "electrician") == "E-2"
    merged.close()


def test_a_product_keeps_the_number_and_the_photo_of_its_label(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "LABEL.JPG", 1)])
    assert add_product(
        job, "Invented cleaner", registration="EPA Reg. No. 12345-67", photo="LABEL.JPG"
    )
    found = product_named(job, "invented CLEANER")
    assert found is not None
    assert found == product_named(job, "12345-67")
    assert found.photo == next(iter(job.board.ledger.photos))
    for wrong in ({"registration": "x"}, {"registration": "12345-67", "photo": "NO.JPG"}):
        with pytest.raises(WrongUse):
            add_product(job, "Another", **wrong)
    withhold(job, "LABEL.JPG", by="Ada", because="a face")
    with pytest.raises(NotNow):
        add_product(job, "Another", registration="1-1", photo="LABEL.JPG")
    assert len(products(job)) == 1


def test_a_register_changes_no_step_and_no_finding(job: Job) -> None:
    states = {view.step.id: view.state for view in job.board.steps.values()}
    found = review(job)
    add_person(job, "Ben", trade="electrician", licence=HOSTILE)
    add_product(job, HOSTILE, registration="1-1")
    assert {view.step.id: view.state for view in job.board.steps.values()} == states
    assert review(job) == found


def test_two_belongings_of_one_name_get_keys_of_their_own(job: Job, tmp_path: Path) -> None:
    facts = {"kind": "books", "room": "kitchen"}
    assert enter(job, "Box", facts, by="Ada").id == "box"
    assert enter(job, "Box", facts, by="Ada").id == "box-2"
    assert enter(job, HOSTILE, facts, by="Ada").id.startswith("0-owned")
    assert sheet_as_it_stands(job)["contents.box-2.name"] == "Box"
    before = len(job.record.events)
    for name, wrong in (("", facts), ("A", {"kind": "gold"}), ("A", {**facts, "height": "4"})):
        with pytest.raises(WrongUse):
            enter(job, name, wrong, by="Ada")
    with pytest.raises(WrongUse):
        enter(job, "A", facts)
    image = str(photo(tmp_path, "BOX.JPG", 3))
    with pytest.raises(WrongUse):  # nor does its photo come in
        enter(job, "A", {"kind": "gold"}, by="Ada", photo=image)
    with pytest.raises(WrongUse):
        enter(job, "A", facts, by="Ada", photo="NO.JPG")
    assert len(job.record.events) == before


def test_the_same_by_commands(job: Job, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    job.close()
    shell, path = Shell(capsys), job.record.path
    ran = shell("people", path, "--add", "Ben", "--trade", "electrician", "--licence", HOSTILE[:9])
    assert (ran.code, ran.out) == (0, "Ben is in the register.\n")
    assert "\x1b" not in shell("people", path).out
    assert shell("people", path, "--json").json[0]["trade"] == "electrician"
    assert shell("people", path, "--add", "Ben").code == 2
    assert shell("product", path, "--add", "Cleaner", "--registration", "1-1").code == 0
    assert "Cleaner: 1-1" in shell("product", path).out
    assert shell("product", path, "--add", "Cleaner", "--registration", "one").code == 2
    image = photo(tmp_path, "BOX.JPG", 3)
    thing = ("contents", path, "--add", "A box", "--kind", "photographs", "--wet", "yes",
             "--where", "Kitchen")  # fmt: skip
    shown = shell(*thing)
    assert (shown.code, "+ wet-photos-bagged/a-box" in shown.out) == (0, True)
    assert "contents.a-box.kind=photographs" not in shell("contents", path).out
    taken = shell(*thing, "--photo", image, "--by", "Ada", "--take")
    assert "The photo is attached to wet-photos-bagged/a-box." in taken.out
    assert shell("contents", path, "--json").json["contents.a-box.room"] == "kitchen"
    assert "did you mean 'kitchen'" in shell(*thing[:-1], "kitchn").err
    assert shell("undo", path).code == 0
