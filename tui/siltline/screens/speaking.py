"""The desk with a person at it: who it is, what is asked, what is done and how that is told."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from textual.content import Content
from textual.events import Key
from textual.screen import Screen
from textual.timer import Timer

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job
from siltline.screens.ahead import LONGEST_S, Ahead
from siltline.screens.desk import Desk
from siltline.screens.field import Field, Typed

Answer = TypeVar("Answer")


class SpeakingDesk(Desk):
    """The desk that knows who is at the keyboard and does acts for them."""

    def __init__(self, job: Job) -> None:
        super().__init__(job)
        self.person = config.person() or ""
        self.ahead = Ahead(self._hand_on)
        self.asking = False  # whether what is up was put up by a deed that goes on after it
        self._patience: Timer | None = None

    def do(self, act: Callable[[], object], told: str | Callable[[], str] = "") -> None:
        """Do an act and show it, or say in one sentence why not."""
        try:
            act()
        except Refusal as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            self.changed()
            return
        self.changed(told if isinstance(told, str) else told())

    def _hand_on(self, key: Key) -> None:
        self.app.post_message(key)

    def hold_keys(self) -> None:
        """Hold keys until what is on its way has come up, or does not come."""
        self.ahead.begin()
        if self._patience is not None:
            self._patience.stop()
        self._patience = self.set_timer(LONGEST_S, self.ahead.end)

    async def _asked(self, screen: Screen[Answer]) -> Answer | None:
        """Put a screen up and return what comes of it; what is typed meanwhile is for it."""
        self.hold_keys()
        self.asking = True
        try:
            return await self.app.push_screen_wait(screen)
        finally:
            self.asking = False

    async def ask(
        self, title: str, fields: Sequence[Field], hint: str = "", *, name: str = "", **how: Any
    ) -> Typed | None:
        """Put a form up; what it asks for is done when it comes back with what was typed.

        Args:
            title: what the form is for.
            fields: what is asked.
            hint: what stands above the fields.
            name: of the draft that keeps what is typed; "" keeps none.
            how: as `Form` takes it.
        """
        from siltline.job.drafts import draft_of  # noqa: PLC0415 - no first paint needs a form
        from siltline.screens.forms import Form  # noqa: PLC0415

        draft = draft_of(self.job, name) if name else None
        typed = await self._asked(Form(title, fields, hint, draft=draft, **how))
        self.changed()
        return typed

    async def pick(
        self, title: str, rows: Sequence[tuple[str, Content]], **how: Any
    ) -> tuple[str, str] | None:
        """Let one of several rows be picked; see `Pick`."""
        from siltline.screens.picking import Pick  # noqa: PLC0415 - no first paint needs it

        return await self._asked(Pick(title, rows, **how))

    def know(self, name: str) -> None:
        """Remember who is at the keyboard."""
        if name.strip() and name.strip() != self.person:
            self.person = name.strip()
            config.remember_person(self.person)
