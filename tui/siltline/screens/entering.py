"""The desk with what is entered into a job: readings, belongings, people, products."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual import work

from siltline.errors import Refusal, WrongUse
from siltline.job import acts
from siltline.judge.holding import MEASURED
from siltline.screens.closing import ClosingDesk
from siltline.screens.field import Field, Typed
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.job.belongings import Places

MOST_LISTED = 6  # as many as fit above the fields at 24 lines


class EnteringDesk(ClosingDesk):
    """The desk with the forms that take something in."""

    @work
    async def enter_readings(self) -> None:
        """Enter readings of the step in hand, one after the other, until Escape."""
        from siltline.screens import asking  # noqa: PLC0415 - no first paint needs a form

        view = self.in_hand
        step = view.step.id
        if view.step.asks or all(held.proof.kind not in MEASURED for held in view.held):
            self.notify(say("reading.none"), markup=False)
            return
        if view.waiting or view.state == "not-needed":
            self.do(lambda: acts.tick(self.job, step, by=self.person or "-"))
            return
        while True:
            view = self.job.step(step)
            every = asking.tick_fields(self.job, view, self.person)
            asked = [field for field in every if field.key.startswith("value")]
            fields = [*([] if self.person else [asking.by_field(self.job, "")]), *asked]
            given = len(self.job.board.ledger.readings.get(step, []))

            def read(typed: Typed, asked: list[Field] = asked) -> None:
                values = asking.values_of(asked, typed)
                if not values:
                    raise WrongUse(say("reading.empty"))
                self.know(typed.get("by", ""))
                word = self.job.step(step).word
                kept = {"licence": word.licence, "note": word.note} if word else {}
                kept |= {"way": word.way, "registration": word.registration} if word else {}
                acts.tick(self.job, step, by=self.person, values=values, **kept)

            hint = f"{view.step.do} {say('reading.given', n=given)}"
            name = asking.draft_name("reading", view)
            if not await self.ask(say("form.readings"), fields, hint, act=read, name=name):
                return

    @work
    async def action_sheet(self) -> None:
        """Go through the house sheet; what that changes is shown before it is taken."""
        from siltline.job.drafts import draft_of  # noqa: PLC0415
        from siltline.job.laying import correct  # noqa: PLC0415
        from siltline.job.sheeting import changed, sheet_text  # noqa: PLC0415 - reads YAML
        from siltline.screens.sheeting import SheetScreen  # noqa: PLC0415

        draft = draft_of(self.job, "sheet")
        while True:
            try:
                before = sheet_text(self.job)
            except Refusal as fault:  # a stored sheet that this version cannot read
                self.notify(str(fault), markup=False, severity="error")
                return
            screen = SheetScreen(before, self.job.here(), draft=draft, job=self.job)
            text = await self.app.push_screen_wait(screen)
            if text is None:
                return
            try:
                settings = changed(before, text)
                seen = correct(self.job, settings)
            except Refusal as fault:
                self.notify(str(fault), markup=False, severity="warning", timeout=10)
                continue
            if not settings:
                self.notify(say("sheet.same"), markup=False)
            elif not await self.take_facts(settings, seen):
                continue
            draft.throw_away()
            return

    @work
    async def action_thing(self) -> None:
        """Enter a belonging; what it changes is shown when it is done."""
        from siltline.job.belongings import KEYS, enter, places_of, where_of  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415
        from siltline.screens.facts import fact_field  # noqa: PLC0415

        places = places_of(self.job)
        entered: list[str] = []

        def add(typed: Typed) -> None:
            facts = {key: typed[key] for key in KEYS if key in typed}
            facts |= where_of(places, typed["where"])
            done = enter(self.job, typed["name"], facts, by=typed["by"], photo=typed["photo"])
            self.know(typed["by"])
            told = [say("contents.entered", name=typed["name"], n=len(done.changes))]
            at = map(self.job.called, done.steps)
            entered[:] = [*told, *(say("contents.photo", step=step) for step in at)]

        now = self.job.here()
        asks = {
            key: fact_field(
                ("contents", "x", key), key, say(f"form.thing-{key}"), now=now, needed=key == "kind"
            )
            for key in ("kind", "height", "wet", "quantity", "value")
        }
        unused = [self.job.board.ledger.photos[p].name for p in self.job.board.unused_photos()]
        fields = [
            Field("name", say("form.thing-name")),
            asks["kind"],
            Field("where", say("form.thing-where"), needed=False,
                  reads=partial(_place, places), offers=(*places[0].values(), *places[1])),
            *(asks[key] for key in ("wet", "height", "quantity", "value")),
            Field("photo", say("form.thing-photo"), needed=False, offers=tuple(unused)),
            by_field(self.job, self.person),
        ]  # fmt: skip
        hint = say("form.thing-hint")
        if await self.ask(say("form.thing"), fields, hint, act=add, name="thing"):
            self.changed(" ".join(entered))

    @work
    async def action_people(self) -> None:
        """Put somebody into the register; those who are in it stand above."""
        from siltline.job.people import add_person, people  # noqa: PLC0415

        def add(typed: Typed) -> None:
            add_person(
                self.job, typed["name"], trade=typed["trade"], licence=typed["licence"],
                by=self.person,
            )  # fmt: skip

        found = people(self.job)
        listed = [say("people.line", **_person(one)) for one in found[-MOST_LISTED:]]
        names = dict.fromkeys(one.name for one in found)
        trades = dict.fromkeys([*self._trades(), *(one.trade for one in found)])
        fields = [
            Field("name", say("people.name"), offers=tuple(names)),
            Field("trade", say("form.trade"), offers=tuple(trades)),
            Field("licence", say("form.person-licence"), needed=False),
        ]
        hint = "\n".join(listed) or say("people.empty")
        typed = await self.ask(say("form.people"), fields, hint, act=add, name="people")
        if typed is not None:
            self.changed(say("people.added", name=typed["name"]))

    def _trades(self) -> list[str]:
        """Return the trades whose licence the steps of this job ask for."""
        proofs = [proof for view in self.job.board.steps.values() for proof in view.step.proof]
        named = [proof.name for proof in proofs if proof.kind == "licence"]
        return list(dict.fromkeys(trade for name in named for trade in name.split(" or ")))

    @work
    async def action_product(self) -> None:
        """Put a product into the register, with the number and the photo of its label."""
        from siltline.job.people import add_product, products  # noqa: PLC0415
        from siltline.job.said import registration_number  # noqa: PLC0415

        def add(typed: Typed) -> None:
            add_product(
                self.job, typed["name"], registration=typed["registration"],
                photo=typed["photo"], by=self.person,
            )  # fmt: skip

        ledger = self.job.board.ledger
        listed = [
            say("product.line", name=one.name, registration=one.registration,
                photo=ledger.photos[one.photo].name if one.photo in ledger.photos else "")
            for one in products(self.job)[-MOST_LISTED:]
        ]  # fmt: skip
        unused = tuple(ledger.photos[photo].name for photo in self.job.board.unused_photos())
        fields = [
            Field("name", say("form.product-name")),
            Field("registration", say("form.product-number"), reads=registration_number),
            Field("photo", say("form.product-photo"), needed=False, offers=unused),
        ]
        hint = "\n".join(listed) or say("product.empty")
        typed = await self.ask(say("form.product"), fields, hint, act=add, name="product")
        if typed is not None:
            self.changed(say("people.added", name=typed["name"]))


def _place(places: Places, typed: str) -> str:
    """Return the room or the space that is read from what was typed."""
    from siltline.job.belongings import where_of  # noqa: PLC0415 - corrects the sheet

    found = next(iter(where_of(places, typed).values()))
    return places[0].get(found, found)


def _person(one: object) -> dict[str, str]:
    return {key: getattr(one, key) for key in ("name", "trade", "licence")}
