"""The review: what stands between this job and its sign-off, and what to do about each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from siltline.judge.board import OPEN_STATES, Board, StepView, said
from siltline.judge.proofs import gap
from siltline.photos.stamps import Placed
from siltline.sentences import say

WEIGHTS = ("must-fix", "decide", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the review found: its code, its weight, the step if there is one, words."""

    code: str
    weight: str
    step: str | None
    text: str
    remedy: str


def _finding(code: str, weight: str, step: str | None, /, **values: object) -> Finding:
    return Finding(
        code, weight, step, say(f"finding.{code}", **values), say(f"remedy.{code}", **values)
    )


def _open(view: StepView) -> Iterator[Finding]:
    step = view.step
    if view.state not in OPEN_STATES:
        return
    about = {"do": step.do, "place": step.place_name, "step": step.id}
    if view.state == "measure":
        yield _finding("measure-first", "must-fix", step.id, **about, measure=view.measure)
    elif view.state == "blocked":
        waits = ", ".join(view.waiting)
        yield _finding("waiting", "must-fix", step.id, **about, needs=waits)
    elif view.state == "todo":
        yield _finding("not-done-yet", "must-fix", step.id, **about)
    else:
        lacks = " ".join(gap(held) for held in view.missing)
        yield _finding("proof-missing", "must-fix", step.id, **about, gaps=lacks)


def _left_out(board: Board) -> Iterator[Finding]:
    for view in board.steps.values():
        if view.state != "not-done" or view.word is None:
            continue
        step, word = view.step, view.word
        about = {"do": step.do, "by": word.by, "because": word.because}
        if step.hold_point:
            about["reason"] = step.hold_point
            yield _finding("safety-left-out", "must-fix", step.id, **about)
        else:
            yield _finding("left-out", "note", step.id, **about)


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
                yield _finding("ticked-early", "must-fix", view.step.id, do=view.step.do, need=need)


def _side_by_side(board: Board) -> Iterator[Finding]:
    """Yield a finding for each step and fact on which laptops, unknown to each other, differ."""
    for view in board.steps.values():
        if view.disputed:
            words = " ".join(map(said, view.disputed))
            yield _finding("two-words", "decide", view.step.id, do=view.step.do, words=words)
    for found in board.ledger.disputed():
        values = "; ".join(f"{one.value} ({one.by})" for one in found)
        what = " / ".join(found[0].path)
        yield _finding("two-values", "decide", found[0].step, what=what, values=values)
    for device in sorted({later.device for _, later in board.ledger.lone}):
        yield _finding("copied-laptop", "note", None, device=device)


def still_to_put_back(board: Board) -> list[tuple[StepView, StepView | None]]:
    """Return what is out and not back: the step that took it, the step that returns it."""
    returning = {v.step.puts_back: v for v in board.steps.values() if v.step.puts_back}
    found: list[tuple[StepView, StepView | None]] = []
    for view in board.steps.values():
        taken = view.step.takes_out and view.word is not None and view.word.kind == "ticked"
        back = returning.get(view.step.id)
        if taken and not (back and back.state in ("done", "documented")):
            found.append((view, back))
    return found


def _put_back(board: Board) -> Iterator[Finding]:
    for out, back in still_to_put_back(board):
        thing, where = out.step.takes_out, out.step.place_name
        step = back.step.id if back else out.step.id
        if back is not None and back.state == "not-done" and back.word is not None:
            told = {"by": back.word.by, "because": back.word.because}
            yield _finding("stays-out", "decide", step, thing=thing, place=where, **told)
        else:
            yield _finding("still-to-put-back", "must-fix", step, thing=thing, place=where)


def _photos(board: Board) -> Iterator[Finding]:
    photos, used = board.ledger.photos, board.used_photos()
    for photo in board.unused_photos():
        yield _finding("photo-unused", "note", None, name=photos[photo].name, photo=photo[:12])
    for photo, steps in used.items():
        if len(steps) > 1 and photo in photos:
            told = {"name": photos[photo].name, "steps": ", ".join(steps)}
            yield _finding("photo-shared", "note", steps[0], **told)


def _clocks(
    board: Board, placed: Mapping[str, Placed], cameras: Mapping[str, str]
) -> Iterator[Finding]:
    """Yield one finding a camera and kind of wrong clock, however many photos it took."""
    used = board.used_photos()
    wrong: dict[tuple[str, str], list[str]] = {}
    for photo, when in placed.items():
        if when.clock in ("impossible", "unset") and photo in used:
            wrong.setdefault((when.clock, cameras.get(photo, "")), []).append(photo)
    for (clock, camera), photos in wrong.items():
        names = ", ".join(board.ledger.photos[photo].name for photo in photos[:3])
        told = {"n": len(photos), "camera": camera or say("photos.no-camera"), "names": names}
        yield _finding(f"clock-{clock}", "note", used[photos[0]][0], **told)


def _reversed(
    board: Board, placed: Mapping[str, Placed], cameras: Mapping[str, str]
) -> Iterator[Finding]:
    """Yield a finding where one camera took the `after` of a step before its `before`."""
    for view in board.steps.values():
        by_role: dict[str, list[str]] = {}
        for attached in view.attached:
            by_role.setdefault(attached.role, []).append(attached.photo)
        for before in by_role.get("before", ()):
            for after in by_role.get("after", ()):
                one, other = placed.get(before), placed.get(after)
                same = cameras.get(before) and cameras.get(before) == cameras.get(after)
                if (
                    one
                    and other
                    and same
                    and one.earliest
                    and other.earliest
                    and (other.latest <= one.earliest)
                ):
                    names = {
                        k: board.ledger.photos[p].name
                        for k, p in (("before", before), ("after", after))
                    }
                    yield _finding(
                        "before-after-reversed", "decide", view.step.id, do=view.step.do, **names
                    )


def findings(
    board: Board,
    placed: Mapping[str, Placed] | None = None,
    cameras: Mapping[str, str] | None = None,
) -> list[Finding]:
    """Return all findings, gravest first, in the order of the plan.

    Args:
        board: the judged job.
        placed: photo -> its place in time, where it is known.
        cameras: photo -> camera, so that only stamps of one clock are compared.
    """
    found: list[Finding] = []
    for view in board.steps.values():
        found += _open(view)
    for look in (_left_out, _early, _side_by_side, _put_back):
        found += look(board)
    found += _photos(board)
    for compare in (_clocks, _reversed):
        found += compare(board, placed or {}, cameras or {})
    if board.ledger.changed_after_signoff:
        found.append(_finding("changed-after-signoff", "note", None))
    return sorted(found, key=lambda finding: WEIGHTS.index(finding.weight))


def is_clear(found: list[Finding]) -> bool:
    """Tell whether nothing must be fixed and nothing must be decided."""
    return all(finding.weight == "note" for finding in found)
