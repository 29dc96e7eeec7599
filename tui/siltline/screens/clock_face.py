"""The laptop's clock, large enough to be photographed, and what marks a photo of it asks."""

from __future__ import annotations

from collections import Counter
from functools import partial
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import Screen
from textual.widgets import Static

from siltline.errors import Refusal
from siltline.job import Job
from siltline.job.acts import find_photo
from siltline.job.clock import code_of, ensure_code, read_shown
from siltline.moments import MONTHS
from siltline.record.derived import photo_facts
from siltline.screens.bigtype import stacked
from siltline.screens.field import Field
from siltline.screens.fields import MOST_OFFERED
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say


class ClockScreen(Screen[bool]):
    """Shows the time at the house to the second; returns whether a photo of it is to be marked."""

    CSS_PATH = "page.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("m", "mark", say("key.mark-clock")),
    ]

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.code = code_of(job)

    def compose(self) -> ComposeResult:
        """Lay the clock out."""
        yield Static(id="head")
        with Vertical(id="clock-box"):
            yield Static(id="clock")
            yield Static(id="clock-how")
        yield Keys()

    def on_mount(self) -> None:
        """Show the time, and go on with every second."""
        self.say_again()
        self.tick()

    def on_resize(self, _: events.Resize) -> None:
        """Draw to the new size."""
        self.call_after_refresh(self.show)

    def tick(self) -> None:
        """Show this second, and wake up again when the next begins."""
        self.show()
        self.set_timer(1 - self.job.clock().microsecond / 1e6, self.tick)

    def show(self) -> None:
        """Show the time as large as the window takes it."""
        how = self.query_one("#clock-how", Static)
        room = self.query_one("#clock-box").size.height - max(1, how.size.height)
        now = self.job.here()
        offset = now.isoformat()[-len("+00:00") :]
        texts = [
            f"{now:%H:%M:%S}",
            f"{now.day} {MONTHS[now.month - 1]} {now.year}".upper(),
            f"UTC{offset} {self.code}",
        ]
        lines = stacked(texts, self.size.width - 2, room)
        self.query_one("#clock", Static).update(plain("\n".join(lines), "bold"))

    def say_again(self) -> None:
        """Say what the screen is and what to do with it."""
        house = self.job.board.plan.house
        self.query_one("#head", Static).update(plain(say("clock.head", house=house)))
        self.query_one("#clock-how", Static).update(plain(say("clock.how", code=self.code)))

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        self.say_again()
        self.refresh_bindings()

    def action_mark(self) -> None:
        """Go on to the form that marks a photo."""
        leave(self, result=True)

    def action_leave(self) -> None:
        """Go back."""
        leave(self)


def _named(job: Job) -> list[str]:
    """Return the photos that nothing uses, the newest first, each by a name that is its alone."""
    photos = job.board.ledger.photos
    often = Counter(taken.name for taken in photos.values())
    unused = reversed(job.board.unused_photos())
    return [p[:12] if often[photos[p].name] > 1 else photos[p].name for p in unused]


def _seen(job: Job, typed: str) -> str:
    """Return what is known of a photo that was named: its camera and its stamp."""
    from siltline.job.pictures import camera  # noqa: PLC0415 - no first paint needs it

    photo = find_photo(job, typed)
    try:
        facts = job.record.derived(photo_facts).get(photo, {})
    except Refusal:  # the drive fails; the act will say so
        facts = {}
    stamp = facts.get("stamp") or say("photos.no-stamp")
    return f"{camera(facts) or say('photos.no-camera')}, {stamp}"


def _read(job: Job, typed: str) -> str:
    moment = read_shown(job, typed)
    return f"{moment.day} {moment:%b %Y %H:%M:%S} {moment.isoformat()[-len('+00:00') :]}"


def mark_fields(job: Job) -> list[Field]:
    """Return what is asked to mark a photo of the clock."""
    offered = _named(job)
    return [
        Field("photo", say("form.clock-photo"), next(iter(offered), ""),
              reads=partial(_seen, job), offers=tuple(offered[:MOST_OFFERED])),
        Field("shown", say("form.clock-shown"), reads=partial(_read, job)),
        Field("code", say("form.clock-code"), reads=partial(ensure_code, job)),
    ]  # fmt: skip
