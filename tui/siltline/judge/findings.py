"""The review: what stands between this job and its sign-off, and what to do about each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta
from itertools import pairwise

from siltline import times
from siltline.judge.board import OPEN_STATES, Board, StepView, said
from siltline.judge.contact_findings import of_contact
from siltline.judge.fan_findings import of_fans
from siltline.judge.finding import WEIGHTS, Finding
from siltline.judge.finding import found as finding
from siltline.judge.photo_findings import Seen, of_photos
from siltline.judge.photo_places import Where, of_places
from siltline.judge.proofs import gap
from siltline.judge.put_back import still_to_put_back
from siltline.units import quantity

# A round an hour or two late is no gap: a day's crew does not begin at the same minute.
ROUND_LEEWAY = 1.25


def _open(view: StepView) -> Iterator[Finding]:
    step = view.step
    if view.state not in OPEN_STATES:
        return
    about = {"do": step.do, "place": step.place_name, "step": step.id}
    if view.state == "measure":
        yield finding("measure-first", "must-fix", step.id, **about, measure=view.measure)
    elif view.state == "blocked":
        waits = ", ".join(view.waiting)
        yield finding("waiting", "must-fix", step.id, **about, needs=waits)
    elif view.state == "todo":
        yield finding("not-done-yet", "must-fix", step.id, **about)
    else:
        lacks = " ".join(gap(held) for held in view.missing)
        yield finding("proof-missing", "must-fix", step.id, **about, gaps=lacks)


def _left_out(board: Board) -> Iterator[Finding]:
    for view in board.steps.values():
        if view.state != "not-done" or view.word is None:
            continue
        step, word = view.step, view.word
        about = {"do": step.do, "by": word.by, "because": word.because}
        if view.overridden:
            yield finding("overridden", "note", step.id, **about, licence=word.licence)
        elif step.hold_point:
            about["reason"] = step.hold_point
            yield finding("safety-left-out", "must-fix", step.id, **about)
        else:
            yield finding("left-out", "note", step.id, **about)


def _early(board: Board) -> Iterator[Finding]:
    """Yield a finding for each word given without knowing of any word on what it needs."""
    ticks, knew = board.ledger.ticks, board.ledger.causes.knew
    for view in board.steps.values():
        word = view.word
        if word is None or word.kind != "ticked":
            continue
        for need in view.step.needs:
            held = board.steps.get(need)
            given = ticks.get(need, [])
            if held is None or not held.step.hold_point or not given:
                continue
            if not any(knew(word.event, tick) for tick in given):
                yield finding("ticked-early", "must-fix", view.step.id, do=view.step.do, need=need)


def _over_left_out(board: Board) -> Iterator[Finding]:
    """Yield a finding for each word on a step that can kill, upon something that was left out.

    With a licence in the word a licensed person answers for it: that is to be decided.
    """
    for view in board.steps.values():
        word = view.word
        if not view.over_left_out or word is None or word.kind != "ticked":
            continue
        weight = "decide" if word.licence else "must-fix"
        about = {"do": view.step.do, "by": word.by, "needs": ", ".join(view.left_out)}
        yield finding("over-left-out", weight, view.step.id, **about)


def _side_by_side(board: Board) -> Iterator[Finding]:
    """Yield a finding for each step and fact on which laptops, unknown to each other, differ."""
    for view in board.steps.values():
        if view.disputed:
            words = " ".join(map(said, view.disputed))
            yield finding("two-words", "decide", view.step.id, do=view.step.do, words=words)
    for found in board.ledger.disputed():
        values = "; ".join(f"{one.value} ({one.by})" for one in found)
        what = " / ".join(found[0].path)
        yield finding("two-values", "decide", found[0].step, what=what, values=values)
    for device in sorted({later.device for _, later in board.ledger.lone}):
        yield finding("copied-laptop", "note", None, device=device)


def _rounds(board: Board) -> Iterator[Finding]:
    """Yield a note for each repeated step with rounds further apart than it wants."""
    for view in board.steps.values():
        step, rounds = view.step, board.ledger.rounds.get(view.step.id, [])
        if not step.every or len(rounds) < 2:  # noqa: PLR2004 - apart are two
            continue
        most = timedelta(seconds=float(quantity(step.every).si)) * ROUND_LEEWAY
        at = [times.read(one.at) for one in rounds]
        late = sum(after - before > most for before, after in pairwise(at))
        if late:
            yield finding("round-missed", "note", step.id, do=step.do, every=step.every, n=late)


def _put_back(board: Board) -> Iterator[Finding]:
    for out, back in still_to_put_back(board):
        thing, where = out.step.takes_out, out.step.place_name
        step = back.step.id if back else out.step.id
        if back is not None and back.state == "not-done" and back.word is not None:
            told = {"by": back.word.by, "because": back.word.because}
            decided = back.word.decided_by
            if decided in back.step.may_stay_out:
                told["decided"] = decided
                yield finding("stays-out-settled", "note", step, thing=thing, place=where, **told)
            else:
                yield finding("stays-out", "decide", step, thing=thing, place=where, **told)
        else:
            yield finding("still-to-put-back", "must-fix", step, thing=thing, place=where)


def _dropped(board: Board) -> Iterator[Finding]:
    """Yield a note for each step that a fact found out on the job took away."""
    for gone in board.plan.dropped:
        told = {"do": gone.step.do, "because": gone.because}
        yield finding("not-needed", "note", gone.step.id, **told)


def _gone(board: Board, gone: Mapping[str, str]) -> Iterator[Finding]:
    """Yield a finding for each photo that was lost with a damaged file, and one for all entries."""
    used, photos = board.used_photos(), board.ledger.photos
    for photo in [one for one in photos if one in gone]:
        told = {"name": photos[photo].name, "photo": photo[:12], "file": gone[photo]}
        steps = used.get(photo, [])
        yield finding(
            "photo-lost", "must-fix" if steps else "note", next(iter(steps), None), **told
        )
    entries = [one for one in gone if one not in photos]
    if entries:
        yield finding("entries-lost", "note", None, n=len(entries), file=gone[entries[0]])


def _points(board: Board) -> Iterator[Finding]:
    if board.ledger.points:
        from siltline.judge.drying import of_points  # noqa: PLC0415 - reckons, where there are any

        yield from of_points(board)


def findings(
    board: Board,
    seen: Mapping[str, Seen] | None = None,
    gone: Mapping[str, str] | None = None,
    where: Mapping[str, Where] | None = None,
    late: Iterable[Finding] = (),
) -> list[Finding]:
    """Return all findings, gravest first, in the order of the plan.

    Args:
        board: the judged job.
        seen: photo -> what is known of it from its file.
        gone: id or sha256 -> name of the damaged file from which it could not be brought over.
        where: photo -> where it was taken.
        late: what is said of deadlines, which need a clock.
    """
    listed: list[Finding] = []
    for view in board.steps.values():
        listed += _open(view)
    for look in (_left_out, _over_left_out, _early, _side_by_side, _put_back, _dropped, _rounds):
        listed += look(board)
    listed += of_photos(board, seen or {})
    listed += of_contact(board, seen or {})
    listed += of_fans(board)
    listed += of_places(board, where or {})
    listed += _gone(board, gone or {})
    listed += _points(board)
    listed += late
    if board.ledger.changed_after_signoff:
        listed.append(finding("changed-after-signoff", "note", None))
    return sorted(listed, key=lambda one: WEIGHTS.index(one.weight))
