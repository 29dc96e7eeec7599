"""The language is switched at once, on every screen, and nothing that a person does is lost."""

from __future__ import annotations

import pytest
from textual.containers import VerticalScroll
from textual.widgets import Input, OptionList

from siltline import config
from siltline.job import Job
from siltline.job.close_out import review
from siltline.screens.app import SiltlineApp
from siltline.sentences import say
from support.desk import Hands, stand
from support.screens import text


async def switch(pilot: object, app: SiltlineApp) -> None:
    await app.run_action("switch_language")
    for _ in range(4):
        await pilot.pause()  # type: ignore[attr-defined]


async def test_desk_card_head_and_keys_speak_the_other_language_at_once(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        step = "lines-as-found/hall"
        app.screen.stand_on(step)  # type: ignore[attr-defined]
        await pilot.pause()
        assert "To do" in text(app)
        await switch(pilot, app)
        shown = text(app)
        told = ("documentados", "Por hacer", "Lo que lo prueba", "Fuente:", "1 foto sin paso")
        keys = ("Enter Hecho", "a Foto", "g Lo siguiente", "v Revisar", "? Ayuda")
        for wanted in (*told, *keys):
            assert wanted in shown, wanted
        for gone in ("To do", "What shows it", "Attach photo", "Help"):
            assert gone not in shown
        assert app.screen.in_hand.step.id == step  # type: ignore[attr-defined]
        await switch(pilot, app)
        assert "To do" in text(app)
        assert "Attach photo" in text(app)


async def test_what_was_chosen_is_kept_for_the_next_time(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test() as pilot:
        await switch(pilot, app)
    assert config.language() == "es"
    again = SiltlineApp(sample)
    async with again.run_test() as pilot:
        await pilot.pause()
        await pilot.pause()
        assert "documentados" in text(again)
        assert "Lo siguiente" in text(again).splitlines()[-1]


async def test_the_review_keeps_its_place_and_its_keys(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.press("v", "down", "down")
        await switch(pilot, app)
        shown = text(app)
        assert f"{len(review(sample))} asuntos." in shown
        assert "Todavía no hecho" in shown
        assert app.screen.query_one(OptionList).highlighted == 2
        assert "Enter Ir al paso" in shown.splitlines()[-1]
        await hands.press("down", "escape")
        await pilot.pause()
        assert "documentados" in text(app), "the desk below it too"


async def test_help_is_told_again(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await Hands(pilot).press("question_mark")
        await switch(pilot, app)
        assert "omitirlo, con un motivo" in text(app)
        assert "Esc Volver" in text(app)
        page = app.screen.query_one(VerticalScroll)
        page.scroll_end(animate=False)
        await pilot.pause()
        seen = text(app)
        while page.scroll_y > 0:  # the sources are longer than a page
            page.scroll_page_up(animate=False)
            await pilot.pause()
            seen += text(app)
        assert say("help-page.hazards").split()[0] in seen


async def test_a_form_keeps_what_was_typed(sample: Job) -> None:
    app = SiltlineApp(sample)
    async with app.run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await pilot.pause()
        await hands.press("x", *"Ada")
        await switch(pilot, app)
        field = app.screen.query(Input).first()
        assert field.value == "Ada"
        assert field.has_focus
        await hands.press("escape", "x")
        assert "Motivo" in text(app)


async def test_a_language_without_a_catalogue_is_spoken_in_english(
    sample: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_LANGUAGE", "fr")
    app = SiltlineApp(sample)
    async with app.run_test() as pilot:
        await pilot.pause()
        assert "documented" in text(app)


async def test_what_is_recorded_is_the_same_in_any_language(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SILTLINE_LANGUAGE", "es")
    config.remember_person("Ada Lovelorn")
    app = SiltlineApp(job)
    async with app.run_test() as pilot:
        hands = Hands(pilot)
        await stand(pilot)
        await hands.press("enter")
        await hands.settle()
    event = job.record.events[-1]
    assert event.kind == "ticked"
    assert event.body == {"licence": "", "note": "", "step": "gear-on/house", "values": []}
