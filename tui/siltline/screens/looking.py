"""The desk with its lists: what is next, what is found, what was read, what is still out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import work
from textual.content import Content

from siltline.job.contact import wet_now
from siltline.judge.next_thing import next_thing
from siltline.screens.deeds import possible
from siltline.screens.words import plain
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.listing import Entry


class LookingDesk(WorkingDesk):
    """The desk from which everything can be looked up; no act here changes the record."""

    @work
    async def look_through(self, name: str) -> None:
        """Show a list; go to the step of the row that is picked."""
        from siltline.screens.entries import listing  # noqa: PLC0415 - no first paint needs it

        entry = await self.app.push_screen_wait(listing(name, self.job))
        if entry is not None:
            await self.went_to(entry)
        self.changed()

    async def went_to(self, entry: Entry) -> None:
        """Go to the step of a row that was picked."""
        if entry.step in self.job.board.steps:
            self.go_to(entry.step)

    def action_next(self) -> None:
        """Go to the step that matters most now."""
        found = next_thing(self.job.board, wet_now(self.job))
        if found is None:
            self.notify(say("next.none"), markup=False)
            return
        self.go_to(found.step.id)

    def action_review(self) -> None:
        """Show what stands between this job and its sign-off."""
        self.look_through("review")

    def action_search(self) -> None:
        """Search all text of the job."""
        self.look_through("search")

    def action_photos(self) -> None:
        """List the photos."""
        self.look_through("photos")

    @work
    async def action_step_photos(self) -> None:
        """Look at the photos of the step in hand."""
        from siltline.screens.photo import PhotoScreen  # noqa: PLC0415 - no first paint needs it

        taken = self.job.board.ledger.photos
        photos = list(dict.fromkeys(a.photo for a in self.in_hand.attached if a.photo in taken))
        if not photos:
            self.notify(say("desk.none-attached"), markup=False)
            return
        await self.app.push_screen_wait(PhotoScreen(self.job, photos, photos[0], goes=False))
        self.changed()

    def action_readings(self) -> None:
        """List what was read and found out."""
        self.look_through("readings")

    def action_put_back(self) -> None:
        """List what was taken out and is not back."""
        self.look_through("put-back")

    def action_deadlines(self) -> None:
        """List the deadlines of the loss."""
        self.look_through("deadlines")

    def action_order(self) -> None:
        """List the steps by place, or by phase again."""
        self.by_place = not self.by_place
        self.fill()
        told = say("desk.by-place" if self.by_place else "desk.by-phase")
        self.notify(told, title="order", markup=False)

    def action_only_open(self) -> None:
        """List only what is open, or everything again."""
        self.only_open = not self.only_open
        self.fill()
        told = say("desk.only-open" if self.only_open else "desk.all-steps")
        self.notify(told, title="open", markup=False)

    def action_section(self) -> None:
        """Draw the wall, the room or the space under the floor that the step is about."""
        from siltline.screens.sectioning import SectionScreen  # noqa: PLC0415 - reads the sheet

        self.app.push_screen(SectionScreen(self.job, self.in_hand.step.id))

    @work
    async def action_palette(self) -> None:
        """List what can be done now, at this step; do what is picked."""
        deeds = [d for d in possible(self.job, self.in_hand) if d.says != "palette"]
        rows = [
            (
                d.action,
                Content.assemble(plain(f"{d.name:<8}", "bold"), plain(say(f"help-key.{d.says}"))),
            )
            for d in deeds
        ]
        picked = await self.pick(say("palette.title"), rows)
        if picked is not None:
            await self.run_action(picked[0])

    def action_help(self) -> None:
        """Show the keys, the marks, the words and the sources of this job."""
        from siltline.screens.helping import HelpScreen  # noqa: PLC0415

        self.app.push_screen(HelpScreen(self.job))

    def action_why(self) -> None:
        """Tell why the step in hand is there, and what would make it go away."""
        from siltline.job.why import why  # noqa: PLC0415
        from siltline.screens.telling import TellScreen  # noqa: PLC0415

        self.app.push_screen(TellScreen([text for _, text in why(self.job, self.in_hand)]))
