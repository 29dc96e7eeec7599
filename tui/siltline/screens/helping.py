"""Help: the keys, the marks and the cautions, on one page."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, Static

from siltline.screens.deeds import DEEDS
from siltline.screens.leaving import leave
from siltline.screens.words import MARKS, STATE_STYLES, plain
from siltline.sentences import say


class HelpScreen(Screen[None]):
    """One page of help."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("question_mark", "leave", ""),
    ]

    def compose(self) -> ComposeResult:
        """Lay the help out."""
        yield Static(plain(say("help-page.title")), id="head")
        with VerticalScroll():
            yield Static(self._page(), id="help-text")
        yield Footer()

    def _page(self) -> Content:
        lines: list[Content] = [plain(say("help-page.keys"), "bold $primary")]
        keys = [("\u2191 \u2193", "steps"), *((deed.name, deed.action) for deed in DEEDS)]
        keys.append(("PgUp PgDn", "card"))
        lines += [plain(f"{key:<11}{say(f'help-key.{action}')}") for key, action in keys]
        lines += [plain(""), plain(say("help-page.marks"), "bold $primary")]
        lines += [
            Content.assemble(plain(mark, STATE_STYLES[state]), plain(f"  {say(f'state.{state}')}"))
            for state, mark in MARKS.items()
        ]
        lines += [plain(""), plain(say("help-page.cautions"), "bold $primary")]
        lines.append(plain(say("help-page.hazards")))
        return Content("\n").join(lines)

    def action_leave(self) -> None:
        """Go back."""
        leave(self)
