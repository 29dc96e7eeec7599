"""The desk with its register of meters: what each promises, and whether it corrects."""

from __future__ import annotations

from textual import work

from siltline.screens.entering import MOST_LISTED, EnteringDesk
from siltline.screens.field import Typed
from siltline.sentences import say


class MeteringDesk(EnteringDesk):
    """The desk with the form that puts a meter into the register."""

    @work
    async def action_meter(self) -> None:
        """Put a meter into the register, or say more of one; those that are there stand above."""
        from siltline.job.points import add_meter, meter_told  # noqa: PLC0415
        from siltline.judge.measured import meters_of  # noqa: PLC0415
        from siltline.screens.measuring import is_yes, meter_fields  # noqa: PLC0415

        def add(typed: Typed) -> None:
            told = {key: typed[key] for key in ("tolerance", "resolution", "checked")}
            if typed["corrects"].strip():
                told["corrects"] = "yes" if is_yes(typed["corrects"]) else "no"
            add_meter(self.job, typed["name"], by=self.person, **told)

        found = meters_of(self.job.board.ledger)
        listed = [say("meter.line", **meter_told(one)) for one in found[-MOST_LISTED:]]
        hint = "\n".join(listed) or say("meter.empty")
        fields = meter_fields(self.job)
        typed = await self.ask(say("form.meters"), fields, hint, act=add, name="meter")
        if typed is not None:
            self.changed(say("people.added", name=typed["name"].strip()))
