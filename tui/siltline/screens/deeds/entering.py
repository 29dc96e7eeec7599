"""What is entered into a job: readings of a step, the house sheet, belongings."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from siltline.errors import Refusal, WrongUse
from siltline.job import acts
from siltline.judge.holding import MEASURED
from siltline.screens import asking
from siltline.screens.deeds.closing import take_facts
from siltline.screens.facts import fact_field
from siltline.screens.field import Field, Typed
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job.belongings import Places


async def enter_readings(desk: WorkingDesk) -> None:
    """Enter readings of the step in hand, one after the other, until Escape."""
    view = desk.in_hand
    step = view.step.id
    if view.step.asks or all(held.proof.kind not in MEASURED for held in view.held):
        desk.notify(say("reading.none"), markup=False)
        return
    if view.waiting or view.state == "not-needed":
        desk.do(lambda: acts.tick(desk.job, step, by=desk.person or "-"))
        return
    while True:
        view = desk.job.step(step)
        every = asking.tick_fields(desk.job, view, desk.person)
        asked = [field for field in every if field.key.startswith("value")]
        fields = [*([] if desk.person else [asking.by_field(desk.job, "")]), *asked]
        given = len(desk.job.board.ledger.readings.get(step, []))

        def read(typed: Typed, asked: list[Field] = asked) -> None:
            values = asking.values_of(asked, typed)
            if not values:
                raise WrongUse(say("reading.empty"))
            desk.know(typed.get("by", ""))
            word = desk.job.step(step).word
            kept = {"licence": word.licence, "note": word.note} if word else {}
            kept |= {"way": word.way, "registration": word.registration} if word else {}
            acts.tick(desk.job, step, by=desk.person, values=values, **kept)

        hint = f"{view.step.do} {say('reading.given', n=given)}"
        name = asking.draft_name("reading", view)
        if not await desk.ask(say("form.readings"), fields, hint, act=read, name=name):
            return


async def go_through_sheet(desk: WorkingDesk) -> None:
    """Go through the house sheet; what that changes is shown before it is taken."""
    from siltline.job.drafts import draft_of  # noqa: PLC0415
    from siltline.job.laying import correct  # noqa: PLC0415
    from siltline.job.sheeting import changed, sheet_text  # noqa: PLC0415 - reads YAML
    from siltline.screens.sheeting import SheetScreen  # noqa: PLC0415

    draft = draft_of(desk.job, "sheet")
    while True:
        try:
            before = sheet_text(desk.job)
        except Refusal as fault:  # a stored sheet that this version cannot read
            desk.notify(str(fault), markup=False, severity="error")
            return
        screen = SheetScreen(before, desk.job.here(), draft=draft, job=desk.job)
        text = await desk.app.push_screen_wait(screen)
        if text is None:
            return
        try:
            settings = changed(before, text)
            seen = correct(desk.job, settings)
        except Refusal as fault:
            desk.notify(str(fault), markup=False, severity="warning", timeout=10)
            continue
        if not settings:
            desk.notify(say("sheet.same"), markup=False)
        elif not await take_facts(desk, settings, seen):
            continue
        draft.throw_away()
        return


async def enter_thing(desk: WorkingDesk) -> None:
    """Enter a belonging; what it changes is shown when it is done."""
    from siltline.job.belongings import KEYS, enter, places_of, where_of  # noqa: PLC0415

    places = places_of(desk.job)
    entered: list[str] = []

    def add(typed: Typed) -> None:
        facts = {key: typed[key] for key in KEYS if key in typed}
        facts |= where_of(places, typed["where"])
        done = enter(desk.job, typed["name"], facts, by=typed["by"], photo=typed["photo"])
        desk.know(typed["by"])
        told = [say("contents.entered", name=typed["name"], n=len(done.changes))]
        at = map(desk.job.called, done.steps)
        entered[:] = [*told, *(say("contents.photo", step=step) for step in at)]

    now = desk.job.here()
    asks = {
        key: fact_field(
            ("contents", "x", key), key, say(f"form.thing-{key}"), now=now, needed=key == "kind"
        )
        for key in ("kind", "height", "wet", "quantity", "value")
    }
    unused = [desk.job.board.ledger.photos[p].name for p in desk.job.board.unused_photos()]
    fields = [
        Field("name", say("form.thing-name")),
        asks["kind"],
        Field("where", say("form.thing-where"), needed=False,
              reads=partial(_place, places), offers=(*places[0].values(), *places[1])),
        *(asks[key] for key in ("wet", "height", "quantity", "value")),
        Field("photo", say("form.thing-photo"), needed=False, offers=tuple(unused)),
        asking.by_field(desk.job, desk.person),
    ]  # fmt: skip
    hint = say("form.thing-hint")
    if await desk.ask(say("form.thing"), fields, hint, act=add, name="thing"):
        desk.changed(" ".join(entered))


def _place(places: Places, typed: str) -> str:
    """Return the room or the space that is read from what was typed."""
    from siltline.job.belongings import where_of  # noqa: PLC0415 - corrects the sheet

    found = next(iter(where_of(places, typed).values()))
    return places[0].get(found, found)
