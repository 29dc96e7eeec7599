"""What the review says of photos: at no step, at two, doubtful, out of time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from siltline.judge.board import Board, StepView
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.photos.signs import near_copies
from siltline.photos.stamps import Placed
from siltline.sentences import say


class Seen(Struct, frozen=True):
    """What is known of a photo from its file.

    Attributes:
        placed: its place in time.
        camera: its name, "" where the file names none.
        notes: what speaks against it as proof, in words.
        likeness: 16 hex digits, as `sketch.likeness` returns them; "" where it was not drawn.
    """

    placed: Placed
    camera: str = ""
    notes: tuple[str, ...] = ()
    likeness: str = ""


def _uses(board: Board) -> Iterator[Finding]:
    photos, used = board.ledger.photos, board.used_photos()
    for photo in board.unused_photos():
        yield finding("photo-unused", "note", None, name=photos[photo].name, photo=photo[:12])
    for photo, steps in used.items():
        if len(steps) > 1 and photo in photos:
            told = {"name": photos[photo].name, "steps": ", ".join(steps)}
            yield finding("photo-shared", "note", steps[0], **told)


def _doubtful(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    used = board.used_photos()
    for photo, known in seen.items():
        if known.notes and photo in used:
            told = {"name": board.ledger.photos[photo].name, "photo": photo[:12]}
            notes = " ".join(known.notes)
            yield finding("photo-doubtful", "note", used[photo][0], notes=notes, **told)


def _alike(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    """Yield pairs that look alike at two steps, or in one role of a step."""
    used, photos = board.used_photos(), board.ledger.photos
    drawn = {p: seen[p].likeness for p in used if p in seen and seen[p].likeness}
    for one, other, apart in near_copies(drawn):
        here, there = (_roles(board, photo, used[photo]) for photo in (one, other))
        if here.keys() == there.keys() and all(here[s].isdisjoint(there[s]) for s in here):
            continue  # as a before and an after of one wall may
        told = {"one": photos[one].name, "other": photos[other].name, "n": apart}
        steps = ", ".join(here | there)
        yield finding("photo-alike", "note", used[other][0], steps=steps, **told)


def _roles(board: Board, photo: str, steps: Iterable[str]) -> dict[str, set[str]]:
    """Return step -> the roles that a photo has there."""
    attached = board.ledger.attached
    return {step: {a.role for a in attached[step] if a.photo == photo} for step in steps}


def _clocks(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    """Yield one finding a camera and kind of wrong clock, however many photos it took."""
    used = board.used_photos()
    wrong: dict[tuple[str, str], list[str]] = {}
    for photo, known in seen.items():
        if known.placed.clock in ("impossible", "unset") and photo in used:
            wrong.setdefault((known.placed.clock, known.camera), []).append(photo)
    for (clock, camera), photos in wrong.items():
        names = ", ".join(board.ledger.photos[photo].name for photo in photos[:3])
        told = {"n": len(photos), "camera": camera or say("photos.no-camera"), "names": names}
        yield finding(f"clock-{clock}", "note", used[photos[0]][0], **told)


def _out_of_order(view: StepView, seen: Mapping[str, Seen]) -> Iterator[tuple[str, str]]:
    """Yield before and after photos of one camera of which the after was taken first."""
    by_role: dict[str, list[str]] = {}
    for attached in view.attached:
        by_role.setdefault(attached.role, []).append(attached.photo)
    for before in by_role.get("before", ()):
        for after in by_role.get("after", ()):
            one, other = seen.get(before), seen.get(after)
            if one is None or other is None or not one.camera or one.camera != other.camera:
                continue
            earliest = one.placed.earliest
            if earliest and other.placed.earliest and other.placed.latest <= earliest:
                yield before, after


def _reversed(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    photos = board.ledger.photos
    for view in board.steps.values():
        for before, after in _out_of_order(view, seen):
            names = {"before": photos[before].name, "after": photos[after].name}
            step = view.step
            yield finding("before-after-reversed", "decide", step.id, do=step.do, **names)


def of_photos(board: Board, seen: Mapping[str, Seen]) -> Iterator[Finding]:
    """Yield all findings on photos.

    Args:
        board: the judged job.
        seen: photo -> what is known of it from its file.
    """
    yield from _uses(board)
    for look in (_doubtful, _alike, _clocks, _reversed):
        yield from look(board, seen)
