"""What the review says of fans: one blows into its space, or draws in air that wets it."""

from __future__ import annotations

from collections.abc import Iterator

from siltline.judge.board import Board
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.judge.reckoned import FAN, WHICH
from siltline.sentences import say


def of_fans(board: Board) -> Iterator[Finding]:
    """Yield a finding for each fan that blows into its space, or draws in air that wets it."""
    for view in board.steps.values():
        fans = [one for one in board.ledger.reckoned.get(view.step.id, []) if one.what == FAN]
        if not fans or view.state == "not-needed":
            continue
        step = view.step
        about = {"do": step.do, "step": step.id, "place": step.place_name}
        for one in fans:
            if one.given.get("blows") == "in":
                which = one.given.get(WHICH) or say("reckon.a-fan")
                yield finding("fan-blows-in", "must-fix", step.id, **about, which=which)
        if any(one.given.get("blows") == "out" for one in fans) and _draws_wet(board, step.place):
            yield finding("fan-draws-wet", "decide", step.id, **about)


def _draws_wet(board: Board, place: str) -> bool:
    """Tell whether the air outdoors, as read last, wets a place."""
    from siltline.judge.airs import against  # noqa: PLC0415 - reckons, where a fan runs

    held = against(board.ledger, place)
    return held is not None and held.found.verdict == "wets"
