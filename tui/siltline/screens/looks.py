"""How every app of ours looks: its theme, its sizes, what is done to every line on its way out."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import ClassVar

from rich.console import Console
from textual.binding import Binding
from textual.filter import ANSIToTruecolor, LineFilter, Monochrome
from textual.types import CSSPathType

from siltline import config
from siltline.screens.drawing import Ascii, Colourless, Legible, draws_ascii_only
from siltline.screens.notices import NoticeApp
from siltline.screens.themes import PALETTES, THEMES, after, fitting
from siltline.sentences import say, speak

_ON_KEYS = {"escape": "Esc", "tab": "Tab"}


class LookApp(NoticeApp):
    """An app in the look that was chosen, or that fits the terminal, in the language chosen."""

    CSS_PATH: ClassVar[CSSPathType | None] = "siltline.tcss"
    ENABLE_COMMAND_PALETTE = False
    # Below 72 columns the list stands above the step in hand; from 110 on the tray has room.
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - Textual's own type
        (0, "-slim"),
        (72, "-narrow"),
        (110, "-wide"),
        (160, "-broad"),
    ]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (23, "-middle"), (34, "-tall")]  # noqa: RUF012

    def __init__(self) -> None:
        self.language = speak(config.language())
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        colours = Console(force_terminal=True).color_system
        # Set without its watcher, which would read the style sheets twice before the first paint.
        look = fitting(config.theme(), colours, no_colour=self.no_color)
        self.set_reactive(LookApp.theme, look)
        self.stylesheet.set_variables(self.get_css_variables())
        stream = sys.__stdout__ if os.name == "nt" else sys.__stderr__  # where Textual writes
        self._ascii = draws_ascii_only(os.environ, getattr(stream, "encoding", None))
        self._few_colours = colours not in ("256", "truecolor")
        self._drawn: dict[str, list[LineFilter]] = {}

    @property
    def shows_colours(self) -> bool:
        """Tell whether a picture can be shown in its colours, in this look on this terminal."""
        few = self.no_color or self._few_colours or self.theme == "sixteen"
        return not few and not self._ascii

    @property
    def draws_ascii(self) -> bool:
        """Tell whether this terminal is to get ASCII alone."""
        return self._ascii

    @property
    def is_dark(self) -> bool:
        """Tell whether letters are lighter than their ground."""
        return PALETTES[self.theme].dark

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return what is done to every line: Textual's own, but without its greys, then ours.

        Nothing of ours is dim or of a colour that the terminal chooses, so nothing is to be put
        right there either.
        """
        ours = self._drawn.get(self.theme)
        if ours is None:
            ours = self._drawn[self.theme] = self._filters_of(self.theme)
        given = super().get_line_filters()
        theirs = (one for one in given if not isinstance(one, Monochrome | ANSIToTruecolor))
        return [*theirs, *ours]

    def _filters_of(self, look: str) -> list[LineFilter]:
        palette = PALETTES[look]
        found: list[LineFilter] = [Legible(palette.floor, thin_black=look == "sixteen")]
        if self.no_color:
            found.append(Colourless(palette.ground))
        if self._ascii:
            found.append(Ascii())
        return found

    def get_key_display(self, binding: Binding) -> str:
        """Return what is written on a key."""
        return _ON_KEYS.get(binding.key) or super().get_key_display(binding)

    def action_next_theme(self) -> None:
        """Change to the next look, and keep it."""
        if self.no_color:
            self.notify(say("look.no-colour"), markup=False)
            return
        self.theme = after(self.theme)
        config.keep("theme", self.theme)
        self.notify(say(f"look.{self.theme}"), title="look", markup=False, timeout=2)
