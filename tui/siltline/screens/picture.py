"""A photo on the screen, as large as its place allows; drawn anew when that changes."""

from __future__ import annotations

import textwrap

from rich.segment import Segment
from textual import events, work
from textual.strip import Strip
from textual.widget import Widget

from siltline.errors import Refusal
from siltline.screens.blocks import in_colour, in_greys
from siltline.screens.looks import LookApp
from siltline.screens.painting import Painter
from siltline.sentences import say
from siltline.text import visible


class Picture(Widget):
    """Shows a photo in half blocks, or in characters where the look has no colours to spare."""

    DEFAULT_CSS = """
    Picture { width: 1fr; height: 1fr; background: $background; color: $foreground; }
    """

    def __init__(self, painter: Painter, *, id: str | None = None) -> None:  # noqa: A002 - Textual's word
        """Take what draws it."""
        super().__init__(id=id)
        self.painter = painter
        self.photo = ""
        self.instead = ""
        self._lines: list[Strip] = []

    def look_at(self, photo: str, instead: str = "") -> None:
        """Show a photo, or the sentence that stands in its place; "" shows nothing."""
        self.photo, self.instead = photo, instead
        self.redraw()

    def on_mount(self) -> None:
        """Draw again where the look changes."""
        self.watch(self.app, "theme", self.redraw, init=False)

    def on_resize(self, _: events.Resize) -> None:
        """Draw to the new size."""
        self.redraw()

    def redraw(self) -> None:
        """Draw what is to be seen, in the look of now."""
        if self.instead or not self.photo:
            self.workers.cancel_node(self)
            self._say(self.instead)
        elif self.size.width and self.size.height:
            self._say(say("photo.drawing"))
            self._draw(self.photo, *self.size)

    @work(exclusive=True)
    async def _draw(self, photo: str, width: int, height: int) -> None:
        try:
            cells = await self.painter.cells(photo, width, 2 * height)
        except (Refusal, OSError) as fault:
            self._say(str(fault))
            return
        app = self.app
        assert isinstance(app, LookApp)  # noqa: S101 - every app of ours is
        if not cells[0]:
            self._say(say("photo.undrawn"))
        elif app.shows_colours:
            self._show(in_colour(cells))
        else:
            greys = in_greys(cells, dark=app.is_dark)
            self._show([Strip([Segment(line)], len(line)) for line in greys])

    def _say(self, sentence: str) -> None:
        told = textwrap.wrap(visible(sentence), max(self.size.width, 1))
        self._show([Strip([Segment(line)]) for line in told])

    def _show(self, lines: list[Strip]) -> None:
        self._lines = lines
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return a line of the picture, in the middle of its place."""
        width, style = self.size.width, self.rich_style
        if y >= len(self._lines):
            return Strip.blank(width, style)
        line = self._lines[y].crop(0, width)
        left = (width - line.cell_length) // 2
        return Strip([Segment(" " * left, style), *line.apply_style(style)]).adjust_cell_length(
            width, style
        )
