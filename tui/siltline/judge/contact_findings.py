"""What the review says of contact times: ended early, never ended, typed, not watched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from itertools import product

from siltline.judge.board import Board, StepView
from siltline.judge.contact import ROLES, Shows, clock_face, shows
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.judge.holding import BY_THE_LABEL
from siltline.judge.photo_findings import Seen
from siltline.rules.plan import Proof
from siltline.units import quantity


def of_contact(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    """Yield all findings on contact times, of steps that somebody says are done.

    Args:
        board: the judged job.
        seen: photo -> what is known of it from its file.
    """
    for view in board.steps.values():
        if view.word is None or view.word.kind != "ticked" or view.state == "not-needed":
            continue
        held = next((h for h in view.held if h.proof.kind == "contact-time"), None)
        if not view.wet and held is None:
            continue
        there = shows(view.wet, board.ledger.causes.knew)
        yield from _by_clock(view, there)
        if held is not None and held.met and not there.early:
            yield from _how_shown(board, view, held.proof, there, seen)


def _by_clock(view: StepView, there: Shows) -> Iterator[Finding]:
    step = view.step
    if there.early:
        one = there.early[-1]
        told = {"for": clock_face(one.counted_s), "of": one.run.minutes}
        yield finding("contact-early", "must-fix", step.id, do=step.do, step=step.id, **told)
    if there.open:
        yield finding("contact-open", "must-fix", step.id, do=step.do, step=step.id)
    if any(one.set_back for one in there.whole):
        yield finding("contact-set-back", "note", step.id, do=step.do)
    if any(one.laptops > 1 for one in there.whole):
        yield finding("contact-laptops", "note", step.id, do=step.do)


def _how_shown(
    board: Board, view: StepView, proof: Proof, there: Shows, seen: Mapping[str, Seen]
) -> Iterator[Finding]:
    """Yield what is thin about how a contact time is shown: a watched clock needs no more."""
    if any(one.watched for one in there.whole):
        return
    step = view.step
    least = 0.0 if proof.name == BY_THE_LABEL else float(quantity(proof.name).si)
    apart = _apart(board, view, max(least, there.longest_s), seen)
    if there.whole:
        if apart != "enough":
            yield finding("contact-unwatched", "note", step.id, do=step.do, step=step.id)
    elif apart is None:
        yield finding("contact-typed", "note", step.id, do=step.do, step=step.id)
    elif apart != "enough":
        about = {"do": step.do, "step": step.id}
        if apart == "near":
            yield finding("contact-photos-near", "must-fix", step.id, **about)
        else:
            yield finding("contact-photos-unsure", "note", step.id, **about)


def _apart(board: Board, view: StepView, wanted_s: float, seen: Mapping[str, Seen]) -> str | None:
    """Tell whether two photos are a contact time apart: enough, near, or unsure; None without.

    Only the time of a camera whose clock was checked tells it.
    """
    if not wanted_s:
        return None
    gone = board.ledger.withheld
    first, last = (
        [a.photo for a in view.attached if a.role == role and a.photo not in gone] for role in ROLES
    )
    found = [_pair(seen.get(one), seen.get(other), wanted_s) for one, other in product(first, last)]
    return next((told for told in ("enough", "unsure", "near") if told in found), None)


def _pair(one: Seen | None, other: Seen | None, wanted_s: float) -> str:
    if one is None or other is None:
        return "unsure"
    begin, end = one.placed, other.placed
    checked = begin.clock == end.clock == "checked"
    if not checked or begin.earliest is None or end.earliest is None:
        return "unsure"
    wanted = timedelta(seconds=wanted_s)
    if end.earliest - begin.latest >= wanted:
        return "enough"
    return "near" if end.latest - begin.earliest < wanted else "unsure"
