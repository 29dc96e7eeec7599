"""What belongs to the household."""

from __future__ import annotations

from typing import Literal

from siltline.rules.sheet.systems import Standing
from siltline.rules.sheet.values import Count, Money

ThingKind = Literal[
    "photographs", "books", "documents", "textiles", "furniture", "electronics", "discs", "other"
]  # fmt: skip


class Thing(Standing):
    """A belonging, or a box of them; what it was worth is as the owner says."""

    kind: ThingKind
    quantity: Count | None = None
    value: Money | None = None
