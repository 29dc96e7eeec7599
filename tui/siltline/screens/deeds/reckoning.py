"""What is reckoned on a step: what comes out is shown while it is typed."""

from __future__ import annotations

from siltline.job import reckoning
from siltline.job.people import products
from siltline.reckon import RECKONINGS, Asked
from siltline.reckon.words import seen
from siltline.screens.asking import by_field
from siltline.screens.field import Field, Typed
from siltline.screens.words import plain, short
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


async def reckon_here(desk: WorkingDesk) -> None:
    """Reckon what the step in hand asks for, or one of all computations."""
    asked = desk.in_hand.step.reckons
    what = asked[0] if len(asked) == 1 else ""
    if not what:
        order = [*asked, *(name for name in RECKONINGS if name not in asked)]
        rows = [(name, plain(say(f"reckon.pick.{name}"))) for name in order]
        picked = await desk.pick(say("reckon.which", step=short(desk.in_hand)), rows)
        if picked is None:
            return
        what = picked[0]
    await _reckon(desk, what)


async def _reckon(desk: WorkingDesk, what: str) -> None:
    view, one = desk.in_hand, RECKONINGS[what]
    there = reckoning.on_hand(desk.job, view.step, what)

    def keep(typed: Typed) -> None:
        given = {key: text for key, text in typed.items() if key != "by"}
        reckoning.reckon(desk.job, view.step.id, what, given, by=typed["by"])
        desk.know(typed["by"])

    names = tuple(found.name for found in products(desk.job))
    fields = [_field(asked, there, names) for asked in one.asks]
    hint = "\n".join([short(view), *reckoning.waits(desk.job, view), *one.told_cautions])
    if await desk.ask(
        say(f"reckon.pick.{what}"), [*fields, by_field(desk.job, desk.person)], hint,
        act=keep, name=f"reckon {what} {view.step.id}",
        sums=lambda typed: reckoning.sums(what, typed), at_top=True,
    ):  # fmt: skip
        desk.changed(say("reckon.kept"))


def _field(asked: Asked, there: Typed, names: tuple[str, ...]) -> Field:
    """Return a field for what a computation asks, with what is known of it."""
    label = asked.label
    if asked.example:
        label = say("reckon.for-example", field=label, example=asked.example)
    offers = asked.choices or (names if asked.name == "product" else ())
    return Field(
        asked.name, label, there.get(asked.name, ""), needed=asked.needed, offers=offers,
        reads=lambda typed: seen(asked.kind, asked.read(typed)),
    )  # fmt: skip
