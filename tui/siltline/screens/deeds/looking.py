"""What is looked up from the desk; no deed here changes the record."""

from __future__ import annotations

from textual.content import Content

from siltline.job.contact import wet_now
from siltline.judge.next_thing import next_thing
from siltline.screens.deeds import possible
from siltline.screens.listing import Entry
from siltline.screens.words import plain
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


async def look_through(desk: WorkingDesk, name: str) -> None:
    """Show a list; go to the step of the row that is picked."""
    from siltline.screens.entries import listing  # noqa: PLC0415 - reads all that is listed

    entry = await desk.app.push_screen_wait(listing(name, desk.job))
    if entry is not None:
        await _went_to(desk, entry)
    desk.changed()


async def _went_to(desk: WorkingDesk, entry: Entry) -> None:
    """Go to the step of a row; of a photo at no step, offer the steps that it may be of."""
    if entry.photo and not entry.step:
        from siltline.screens.deeds.offering import offer_steps  # noqa: PLC0415 - reads photos

        await offer_steps(desk, entry.photo)
    elif entry.step in desk.job.board.steps:
        desk.go_to(entry.step)


def next_step(desk: WorkingDesk) -> None:
    """Go to the step that matters most now."""
    found = next_thing(desk.job.board, wet_now(desk.job))
    if found is None:
        desk.notify(say("next.none"), markup=False)
        return
    desk.go_to(found.step.id)


async def review(desk: WorkingDesk) -> None:
    """Show what stands between this job and its sign-off."""
    await look_through(desk, "review")


async def search(desk: WorkingDesk) -> None:
    """Search all text of the job."""
    await look_through(desk, "search")


async def photos(desk: WorkingDesk) -> None:
    """List the photos."""
    await look_through(desk, "photos")


async def step_photos(desk: WorkingDesk) -> None:
    """Look at the photos of the step in hand."""
    from siltline.screens.photo import PhotoScreen  # noqa: PLC0415 - reads photos

    taken = desk.job.board.ledger.photos
    here = list(dict.fromkeys(a.photo for a in desk.in_hand.attached if a.photo in taken))
    if not here:
        desk.notify(say("desk.none-attached"), markup=False)
        return
    await desk.app.push_screen_wait(PhotoScreen(desk.job, here, here[0], goes=False))
    desk.changed()


async def readings(desk: WorkingDesk) -> None:
    """List what was read and found out."""
    await look_through(desk, "readings")


async def put_back(desk: WorkingDesk) -> None:
    """List what was taken out and is not back."""
    await look_through(desk, "put-back")


async def deadlines(desk: WorkingDesk) -> None:
    """List the deadlines of the loss."""
    await look_through(desk, "deadlines")


def order(desk: WorkingDesk) -> None:
    """List the steps by place, or by phase again."""
    desk.by_place = not desk.by_place
    desk.fill()
    told = say("desk.by-place" if desk.by_place else "desk.by-phase")
    desk.notify(told, title="order", markup=False)


def only_open(desk: WorkingDesk) -> None:
    """List only what is open, or everything again."""
    desk.only_open = not desk.only_open
    desk.fill()
    told = say("desk.only-open" if desk.only_open else "desk.all-steps")
    desk.notify(told, title="open", markup=False)


def section(desk: WorkingDesk) -> None:
    """Draw the wall, the room or the space under the floor that the step is about."""
    from siltline.screens.sectioning import SectionScreen  # noqa: PLC0415 - reads the sheet

    desk.app.push_screen(SectionScreen(desk.job, desk.in_hand.step.id))


async def palette(desk: WorkingDesk) -> None:
    """List what can be done now, at this step; do what is picked."""
    rows = [
        (
            deed.runs,
            Content.assemble(plain(f"{deed.name:<8}", "bold"), plain(say(f"help-key.{deed.says}"))),
        )
        for deed in possible(desk.job, desk.in_hand)
        if deed.says != "palette"
    ]
    picked = await desk.pick(say("palette.title"), rows)
    if picked is not None:
        await desk.run_action(picked[0])


def show_help(desk: WorkingDesk) -> None:
    """Show the keys, the marks, the words and the sources of this job."""
    from siltline.screens.helping import HelpScreen  # noqa: PLC0415

    desk.app.push_screen(HelpScreen(desk.job))


def why(desk: WorkingDesk) -> None:
    """Tell why the step in hand is there, and what would make it go away."""
    from siltline.job.why import why  # noqa: PLC0415
    from siltline.screens.telling import TellScreen  # noqa: PLC0415

    desk.app.push_screen(TellScreen([text for _, text in why(desk.job, desk.in_hand)]))
