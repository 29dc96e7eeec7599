"""Contact times: one key begins one, and asks of one that runs how it is."""

from __future__ import annotations

from collections.abc import Callable

from siltline.errors import NotNow
from siltline.job import contact
from siltline.job.people import products
from siltline.judge import StepView
from siltline.judge.contact import Standing
from siltline.screens.asking import by_field
from siltline.screens.field import Field, Typed
from siltline.screens.words import plain, short
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

MOST_OFFERED = 4


async def keep_wet(desk: WorkingDesk) -> None:
    """Begin a contact time at the step in hand, or say how one that runs is found."""
    view, found = desk.in_hand, contact.going(desk.job)
    here = [one for one in found if one.run.step == view.step.id]
    if not here and found and contact.asked(view) is None:
        desk.go_to(found[0].run.step)  # the key is for what runs, where nothing is asked here
        here = found[:1]
    if here:
        await _look_at(desk, here[0])
    else:
        await _begin(desk, view)


async def _begin(desk: WorkingDesk, view: StepView) -> None:
    step, told = view.step.id, list[str]()
    try:
        contact.ensure_may_begin(desk.job, view)
    except NotNow as fault:
        desk.notify(str(fault), markup=False, severity="warning", timeout=8)
        return

    def begin(typed: Typed) -> None:
        one = contact.begin_wet(desk.job, step, **typed)
        desk.know(typed["by"])
        told.append(contact.told(desk.job, one))

    product = Field("product", say("form.wet-product"), needed=False,
                    offers=tuple(one.name for one in products(desk.job)))  # fmt: skip
    minutes = Field(
        "minutes", say("form.wet-minutes"), contact.minutes_of(view),
        reads=lambda typed: contact.minutes_read(view, typed),
        offers=tuple(contact.minutes_typed(desk.job, view)[:MOST_OFFERED]),
    )  # fmt: skip
    fields = [by_field(desk.job, desk.person), product, minutes]
    hint = "\n".join([short(view), *contact.cautions()])
    if await desk.ask(say("form.wet"), fields, hint, act=begin, name=f"wet {step}"):
        desk.changed(" ".join(told))


async def _look_at(desk: WorkingDesk, one: Standing) -> None:
    if not desk.person:
        fields = [Field("by", say("form.by"))]
        if not await desk.ask(say("form.name"), fields, act=lambda t: desk.know(t["by"])):
            return
    step, by = one.run.step, desk.person
    acts: dict[str, Callable[[], Standing]] = {
        "seen": lambda: contact.seen_wet(desk.job, step, by=by),
        "again": lambda: contact.wet_again(desk.job, step, by=by),
        "goes-on": lambda: contact.wet_again(desk.job, step, by=by, goes_on=True),
        "dried": lambda: contact.end_wet(desk.job, step, by=by, dried=True),
        "end": lambda: contact.end_wet(desk.job, step, by=by),
    }
    # The likeliest first: a time that is over is ended, one that runs is looked at.
    order = ["end", *(k for k in acts if k != "end")] if one.state == "over" else list(acts)
    rows = [(key, plain(say(f"pick.wet-{key}"))) for key in order]
    picked = await desk.pick(contact.told(desk.job, one), rows)
    if picked is not None:
        told: list[str] = []
        act = acts[picked[0]]
        desk.do(lambda: told.append(contact.told(desk.job, act())), lambda: " ".join(told))
