"""What the review says of fans: one blows into its space, or draws in air that wets it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from siltline.judge.board import Board, StepView
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.judge.reckoned import FAN, WHICH
from siltline.sentences import say


def of_fans(board: Board) -> Iterator[Finding]:
    """Yield a finding for each fan that blows in, or draws in air that wets or was not read."""
    for view in board.steps.values():
        if view.state == "not-needed":
            continue
        fans = [one for one in board.ledger.reckoned.get(view.step.id, []) if one.what == FAN]
        step = view.step
        about = {"do": step.do, "step": step.id, "place": step.place_name}
        for one in fans:
            if one.given.get("blows") == "in":
                which = one.given.get(WHICH) or say("reckon.a-fan")
                yield finding("fan-blows-in", "must-fix", step.id, **about, which=which)
        if any(one.given.get("blows") == "out" for one in fans) or _draws_in(view):
            yield from _drawn_in(board, view, about)


def _draws_in(view: StepView) -> bool:
    """Tell whether the way that was chosen draws outdoor air in."""
    word = view.word
    way = view.step.way(word.way) if word is not None and word.kind == "ticked" else None
    return way is not None and bool(way.draws_in)


def _drawn_in(board: Board, view: StepView, about: Mapping[str, str]) -> Iterator[Finding]:
    """Yield what the airs read last say of outdoor air that a fan draws into a place."""
    from siltline.judge.airs import against  # noqa: PLC0415 - reckons, where a fan runs

    held = against(board.ledger, view.step.place)
    if held is None:
        yield finding("fan-air-unread", "decide", view.step.id, **about)
    elif held.found.verdict == "wets":
        yield finding("fan-draws-wet", "decide", view.step.id, **about)
