"""Forms read forgivingly, say what they read, fill in what is known, and never forget a word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from siltline import config
from siltline.job import Job
from siltline.job.add import add
from siltline.job.drafts import draft_of
from siltline.job.laying import sheet_as_it_stands
from siltline.job.people import add_person, add_product
from siltline.screens.app import SiltlineApp
from siltline.screens.field import Field
from siltline.screens.forms import Form
from siltline.text import visible
from support.desk import Hands, stand, until
from support.pictures import photo
from support.screens import text

HOSTILE = "\x1b]0;owned\x07[@click=app.quit]x[/] [/oops] \u202e"


def values(app: Any) -> dict[str, str]:
    return {str(f.id).removeprefix("field-"): f.value for f in app.screen.query(Input)}


async def type_into(hands: Hands, key: str, typed: str) -> None:
    field = hands.app.screen.query_one(f"#field-{key}", Input)
    field.focus()
    field.value = typed
    await hands.pilot.pause()


async def test_a_step_that_waits_is_told_to_wait_whatever_it_would_ask(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "outlet-replaced/hidden-outlet")
        await hands.press("enter")
        await hands.settle()
        assert "Not yet" in text(pilot.app)


async def test_what_is_read_stands_beside_what_is_typed(metered: Job) -> None:
    job = metered
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(size=(100, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "low/album")
        await hands.press("enter")
        await hands.settle_form()
        await type_into(hands, "value0", "2'10")
        assert "= 34 in = 86.4 cm" in text(pilot.app)
        await type_into(hands, "value0", "34")
        await hands.press("enter")
        assert "is not a number with its unit" in text(pilot.app)
        assert pilot.app.focused.id == "field-value0"  # type: ignore[union-attr]
        await type_into(hands, "value0", "2'10")
        await hands.press("ctrl+s")
        await hands.settle()
    measured = next(e for e in job.record.events if e.kind == "measured")
    assert measured.body["value"] == "2'10"


@pytest.mark.parametrize(
    ("key", "typed", "wrong", "told"),
    [
        ("h", {"giver": "Ada", "taker": " ada "}, "taker", "both names are the same"),
        ("k", {"name": "Sudsless", "registration": "soap"}, "registration", "soap"),
        (
            "k",
            {"name": "Sudsless", "registration": "12345-67", "photo": "NO.JPG"},
            "photo",
            "NO.JPG",
        ),
    ],
)
async def test_a_refusal_stands_under_the_field_that_is_wrong_with_the_cursor_in_it(
    key: str, typed: dict[str, str], wrong: str, told: str, job: Job
) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press(key)
        await hands.settle_form()
        for field, value in typed.items():
            await type_into(hands, field, value)
        await hands.press("ctrl+s")
        await hands.settle_form()
        assert pilot.app.focused is pilot.app.screen.query_one(f"#field-{wrong}")
        rows = pilot.app.screen.rows  # type: ignore[attr-defined]
        faults = {name: str(row.query_one(".fault").content) for name, row in rows.items()}
        assert told in faults.pop(wrong)
        assert not any(faults.values())
        assert values(pilot.app) | typed == values(pilot.app)


async def test_a_draft_stands_in_the_form_again_until_its_act_is_done(job: Job) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        await type_into(hands, "because", f"no crew {HOSTILE}")
        await hands.press("escape")
        await hands.press("x")
        await hands.settle_form()
        assert "stands in the fields again" in text(pilot.app)
        assert values(pilot.app)["because"].startswith("no crew \\x1b]0;owned")
        await hands.press("ctrl+r")
        assert values(pilot.app)["because"] == ""
        await hands.press("escape", "x")
        await hands.settle_form()
        assert "stands in the fields again" not in text(pilot.app)
        await hands.fill({"by": "Ada", "because": "no crew"})
        await hands.press("x")
        await hands.settle_form()
        assert values(pilot.app)["because"] == ""
    assert list((config.settings_folder() / "drafts").iterdir()) == []


async def test_the_draft_of_one_step_is_not_offered_at_another(job: Job) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("x")
        await hands.settle_form()
        await type_into(hands, "because", "no gear")
        await hands.press("escape")
        pilot.app.screen.stand_on("power-off/house")  # type: ignore[attr-defined]
        await hands.press("x")
        await hands.settle_form()
        assert values(pilot.app)["because"] == ""


def test_a_draft_that_is_damaged_is_no_draft(job: Job) -> None:
    draft = draft_of(job, "tick")
    draft.keep({"by": "Ada", "note": HOSTILE})
    assert draft.kept() == {"by": "Ada", "note": HOSTILE}
    for spoilt in (b"", b"\xff", b"[1]", b'{"by": 1}', b"[" * 5000):
        draft.path.write_bytes(spoilt)
        assert draft.kept() == {}
    draft.throw_away()
    draft.throw_away()
    assert draft.kept() == {}


async def test_a_name_of_the_register_fills_its_licence_in(job: Job) -> None:
    config.remember_person("Ada")
    add_person(job, "Ben Volt", trade="electrician", licence="E-1")
    add_person(job, "Cy Pipe", trade="plumber", licence="P-1")
    async with SiltlineApp(job).run_test(size=(100, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "power-off/house")
        await hands.press("enter")
        await hands.settle_form()
        assert "licence" in values(pilot.app)
        await type_into(hands, "by", "ben volt")
        assert values(pilot.app)["licence"] == "E-1"
        await type_into(hands, "by", "Cy Pipe")  # of another trade
        assert values(pilot.app)["licence"] == ""
        await type_into(hands, "licence", "as typed")
        await type_into(hands, "by", "Ben Volt")
        assert values(pilot.app)["licence"] == "as typed"


async def test_people_and_products_are_entered_by_keys(job: Job, tmp_path: Path) -> None:
    add(job, [photo(tmp_path, "LABEL.JPG", 1)])
    async with SiltlineApp(job).run_test(size=(100, 40)) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("i")
        await hands.settle_form()
        await hands.fill({"name": "Ben Volt", "trade": "electrician", "licence": HOSTILE})
        await hands.press("k")
        await hands.settle_form()
        number = {"registration": "EPA Reg. No. 12345-67", "photo": "LABEL.JPG"}
        await hands.fill({"name": "Invented cleaner", **number})
        await hands.settle()
    ledger = job.board.ledger
    (person,) = ledger.people[("ben volt", "electrician")]
    assert person.licence == visible(HOSTILE)  # a field holds nothing that a terminal obeys
    (product,) = ledger.products[("invented cleaner",)]
    assert (product.registration, product.photo) == ("12345-67", next(iter(ledger.photos)))


async def test_a_belonging_comes_into_the_sheet_with_its_steps_and_its_photo(
    job: Job, tmp_path: Path
) -> None:
    image = photo(tmp_path, "SLIDES.JPG", 1)
    async with SiltlineApp(job).run_test(size=(100, 40), notifications=True) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("t")
        await hands.settle_form()
        typed = {"name": "A box of slides", "kind": "Photographs", "where": "kitchen", "wet": "y"}
        await hands.fill({**typed, "quantity": "3", "photo": str(image), "by": "Ada"})
        await hands.settle_form()
        assert "A box of slides is entered" in " ".join(text(pilot.app).split())
    sheet = sheet_as_it_stands(job)
    assert sheet["contents.a-box-of-slides.kind"] == "photographs"
    assert sheet["contents.a-box-of-slides.room"] == "kitchen"
    attached = [view for view in job.board.steps.values() if view.attached]
    assert [view.step.place for view in attached] == ["a-box-of-slides"]


TOP = "checklist: metered\ntitle: Metered\nphases: [only.yaml]\n"


@pytest.fixture
def metered(tmp_path: Path, new_job: Callable[..., Job]) -> Job:
    """A job with a step that wants three readings, and one that wants a label."""
    folder = tmp_path / "metered"
    folder.mkdir()
    (folder / "checklist.yaml").write_text(TOP, encoding="utf-8")
    (folder / "only.yaml").write_text(
        """\
