"""The review as a list; Enter goes to the step."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.job import Job
from siltline.job.close_out import review
from siltline.judge.findings import is_clear
from siltline.screens.keys import Keys
from siltline.screens.rows import FindingRows
from siltline.screens.words import plain
from siltline.sentences import say

_STYLES = {"must-fix": "bold $error", "decide": "bold $warning", "note": "$secondary"}


class ReviewScreen(Screen[str | None]):
    """What stands between this job and its sign-off; returns the step that was picked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
    ]

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.found = review(job)

    def compose(self) -> ComposeResult:
        """Lay the review out."""
        clear = is_clear(self.found)
        head = say("review.clear" if clear else "review.open", n=len(self.found))
        yield Static(plain(head), id="head")
        yield FindingRows(
            *(
                Option(
                    Content.assemble(
                        plain(f"{say(f'weight.{f.weight}'):<16}", _STYLES[f.weight]), plain(f.text)
                    ),
                    id=str(number),
                )
                for number, f in enumerate(self.found)
            ),
            markup=False,
            id="review-list",
        )
        yield Static(id="review-detail")
        yield Keys()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show a finding whole, with what to do."""
        finding = self.found[int(event.option.id or 0)]
        step = f"{finding.step}\n" if finding.step else ""
        detail = Content.assemble(
            plain(step, "$secondary"), plain(finding.text), "\n", plain(finding.remedy, "bold")
        )
        self.query_one("#review-detail", Static).update(detail)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go to the step of a finding."""
        event.stop()
        self.dismiss(self.found[int(event.option.id or 0)].step)

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        here = self.query_one(FindingRows).highlighted
        self.found = review(self.job)
        await self.recompose()
        rows = self.query_one(FindingRows)
        rows.highlighted = here
        rows.focus()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
