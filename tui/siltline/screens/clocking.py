"""The desk with the laptop's clock: cameras photograph it, and a photo of it is marked."""

from __future__ import annotations

from textual import work

from siltline.screens.field import Typed
from siltline.screens.reckoning import ReckoningDesk
from siltline.sentences import say


class ClockingDesk(ReckoningDesk):
    """The desk with the laptop's clock."""

    @work
    async def action_clock(self) -> None:
        """Show the laptop's clock; mark a photo of it where that is wanted."""
        from siltline.job.clock import mark  # noqa: PLC0415 - no first paint needs it
        from siltline.screens.clock_face import ClockScreen, mark_fields  # noqa: PLC0415

        told: list[str] = []

        def send(typed: Typed) -> None:
            told.append(mark(self.job, **typed, by=self.person or None))

        while await self.app.push_screen_wait(ClockScreen(self.job)):
            fields, hint = mark_fields(self.job), say("form.clock-hint")
            if await self.ask(say("form.clock"), fields, hint, act=send, name="clock"):
                self.changed(told[-1])
                return
