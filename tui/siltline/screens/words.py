"""Text for widgets: plain and visible, styled by us and never by what the text says."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from textual.content import Content

from siltline.judge import StepView
from siltline.rules.plan import Step
from siltline.text import visible

# Marks that any terminal draws, as on a paper list; colour only repeats what they say.
MARKS = {
    "todo": "[ ]",
    "blocked": "[.]",
    "measure": "[?]",
    "done": "[/]",
    "documented": "[x]",
    "not-done": "[-]",
    "not-needed": "[~]",
}
STATE_STYLES = {
    "todo": "$foreground",
    "blocked": "$secondary",
    "measure": "$warning",
    "done": "$warning",
    "documented": "$success",
    "not-done": "$secondary",
    "not-needed": "$secondary",
}
# ANSI Z535.4: each signal word in its colours, which the look has; the word stands there too.
SIGNAL_STYLES = {
    word: f"bold ${word.lower()}-letters on ${word.lower()}-ground"
    for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")
}


@runtime_checkable
class Respeaks(Protocol):
    """A screen that can say everything again, in the language that is spoken now."""

    async def respeak(self) -> None:
        """Say everything again; what a person does there is kept."""


def plain(text: str, style: str = "") -> Content:
    """Return outside text as content that no terminal and no markup reader obeys."""
    return (
        Content.styled(visible(text, lines=True), style)
        if style
        else Content(visible(text, lines=True))
    )


def short(view: StepView) -> str:
    """Return a step in a few words; see `called`."""
    return called(view.step)


def called(step: Step) -> str:
    """Return a step in a few words: its rule and its place."""
    act = step.rule.replace("-", " ")
    return act if step.place_kind in ("house", "crawl-space") else f"{act}, {step.place}"


def row(view: StepView) -> Content:
    """Return a step as one line of a list."""
    step = view.step
    style = STATE_STYLES[view.state]
    act = plain(f" {step.rule.replace('-', ' ')}")
    where = "" if step.place_kind in ("house", "crawl-space") else f" {step.place}"
    return Content.assemble(plain(MARKS[view.state], style), act, plain(where, "$secondary"))
