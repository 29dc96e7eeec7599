"""The desk with a person at it: who it is, what is asked, what is done and how that is told."""

from __future__ import annotations

from collections.abc import Callable

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job
from siltline.job.drafts import draft_of
from siltline.screens.desk import Desk
from siltline.screens.forms import Form, Typed


class SpeakingDesk(Desk):
    """The desk that knows who is at the keyboard and does acts for them."""

    def __init__(self, job: Job) -> None:
        super().__init__(job)
        self.person = config.person() or ""

    def do(self, act: Callable[[], object], told: str | Callable[[], str] = "") -> None:
        """Do an act and show it, or say in one sentence why not."""
        try:
            act()
        except Refusal as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            self.changed()
            return
        self.changed(told if isinstance(told, str) else told())

    async def ask(self, form: Form) -> Typed | None:
        """Put a form up; what it asks for is done when it comes back with what was typed."""
        if form.draft_name:
            form.draft = draft_of(self.job, form.draft_name)
        typed = await self.app.push_screen_wait(form)
        self.changed()
        return typed

    def know(self, name: str) -> None:
        """Remember who is at the keyboard."""
        if name.strip() and name.strip() != self.person:
            self.person = name.strip()
            config.remember_person(self.person)
