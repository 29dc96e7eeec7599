"""What keys do on the desk: each act asks for what it needs, is done, and is shown."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from siltline.job import acts
from siltline.judge.proofs import wanted_roles
from siltline.screens.deeds import bindings
from siltline.screens.field import Field, Typed
from siltline.screens.offering import OfferingDesk
from siltline.screens.words import plain, short
from siltline.sentences import say

_SAID_WITH_A_TICK = ("by", "licence", "note", "way", "registration")


class DeskScreen(OfferingDesk):
    """The desk with its acts."""

    BINDINGS: ClassVar[list[BindingType]] = bindings()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tick the step in hand: Enter in the list does the likely thing."""
        event.stop()
        self.action_tick()

    @work
    async def action_tick(self) -> None:
        """Tick the step in hand; ask only for what it needs."""
        from siltline.job.people import product_named  # noqa: PLC0415
        from siltline.screens import asking  # noqa: PLC0415 - no first paint needs a form

        view = self.in_hand
        step = view.step.id

        def tick(typed: Typed) -> None:
            told = {key: typed.get(key, "") for key in _SAID_WITH_A_TICK}
            product = product_named(self.job, told["registration"])
            told["registration"] = product.registration if product else told["registration"]
            acts.tick(self.job, step, values=asking.values_of(fields, typed), **told)
            if product is not None and product.photo and "label" in wanted_roles(view):
                acts.attach(self.job, step, product.photo, role="label", by=told["by"])
            self.know(typed["by"])

        fields = asking.tick_fields(self.job, view, self.person)
        if view.waiting or view.state == "not-needed" or not fields:
            self.do(lambda: tick({"by": self.person or "-"}), lambda: self._ticked(step))
            return
        if await self.ask(
            say("form.tick"), fields, asking.tick_hint(self.job, view), act=tick,
            name=asking.draft_name("tick", view),
            fills=asking.filled_in(self.job, asking.trades_of(view)),
        ):  # fmt: skip
            self.changed(self._ticked(step))

    def _ticked(self, step: str) -> str:
        view = self.job.step(step)
        state = say(f"state.{view.state}")
        return say("desk.ticked", step=short(view), state=state, remarks=" ".join(view.remarks))

    @work
    async def action_leave_out(self) -> None:
        """Leave the step in hand out, with a name and a reason."""
        from siltline.screens import asking  # noqa: PLC0415 - no first paint needs a form

        view = self.in_hand

        def leave_out(typed: Typed) -> None:
            acts.leave_out(self.job, view.step.id, **typed)
            self.know(typed["by"])

        fields = asking.leave_fields(self.job, view, self.person)
        hint = " ".join(filter(None, [view.step.do, view.step.hold_point]))
        trades = [view.step.override] if view.step.override else []
        if await self.ask(
            say("form.leave-out"), fields, hint, act=leave_out,
            name=asking.draft_name("leave-out", view),
            fills=asking.filled_in(self.job, trades),
        ):  # fmt: skip
            self.changed(say("desk.left-out"))

    @work
    async def action_detach(self) -> None:
        """Take a photo off the step in hand."""
        view, photos = self.in_hand, self.job.board.ledger.photos
        if not view.attached:
            self.notify(say("desk.none-attached"), markup=False)
            return
        rows = [(a.photo, plain(f"{a.role}: {photos[a.photo].name}")) for a in view.attached]
        picked = await self.pick(say("pick.detach", step=short(view)), rows)
        if picked is not None:
            self.do(lambda: acts.detach(self.job, view.step.id, picked[0]), say("detach.done"))

    def action_untick(self) -> None:
        """Take back the word on the step in hand, or the fact found out for it."""
        step, by = self.in_hand.step.id, self.person or None
        self.do(lambda: acts.untick(self.job, step, by=by), say("desk.unticked"))

    def action_undo(self) -> None:
        """Take back the newest act, and name what that was."""
        from siltline.job.acted import about  # noqa: PLC0415

        undone: dict[str, str] = {}

        def undo() -> None:
            event = acts.undo(self.job, by=self.person or None)
            who = event.by or say("said.somebody")
            what = say(f"kind.{event.kind}")
            undone.update(what=what, about=about(self.job, event), who=who)

        self.do(undo, lambda: say("desk.undone", **undone))

    @work
    async def action_add(self) -> None:
        """Take photos in from a file or a folder; keys go on working meanwhile."""
        from siltline.screens.adding import take_in  # noqa: PLC0415 - reads photos

        if not self.may_work():
            return
        fields = [Field("path", say("form.path"))]
        typed = await self.ask(say("form.add"), fields, say("form.add-hint"), name="add")
        if typed is None:
            return
        by = self.person or None
        came = await self.work_on(lambda job, follow: take_in(job, typed["path"], by, follow))
        if came is None:
            return
        report, whole = came
        stopped = say("add.stopped", n=len(report.of("taken")))
        self.changed(say("add.summary", **report.counts()) if whole else stopped)
        for told in report.told():
            self.notify(told, markup=False, severity="warning", timeout=8)

    @work
    async def action_name(self) -> None:
        """Ask who is at the keyboard."""
        fields = [Field("by", say("form.by"), self.person)]
        await self.ask(say("form.name"), fields, act=lambda typed: self.know(typed["by"]))

    def action_card_down(self) -> None:
        """Scroll the step in hand."""
        self.query_one("#card-box", VerticalScroll).scroll_page_down(animate=False)

    def action_card_up(self) -> None:
        """Scroll the step in hand back."""
        self.query_one("#card-box", VerticalScroll).scroll_page_up(animate=False)
