"""The list of photos: a small picture beside the detail, Enter looks at one, another key goes."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from siltline.job import Job
from siltline.screens.keys import enter_does
from siltline.screens.leaving import leave
from siltline.screens.listing import NOTHING, Entry, GoField, GoRows, Listed, Listing
from siltline.screens.painting import Painter
from siltline.screens.photo import PhotoScreen
from siltline.screens.picture import Picture
from siltline.sentences import say


class LookRows(GoRows):
    """Photos; Enter looks at one."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.look")


class LookField(GoField):
    """The same over photos."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.look", "submit")


class PhotoListing(Listing):
    """Every photo, found by typing."""

    ROWS = LookRows
    FIELD = LookField
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+g", "go", say("key.its-step"), key_display="Ctrl+G", priority=True),
    ]

    def __init__(self, job: Job, made: Callable[[], Listed]) -> None:
        super().__init__(made, search=True)
        self.job = job
        self.painter = Painter(job)

    def beside(self) -> ComposeResult:
        """Lay the picture out beside the detail."""
        yield Picture(self.painter, id="thumb")

    def on_unmount(self) -> None:
        """Let the file go."""
        self.painter.close()

    def show_entry(self, entry: Entry | None) -> None:
        """Show a row whole, and its photo small, where there is room for it."""
        super().show_entry(entry)
        ledger = self.job.board.ledger
        there = entry is not None and entry.photo not in ledger.withheld
        self.query_one("#thumb", Picture).look_at(entry.photo if entry and there else "")

    def pick(self, entry: Entry) -> None:
        """Look at a photo."""
        self._look_at(entry.photo)

    @work
    async def _look_at(self, photo: str) -> None:
        photos = [entry.photo for entry in self.listed]
        step = await self.app.push_screen_wait(PhotoScreen(self.job, photos, photo))
        if step:
            leave(self, Entry(NOTHING, step=step))
        else:
            await self.respeak()  # a note may stand there now

    def action_go(self) -> None:
        """Go to the step that uses the photo; where none does, to those that may be offered."""
        entry = self.in_hand
        if entry is not None and entry.photo in self.job.board.ledger.withheld:
            self.notify(say("photo.no-step"), markup=False)
        elif entry is not None:
            leave(self, entry)
