"""The desk with contact times: one key begins one, and asks of one that runs how it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import work

from siltline.errors import NotNow
from siltline.judge import StepView
from siltline.screens.field import Field, Typed
from siltline.screens.reading import ReadingDesk
from siltline.screens.words import plain, short
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.contact import Standing

MOST_OFFERED = 4


class WettingDesk(ReadingDesk):
    """The desk on which surfaces are kept wet."""

    def goes_on(self) -> list[str]:
        """Return what is not done yet where somebody leaves, what must stay wet first."""
        from siltline.job.contact import goes_on  # noqa: PLC0415

        wet = goes_on(self.job) if self.job.board.ledger.wet else []
        return [*wet, *super().goes_on()]

    @work
    async def action_wet(self) -> None:
        """Begin a contact time at the step in hand, or say how one that runs is found."""
        from siltline.job.contact import asked, going  # noqa: PLC0415

        view, found = self.in_hand, going(self.job)
        here = [one for one in found if one.run.step == view.step.id]
        if not here and found and asked(view) is None:
            self.go_to(found[0].run.step)  # the key is for what runs, where nothing is asked here
            here = found[:1]
        if here:
            await self._look_at(here[0])
        else:
            await self._begin(view)

    async def _begin(self, view: StepView) -> None:
        from siltline.job import contact  # noqa: PLC0415
        from siltline.job.people import products  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415

        step, told = view.step.id, list[str]()
        try:
            contact.ensure_may_begin(self.job, view)
        except NotNow as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            return

        def begin(typed: Typed) -> None:
            one = contact.begin_wet(self.job, step, **typed)
            self.know(typed["by"])
            told.append(contact.told(self.job, one))

        product = Field("product", say("form.wet-product"), needed=False,
                        offers=tuple(one.name for one in products(self.job)))  # fmt: skip
        minutes = Field(
            "minutes", say("form.wet-minutes"), contact.minutes_of(view),
            reads=lambda typed: contact.minutes_read(view, typed),
            offers=tuple(contact.minutes_typed(self.job, view)[:MOST_OFFERED]),
        )  # fmt: skip
        fields = [by_field(self.job, self.person), product, minutes]
        hint = "\n".join([short(view), *contact.cautions()])
        if await self.ask(say("form.wet"), fields, hint, act=begin, name=f"wet {step}"):
            self.changed(" ".join(told))

    async def _look_at(self, one: Standing) -> None:
        from siltline.job import contact  # noqa: PLC0415

        if not self.person:
            fields = [Field("by", say("form.by"))]
            if not await self.ask(say("form.name"), fields, act=lambda t: self.know(t["by"])):
                return
        step, by = one.run.step, self.person
        acts: dict[str, Callable[[], Standing]] = {
            "seen": lambda: contact.seen_wet(self.job, step, by=by),
            "again": lambda: contact.wet_again(self.job, step, by=by),
            "goes-on": lambda: contact.wet_again(self.job, step, by=by, goes_on=True),
            "dried": lambda: contact.end_wet(self.job, step, by=by, dried=True),
            "end": lambda: contact.end_wet(self.job, step, by=by),
        }
        # The likeliest first: a time that is over is ended, one that runs is looked at.
        order = ["end", *(k for k in acts if k != "end")] if one.state == "over" else list(acts)
        rows = [(key, plain(say(f"pick.wet-{key}"))) for key in order]
        picked = await self.pick(contact.told(self.job, one), rows)
        if picked is not None:
            told: list[str] = []
            act = acts[picked[0]]
            self.do(lambda: told.append(contact.told(self.job, act())), lambda: " ".join(told))
