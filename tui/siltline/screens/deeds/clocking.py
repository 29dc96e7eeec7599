"""The laptop's clock: cameras photograph it, and a photo of it is marked."""

from __future__ import annotations

from siltline.job.clock import mark
from siltline.screens.clock_face import ClockScreen, mark_fields
from siltline.screens.field import Typed
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


async def show_clock(desk: WorkingDesk) -> None:
    """Show the laptop's clock; mark a photo of it where that is wanted."""
    told: list[str] = []

    def send(typed: Typed) -> None:
        told.append(mark(desk.job, **typed, by=desk.person or None))

    while await desk.app.push_screen_wait(ClockScreen(desk.job)):
        fields, hint = mark_fields(desk.job), say("form.clock-hint")
        if await desk.ask(say("form.clock"), fields, hint, act=send, name="clock"):
            desk.changed(told[-1])
            return
