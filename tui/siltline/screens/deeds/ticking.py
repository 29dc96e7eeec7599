"""The word on the step in hand: ticked, left out, taken back; what the newest act was undone."""

from __future__ import annotations

from siltline.job import acts
from siltline.job.acted import about
from siltline.job.people import product_named
from siltline.judge.proofs import wanted_roles
from siltline.screens import asking
from siltline.screens.field import Typed
from siltline.screens.words import short
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

_SAID_WITH_A_TICK = ("by", "licence", "note", "way", "registration")


async def tick(desk: WorkingDesk) -> None:
    """Tick the step in hand; ask only for what it needs."""
    view = desk.in_hand
    step = view.step.id

    def tick(typed: Typed) -> None:
        told = {key: typed.get(key, "") for key in _SAID_WITH_A_TICK}
        product = product_named(desk.job, told["registration"])
        told["registration"] = product.registration if product else told["registration"]
        acts.tick(desk.job, step, values=asking.values_of(fields, typed), **told)
        if product is not None and product.photo and "label" in wanted_roles(view):
            acts.attach(desk.job, step, product.photo, role="label", by=told["by"])
        desk.know(typed["by"])

    fields = asking.tick_fields(desk.job, view, desk.person)
    if view.waiting or view.state == "not-needed" or not fields:
        desk.do(lambda: tick({"by": desk.person or "-"}), lambda: _ticked(desk, step))
        return
    if await desk.ask(
        say("form.tick"), fields, asking.tick_hint(desk.job, view), act=tick,
        name=asking.draft_name("tick", view),
        fills=asking.filled_in(desk.job, asking.trades_of(view)),
    ):  # fmt: skip
        desk.changed(_ticked(desk, step))


def _ticked(desk: WorkingDesk, step: str) -> str:
    view = desk.job.step(step)
    state = say(f"state.{view.state}")
    return say("desk.ticked", step=short(view), state=state, remarks=" ".join(view.remarks))


async def leave_out(desk: WorkingDesk) -> None:
    """Leave the step in hand out, with a name and a reason."""
    view = desk.in_hand

    def leave_out(typed: Typed) -> None:
        acts.leave_out(desk.job, view.step.id, **typed)
        desk.know(typed["by"])

    fields = asking.leave_fields(desk.job, view, desk.person)
    hint = " ".join(filter(None, [view.step.do, view.step.hold_point]))
    trades = [view.step.override] if view.step.override else []
    if await desk.ask(
        say("form.leave-out"), fields, hint, act=leave_out,
        name=asking.draft_name("leave-out", view),
        fills=asking.filled_in(desk.job, trades),
    ):  # fmt: skip
        desk.changed(say("desk.left-out"))


def untick(desk: WorkingDesk) -> None:
    """Take back the word on the step in hand, or the fact found out for it."""
    step, by = desk.in_hand.step.id, desk.person or None
    desk.do(lambda: acts.untick(desk.job, step, by=by), say("desk.unticked"))


def undo_newest(desk: WorkingDesk) -> None:
    """Take back the newest act, and name what that was."""
    undone: dict[str, str] = {}

    def undo() -> None:
        event = acts.undo(desk.job, by=desk.person or None)
        who = event.by or say("said.somebody")
        what = say(f"kind.{event.kind}")
        undone.update(what=what, about=about(desk.job, event), who=who)

    desk.do(undo, lambda: say("desk.undone", **undone))
