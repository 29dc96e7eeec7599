"""Help: the keys, the marks, the cautions, the words of the trade and the sources of this job."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from siltline.job import Job
from siltline.screens.deeds import DEEDS
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.words import MARKS, STATE_STYLES, plain
from siltline.sentences import say

# The words that a newcomer asks about; each is told in the catalogue.
GLOSSARY = (
    "silt-line", "waterline", "highest-wet-reading", "hold-point", "weep-hole", "ground-cover",
    "tear-out", "category", "gfci", "contact-time", "dew-point", "put-back", "record-number",
    "proof-of-loss", "actual-cash-value",
)  # fmt: skip


class HelpScreen(Screen[None]):
    """One page of help."""

    CSS_PATH = "page.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("question_mark", "leave", ""),
    ]

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job

    def compose(self) -> ComposeResult:
        """Lay the help out."""
        yield Static(plain(say("help-page.title")), id="head")
        with VerticalScroll():
            yield Static(self._page(), id="help-text")
        yield Keys()

    def _page(self) -> Content:
        sections = {
            "keys": self._keys(),
            "marks": self._marks(),
            "cautions": [plain(say("help-page.hazards"))],
            "words": [plain(say(f"glossary.{word}")) for word in GLOSSARY],
            "sources": [plain(source) for source in self._sources()],
        }
        lines: list[Content] = []
        for name, told in sections.items():
            lines += [plain(say(f"help-page.{name}"), "bold $primary"), *told, plain("")]
        return Content("\n").join(lines)

    def _keys(self) -> list[Content]:
        keys = [("\u2191 \u2193", "steps"), *((deed.name, deed.says) for deed in DEEDS)]
        keys.append(("PgUp PgDn", "card"))
        return [plain(f"{key:<11}{say(f'help-key.{action}')}") for key, action in keys]

    def _marks(self) -> list[Content]:
        return [
            Content.assemble(plain(mark, STATE_STYLES[state]), plain(f"  {say(f'state.{state}')}"))
            for state, mark in MARKS.items()
        ]

    def _sources(self) -> list[str]:
        """Return every source that a step of this job names, once."""
        steps = self.job.board.steps.values()
        return sorted({source for view in steps for source in view.step.sources})

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        await self.recompose()

    def action_leave(self) -> None:
        """Go back."""
        leave(self)
