"""The desk with what is reckoned on a step: what comes out is shown while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import work

from siltline.screens.field import Field, Typed
from siltline.screens.wetting import WettingDesk
from siltline.screens.words import plain, short
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.reckon import Asked


class ReckoningDesk(WettingDesk):
    """The desk on which fans, doses and machines are reckoned."""

    @work
    async def action_reckon(self) -> None:
        """Reckon what the step in hand asks for, or one of all computations."""
        from siltline.reckon import RECKONINGS  # noqa: PLC0415

        asked = self.in_hand.step.reckons
        what = asked[0] if len(asked) == 1 else ""
        if not what:
            order = [*asked, *(name for name in RECKONINGS if name not in asked)]
            rows = [(name, plain(say(f"reckon.pick.{name}"))) for name in order]
            picked = await self.pick(say("reckon.which", step=short(self.in_hand)), rows)
            if picked is None:
                return
            what = picked[0]
        await self._reckon(what)

    async def _reckon(self, what: str) -> None:
        from siltline.job import reckoning  # noqa: PLC0415
        from siltline.job.people import products  # noqa: PLC0415
        from siltline.reckon import RECKONINGS  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415

        view, one = self.in_hand, RECKONINGS[what]
        there = reckoning.on_hand(self.job, view.step, what)

        def keep(typed: Typed) -> None:
            given = {key: text for key, text in typed.items() if key != "by"}
            reckoning.reckon(self.job, view.step.id, what, given, by=typed["by"])
            self.know(typed["by"])

        names = tuple(found.name for found in products(self.job))
        fields = [_field(asked, there, names) for asked in one.asks]
        hint = "\n".join([short(view), *reckoning.waits(self.job, view), *one.told_cautions])
        if await self.ask(
            say(f"reckon.pick.{what}"), [*fields, by_field(self.job, self.person)], hint,
            act=keep, name=f"reckon {what} {view.step.id}",
            sums=lambda typed: reckoning.sums(what, typed), at_top=True,
        ):  # fmt: skip
            self.changed(say("reckon.kept"))


def _field(asked: Asked, there: Typed, products: tuple[str, ...]) -> Field:
    """Return a field for what a computation asks, with what is known of it."""
    from siltline.reckon.words import seen  # noqa: PLC0415

    label = asked.label
    if asked.example:
        label = say("reckon.for-example", field=label, example=asked.example)
    offers = asked.choices or (products if asked.name == "product" else ())
    return Field(
        asked.name, label, there.get(asked.name, ""), needed=asked.needed, offers=offers,
        reads=lambda typed: seen(asked.kind, asked.read(typed)),
    )  # fmt: skip
