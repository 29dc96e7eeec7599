"""One thing the review found."""

from __future__ import annotations

from msgspec import Struct

from siltline.sentences import say

WEIGHTS = ("must-fix", "decide", "note")


class Finding(Struct, frozen=True):
    """One thing the review found: its code, its weight, the step if there is one, words."""

    code: str
    weight: str
    step: str | None
    text: str
    remedy: str


def found(code: str, weight: str, step: str | None, /, **values: object) -> Finding:
    """Return a finding with its sentence and its remedy from the catalogue."""
    return Finding(
        code, weight, step, say(f"finding.{code}", **values), say(f"remedy.{code}", **values)
    )


def is_clear(listed: list[Finding]) -> bool:
    """Tell whether nothing must be fixed and nothing must be decided."""
    return all(one.weight == "note" for one in listed)
