"""The desk with its lists: what is next, what is found, what was read, what is still out."""

from __future__ import annotations

from textual import work

from siltline.job.close_out import review
from siltline.job.why import why
from siltline.judge.findings import is_clear
from siltline.judge.next_thing import next_thing
from siltline.screens import entries
from siltline.screens.listing import Listing
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


class LookingDesk(WorkingDesk):
    """The desk from which everything can be looked up; no act here changes the record."""

    @work
    async def look_through(self, listing: Listing) -> None:
        """Show a list; go to the step of the row that is picked."""
        step = await self.app.push_screen_wait(listing)
        if step and step in self.job.board.steps:
            self.go_to(step)
        self.changed()

    def action_next(self) -> None:
        """Go to the step that matters most now."""
        found = next_thing(self.job.board)
        if found is None:
            self.notify(say("next.none"), markup=False)
            return
        self.go_to(found.step.id)

    def action_review(self) -> None:
        """Show what stands between this job and its sign-off."""
        found = review(self.job)
        head = say("review.clear" if is_clear(found) else "review.open", n=len(found))
        self.look_through(Listing(head, entries.of_findings(found), empty=head))

    def action_search(self) -> None:
        """Search all text of the job."""
        self.look_through(
            Listing(say("search.title"), entries.of_everything(self.job), search=True)
        )

    def action_photos(self) -> None:
        """List the photos."""
        found = entries.of_photos(self.job)
        title = say("listing.photos", n=len(found))
        self.look_through(Listing(title, found, search=True))

    def action_readings(self) -> None:
        """List what was read and found out."""
        found = entries.of_readings(self.job)
        title = say("listing.readings", n=len(found))
        self.look_through(Listing(title, found, empty=say("listing.no-readings")))

    def action_put_back(self) -> None:
        """List what was taken out and is not back."""
        found = entries.of_things_out(self.job)
        title = say("listing.put-back", n=len(found))
        self.look_through(Listing(title, found, empty=say("listing.nothing-out")))

    def action_order(self) -> None:
        """List the steps by place, or by phase again."""
        self.by_place = not self.by_place
        self.fill()
        self.notify(say("desk.by-place" if self.by_place else "desk.by-phase"), markup=False)

    def action_only_open(self) -> None:
        """List only what is open, or everything again."""
        self.only_open = not self.only_open
        self.fill()
        self.notify(say("desk.only-open" if self.only_open else "desk.all-steps"), markup=False)

    def action_section(self) -> None:
        """Draw the wall, the room or the space under the floor that the step is about."""
        from siltline.screens.sectioning import SectionScreen  # noqa: PLC0415 - reads the sheet

        self.app.push_screen(SectionScreen(self.job, self.in_hand.step.id))

    def action_why(self) -> None:
        """Tell why the step in hand is there, and what would make it go away."""
        from siltline.screens.telling import TellScreen  # noqa: PLC0415

        self.app.push_screen(TellScreen([text for _, text in why(self.job, self.in_hand)]))
