"""What was reckoned on steps: how the events fold into what stands, and what the review says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.board import Board
    from siltline.judge.ledger import Ledger
    from siltline.record import Event

FAN, WHICH = "fan", "which"


class Reckoned(Struct, frozen=True):
    """A computation on a step, as it was given; what comes out is reckoned when it is shown.

    Attributes:
        step, what: id of the step, name of the computation.
        given: name of what it asks -> text as typed.
        event, at, by: which event says so, when and who.
    """

    step: str
    what: str
    given: Mapping[str, str]
    event: str
    at: str
    by: str

    @property
    def which(self) -> str:
        """Return which fan or mixture of the step it is, in small letters; "" for the only one."""
        return (self.given.get(WHICH) or self.given.get("product") or "").casefold()


def fold_reckoned(ledger: Ledger, event: Event) -> None:
    """Let what was reckoned replace what its writer knew of the same thing at the same step."""
    body, knew = event.body, ledger.causes.knew
    new = Reckoned(body["step"], body["what"], body["given"], event.id, event.at, event.by or "")
    here = ledger.reckoned.setdefault(new.step, [])
    here[:] = [
        one for one in here
        if (one.what, one.which) != (new.what, new.which) or not knew(event.id, one.event)
    ]  # fmt: skip
    here.append(new)


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
