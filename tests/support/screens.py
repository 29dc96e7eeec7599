"""A screen as text: what a person reads, and under it which style each cell has.

A picture kept as text shows in a diff what changed; letters stand for styles, spelt out below.
"""

from __future__ import annotations

import string
from typing import Any

LETTERS = string.ascii_lowercase + string.ascii_uppercase + string.digits


def _style_words(style: Any) -> str:
    if style is None:
        return "plain"
    color = style.color.name if style.color else "-"
    back = style.bgcolor.name if style.bgcolor else "-"
    flags = [
        name for name in ("bold", "dim", "italic", "underline", "reverse") if getattr(style, name)
    ]
    return " ".join([f"{color} on {back}", *flags])


def picture(app: Any) -> str:
    """Return the screen of an app as text with its styles."""
    texts, styles = [], []
    legend: dict[str, str] = {}
    for strip in app.screen._compositor.render_strips():
        text = ""
        letters = ""
        for segment in strip:
            words = _style_words(segment.style)
            letter = legend.setdefault(words, LETTERS[len(legend) % len(LETTERS)])
            text += segment.text
            letters += letter * len(segment.text)
        texts.append(text.rstrip())
        styles.append(letters)
    meaning = [f"{letter} = {words}" for words, letter in legend.items()]
    return "\n".join([*texts, "", *styles, "", *meaning]) + "\n"


def text(app: Any) -> str:
    """Return only what a person reads."""
    return "\n".join(
        "".join(segment.text for segment in strip).rstrip()
        for strip in app.screen._compositor.render_strips()
    )