phase: only
title: Only
steps:
  - step: joist-read
    do: Read the joists.
    why: Wet wood rots.
    proof:
      - {reading: joist moisture, unit: "%", at-most: 15 %, count: 3, hours-apart: 1}
    source: common practice
  - step: low
    each: contents
    when: {height: {below: 40 in}}
    do: Look at {place}.
    why: It hangs low.
    source: common practice
  - step: wiped
    do: Wipe the floor.
    why: Mud stays.
    proof: [{label: cleaner}]
    source: common practice
""",
        encoding="utf-8",
    )
    return new_job(checklist=str(folder))


async def test_ten_readings_one_after_the_other_take_a_key_each_besides_what_is_typed(
    metered: Job, figure: Callable[[str], None]
) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(metered).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "joist-read/house")
        await hands.press("m")
        await hands.settle_form()
        for number in range(10):
            await type_into(hands, "value0-0", f"{20 - number}.5")
            if number == 0:
                assert "= 20.5 %" in text(pilot.app)
            await hands.press("enter")
            await hands.settle_form()
        assert "10 readings so far" in text(pilot.app)
        await hands.press("escape")
        await hands.settle()
    read = metered.board.ledger.readings["joist-read/house"]
    assert [one.value for one in read] == [f"{20 - n}.5 %" for n in range(10)]
    figure(f"ten readings: {hands.presses} keys besides the digits")
    assert hands.presses <= 12


async def test_a_step_that_wants_a_label_takes_a_product_by_its_name(
    metered: Job, tmp_path: Path
) -> None:
    config.remember_person("Ada")
    add(metered, [photo(tmp_path, "LABEL.JPG", 1)])
    add_product(metered, "Invented cleaner", registration="12345-67", photo="LABEL.JPG")
    async with SiltlineApp(metered).run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await stand(pilot, "wiped/house")
        await hands.press("enter")
        await hands.settle_form()
        pilot.app.screen.query_one("#field-registration", Input).focus()
        await hands.press("down")
        assert values(pilot.app)["registration"] == "Invented cleaner"
        assert "= 12345-67" in text(pilot.app)
        await hands.press("ctrl+s")
        await hands.settle()
    view = metered.step("wiped/house")
    assert view.word
    assert (view.word.registration, view.state) == ("12345-67", "documented")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_long_form_can_be_filled_at_any_size(job: Job, size: tuple[int, int]) -> None:
    async with SiltlineApp(job).run_test(size=size) as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("t")
        await hands.settle_form()
        assert isinstance(pilot.app.screen, Form)
        for _ in range(12):
            await hands.press("tab")
            assert pilot.app.focused is not None
            assert pilot.app.focused.region.height == 1
            assert pilot.app.screen.region.contains_region(pilot.app.focused.region)


@pytest.mark.parametrize("then", ["", "12345-67"])
async def test_a_fault_goes_as_soon_as_its_field_changes(then: str, job: Job) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("k")
        await hands.settle_form()
        await type_into(hands, "name", "Sudsless")
        await type_into(hands, "registration", "soap")
        await hands.press("ctrl+s")
        await hands.settle_form()
        rows = pilot.app.screen.rows  # type: ignore[attr-defined]
        fault = rows["registration"].query_one(".fault")
        assert fault.display
        await type_into(hands, "name", "Sudsless 2")  # another field says nothing of this one
        assert fault.display
        await type_into(hands, "registration", then)
        assert not fault.display


async def test_enter_sends_what_was_typed_before_it_and_not_what_comes_behind(job: Job) -> None:
    config.remember_person("Ada")
    async with SiltlineApp(job).run_test(notifications=True) as pilot:
        hands, asked = Hands(pilot), list[dict[str, str]]()
        desk = pilot.app.screen
        fields = [Field("giver", "From", "Ada"), Field("taker", "To")]
        desk.run_worker(desk.ask("Hand over", fields, act=asked.append))  # type: ignore[attr-defined]
        await hands.settle_form()
        assert pilot.app.focused.id == "field-taker"  # type: ignore[union-attr]
        for key in ("enter", "B", "e", "n"):  # all at once, as a slow laptop reads them
            pilot.app.simulate_key(key)
        await until(pilot, lambda: values(pilot.app)["taker"] == "Ben")
        assert asked == []  # the field was empty when Enter was pressed
        pilot.app.simulate_key("enter")
        pilot.app.simulate_key("x")
        await until(pilot, lambda: pilot.app.screen is desk)
    assert asked == [{"giver": "Ada", "taker": "Ben"}]
    assert [event.kind for event in job.record.events] == ["begun", "laid"]  # nothing at the desk


async def test_tab_has_moved_before_the_next_key_is_taken(job: Job) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands, desk = Hands(pilot), pilot.app.screen
        desk.run_worker(desk.ask("Meter", [Field("name", "Name"), Field("points", "Points")]))  # type: ignore[attr-defined]
        await hands.settle_form()
        for key in ("P", "i", "n", "tab", "7", "shift+tab", "tab", "8"):  # all at once
            pilot.app.simulate_key(key)
        await until(pilot, lambda: values(pilot.app) == {"name": "Pin", "points": "8"})


async def test_a_fault_stays_when_news_of_the_text_it_is_about_comes_late(job: Job) -> None:
    async with SiltlineApp(job).run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("k")
        await hands.settle_form()
        await type_into(hands, "name", "Sudsless")
        await type_into(hands, "registration", "soap")
        await hands.press("ctrl+s")
        await hands.settle_form()
        row = pilot.app.screen.rows["registration"]  # type: ignore[attr-defined]
        row.input.post_message(Input.Changed(row.input, "soap"))  # Ctrl+S overtook it
        await hands.settle_form()
        assert row.query_one(".fault").display
