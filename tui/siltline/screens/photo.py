"""One photo large, or two side by side, with all that is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job
from siltline.job.drafts import draft_of
from siltline.job.noting import note_photo, standing_note
from siltline.job.one_photo import Photo, bytes_gone, camera, steps, when
from siltline.job.pictures import describe
from siltline.judge.pairing import Pair, pairs_with
from siltline.record.derived import photo_facts
from siltline.screens.asking import by_field
from siltline.screens.field import Field, Typed
from siltline.screens.forms import Form
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.looks import LookApp
from siltline.screens.painting import Painter
from siltline.screens.picture import Picture
from siltline.screens.words import plain
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.app import SiltlineApp


class PhotoScreen(Screen[str | None]):
    """Shows a photo of a list and goes to the next one.

    Returns:
        The step that the person wants to go to, or None.
    """

    CSS_PATH = "photo.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        # Priority: what can be scrolled would take the arrows for itself.
        Binding("right", "next(1)", say("key.next-photo"), priority=True),
        Binding("left", "next(-1)", say("key.last-photo"), show=False, priority=True),
        ("e", "exif", say("key.exif")),
        ("b", "beside", say("key.beside")),
        ("n", "note", say("key.note")),
        ("o", "view", say("key.view")),
        ("I", "pixels", say("key.pixels")),
        ("g", "go", say("key.its-step")),
    ]

    def __init__(self, job: Job, photos: Sequence[str], at: str, *, goes: bool = True) -> None:
        """Take the photos of a list, the one to begin with, and whether one may go to its step."""
        super().__init__()
        self.goes = goes
        self.job = job
        self.photos = tuple(photos)
        self.number = self.photos.index(at)
        self.pairs: list[Pair] = []  # side by side, as long as there are some
        self.pair = 0
        self.known = self._known()
        self.painter = Painter(job)

    def _known(self) -> dict[str, Photo]:
        return {photo["sha256"]: photo for photo in describe(self.job)}

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        with Horizontal(id="photo-body"):
            for side in ("one", "other"):
                with Vertical(classes="photo-side", id=f"side-{side}"):
                    yield Static(classes="photo-name", id=f"name-{side}")
                    yield Picture(self.painter, id=f"picture-{side}")
            with VerticalScroll(id="photo-exif"):
                yield Static(id="exif")
        yield Static(id="photo-grey")
        with VerticalScroll(id="photo-told"):
            yield Static(id="photo-words")
        yield Keys()

    def on_mount(self) -> None:
        """Show the first photo."""
        self.watch(self.app, "theme", self._show_words, init=False)
        self.query_one("#photo-told").focus()
        self.show()

    def on_unmount(self) -> None:
        """Let the file go."""
        self.painter.close()

    @property
    def photo(self) -> str:
        """Return the photo in hand; of a pair the one that it was found by, if it is in it."""
        here = self.photos[self.number]
        pair = self.pairs[self.pair].photos if self.pairs else (here,)
        return here if here in pair else pair[0]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002
        """Leave out the key that goes to the step where nothing waits for that."""
        return self.goes or action != "go"

    # what is shown

    def show(self) -> None:
        """Show what is in hand: one photo, or a pair."""
        self.set_class(bool(self.pairs), "-pair")
        pair = self.pairs[self.pair] if self.pairs else None
        uses = (pair.first, pair.second) if pair else ()
        for side, use in zip(("one", "other"), uses, strict=False):
            told = f"{use.role}: {self.known[use.photo]['name']}"
            self.query_one(f"#name-{side}", Static).update(plain(told, "bold"))
        shown = [use.photo for use in uses] or [self.photo]
        for side, photo in zip(("one", "other"), [*shown, ""], strict=False):
            gone = bytes_gone(self.job, self.known[photo]) if photo else ""
            self.query_one(f"#picture-{side}", Picture).look_at(photo, gone)
        self._show_words()
        if self.has_class("-exif"):
            self._read_exif(self.photo)

    def _head(self) -> str:
        if self.pairs:
            told = {"number": self.pair + 1, "count": len(self.pairs)}
            return say("photo.head-pair", place=self.pairs[self.pair].step.step.place_name, **told)
        told = {"number": self.number + 1, "count": len(self.photos)}
        return say("photo.head", name=self.known[self.photo]["name"], **told)

    def _show_words(self) -> None:
        """Tell what is known of what is shown."""
        self.query_one("#head", Static).update(plain(self._head()))
        shown = self.pairs[self.pair].photos if self.pairs else (self.photo,)
        lines = [line for photo in shown for line in self._words(self.known[photo])]
        app = self.app
        grey = isinstance(app, LookApp) and not app.shows_colours
        self.set_class(grey, "-grey")
        self.query_one("#photo-grey", Static).update(plain(say("photo.grey"), "$secondary"))
        self.query_one("#photo-words", Static).update(Content("\n").join(lines))

    def _words(self, photo: Photo) -> list[Content]:
        captions = [plain(caption, "bold") for caption in photo["captions"]]
        if self.pairs:
            return [*captions, plain(when(photo), "$secondary")]
        doubts = [plain(note, "$warning") for note in photo["notes"]]
        told = [steps(photo), when(photo), camera(photo), *photo["saved_anew"]]
        return [*captions, *doubts, *(plain(line, "$secondary") for line in told)]

    @work(exclusive=True, group="exif")
    async def _read_exif(self, photo: str) -> None:
        """List what EXIF says of a photo, as its camera wrote it."""
        listed = self.query_one("#exif", Static)
        listed.update(plain(say("photo.reading")))
        try:
            tags = await self.painter.tags(photo)
        except (Refusal, OSError) as fault:
            listed.update(plain(str(fault)))
            return
        lines = [
            Content.assemble(plain(f"{group} {name} ", "$secondary"), plain(value))
            for group, name, value in tags
        ]
        listed.update(Content("\n").join(lines or [plain(say("photo.no-exif"))]))
        self.query_one("#photo-exif", VerticalScroll).scroll_home(animate=False)

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        self.known = self._known()
        self.show()
        self.refresh_bindings()

    # what keys do

    def action_next(self, step: int) -> None:
        """Go to another photo, or to another pair."""
        if self.pairs:
            self.pair = (self.pair + step) % len(self.pairs)
        else:
            self.number = (self.number + step) % len(self.photos)
        self.show()

    def action_exif(self) -> None:
        """Show what EXIF says beside the photo, or take it away again."""
        self.pairs = []
        self.toggle_class("-exif")
        beside = self.has_class("-exif")
        self.query_one("#photo-exif" if beside else "#photo-told").focus()
        self.show()

    def action_beside(self) -> None:
        """Show before and after side by side, or the one photo again."""
        found = [] if self.pairs else pairs_with(self.job.board, self.photo)
        there = [pair for pair in found if all(photo in self.known for photo in pair.photos)]
        if not self.pairs and not there:
            self.notify(say("photo.no-pair"), markup=False)
            return
        self.remove_class("-exif")
        self.pairs, self.pair = there, 0
        self.show()

    @work
    async def action_note(self) -> None:
        """Note something on the photo in hand."""
        photo = self.photo

        def note(typed: Typed) -> None:
            note_photo(self.job, photo, typed["note"], by=typed["by"])
            config.remember_person(typed["by"].strip())

        fields = [
            Field("note", say("form.photo-note"), standing_note(self.job, photo), needed=False),
            by_field(self.job, config.person() or ""),
        ]
        name = f"note {photo[:16]}"
        title = say("form.note-on", name=self.known[photo]["name"])
        form = Form(title, fields, act=note, draft=draft_of(self.job, name))
        if await self.app.push_screen_wait(form):
            self.known = self._known()
            self.show()

    @work
    async def action_view(self) -> None:
        """Open the bytes of the photo, as its camera wrote them, in the system's viewer."""
        photo, app = self.photo, self._siltline()
        try:
            data = await self.painter.bytes_of(photo)
            form = self.job.record.derived(photo_facts).get(photo, {}).get("format")
            app.viewer.show(photo, data, form)
        except Refusal as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            return
        self.notify(say("photo.opened"), markup=False)

    @work(exclusive=True, group="pixels")
    async def action_pixels(self) -> None:
        """Show the photo in hand in the pixels of the terminal, where it has some."""
        from siltline.screens.pixels import Look  # noqa: PLC0415 - only where a person asks

        photo, app = self.photo, self._siltline()
        known = self.known[photo]
        told = bytes_gone(self.job, known)
        if not told:
            caption = ". ".join([known["name"], *known["captions"][:1]])
            wish = partial(self.painter.pixels, photo)
            told = await app.lend(Look(caption, wish, ascii_only=app.draws_ascii))
        if told:
            self.notify(told, markup=False, severity="warning", timeout=12)

    def _siltline(self) -> SiltlineApp:
        from siltline.screens.app import SiltlineApp  # noqa: PLC0415 - it holds this screen

        assert isinstance(self.app, SiltlineApp)  # noqa: S101 - no other app has photos
        return self.app

    def action_go(self) -> None:
        """Go to the step that uses the photo."""
        used = self.known[self.photo]["steps"]
        there = self.pairs[self.pair].step.step.id if self.pairs else "".join(used[:1])
        if not there:
            self.notify(say("photo.no-step"), markup=False)
            return
        leave(self, there)

    def action_leave(self) -> None:
        """Go back: to the one photo first, where two are shown."""
        if self.pairs:
            self.action_beside()
            return
        leave(self)
