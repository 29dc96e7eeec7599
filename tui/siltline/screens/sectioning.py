"""The section of the place of a step: what stood in water there, drawn to the window's size."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from siltline.errors import Refusal
from siltline.job import Job
from siltline.job.section import drawable, measured, place_of_step, reader_of, section_at
from siltline.rules.section.drawing import draw
from siltline.rules.section.glyphs import GLYPHS
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.rules.reading import Reader

# Colour only repeats what mark and word say.
_STYLES = {
    GLYPHS["wetted"][0]: "bold $error",
    GLYPHS["not-wetted"][0]: "bold $success",
    GLYPHS["waterline"][0]: "$primary",
    GLYPHS["silt-line"][0]: "$primary",
    GLYPHS["highest-wet-reading"][0]: "$primary",
}


def _styled(line: str) -> Content:
    """Return a line of a drawing with its marks and lines in colour."""
    content = plain(line)
    for at, char in enumerate(line):
        if char in _STYLES:
            content = content.stylize(_STYLES[char], at, at + 1)
    return content


class SectionScreen(Screen[None]):
    """Shows the section of the place of a step; left and right go to the other places."""

    CSS_PATH = "page.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        Binding("right", "next(1)", say("key.next-place"), priority=True),
        Binding("left", "next(-1)", say("key.last-place"), priority=True),
    ]

    def __init__(self, job: Job, step_id: str, *, ascii_only: bool = False) -> None:
        """Remember what to show.

        Args:
            job: the open job.
            step_id: the step in hand.
            ascii_only: for a terminal that draws nothing else.
        """
        super().__init__()
        self.job = job
        self.step_id = step_id
        self.ascii_only = ascii_only
        self.place = ""
        self._reader: Reader | None = None

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        with VerticalScroll(id="section-box"):
            yield Static(id="section")
        yield Keys()

    def on_mount(self) -> None:
        """Read the house sheet, which only this screen pays for, and go to the step's place."""
        try:
            self._reader = reader_of(self.job)
            self.place = place_of_step(self.job, self._reader, self.step_id)
        except Refusal as fault:  # a stored sheet that this version cannot read
            self.query_one("#section", Static).update(plain(str(fault)))
            return
        self.query_one("#section-box").focus()
        self.show()

    def on_resize(self, _: events.Resize) -> None:
        """Draw to the new size."""
        self.show()

    def show(self) -> None:
        """Draw the place in the size of the window."""
        if self._reader is None:
            return
        paths = [one.path for one in drawable(self._reader)]
        told = {"number": paths.index(self.place) + 1, "count": len(paths)}
        self.query_one("#head", Static).update(plain(say("section.head", **told)))
        section = section_at(self._reader, self.place, measured(self.job))
        width, height = self.size.width - 3, self.size.height - 2  # margins; head and footer
        lines = draw(section, width, height, ascii_only=self.ascii_only, whole=True)
        self.query_one("#section", Static).update(Content("\n").join(map(_styled, lines)))

    def action_next(self, step: int) -> None:
        """Go to another place."""
        if self._reader is None:
            return
        paths = [one.path for one in drawable(self._reader)]
        self.place = paths[(paths.index(self.place) + step) % len(paths)]
        self.show()
        self.query_one("#section-box", VerticalScroll).scroll_home(animate=False)

    def action_leave(self) -> None:
        """Go back."""
        leave(self)
