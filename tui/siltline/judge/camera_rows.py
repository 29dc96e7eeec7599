"""The row of each camera: its photos in the order in which they were taken, as far as is known.

A clock that may be right gives the order by time. One that nobody set, or that names a moment
which cannot be, gives none: then the numbers count that a camera puts into its file names, one
higher for each photo up to 9999 and then from 0001 again (DCF, CIPA DC-009 / JEITA CP-3461,
from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from siltline.judge.board import Board
from siltline.judge.photo_findings import Seen

Span = tuple[float, float]  # the earliest and the latest moment, in seconds of UTC

_NO_TIME = ("unset", "impossible")
_NARROW_S = 2 * 3600.0  # a photo known less sharply than this cannot be put among others'
_TURNS_AFTER, _TURNS_BEFORE = 9000, 1000  # a row with both turned over from 9999 to 0001
_NUMBERED = re.compile(r"(.*?)(\d{4})(\.\w+)?")
_PIECES = re.compile(r"(\d+)")


class Row(Struct, frozen=True):
    """The photos of one camera.

    Attributes:
        camera: its name, or how its files are named where no file says a camera.
        photos: in the order of taking.
        at: photo -> its place in the row.
        spans: when each was taken; None where its clock says nothing.
        by_name: the order is that of the file names, for want of times.
        free: of each place, how many photos before it are at no step.
    """

    camera: str
    photos: tuple[str, ...]
    at: Mapping[str, int]
    spans: tuple[Span | None, ...]
    by_name: bool
    free: tuple[int, ...]


def is_wide(span: Span) -> bool:
    """Tell whether a photo's time is known too badly to say what came before what."""
    return span[1] - span[0] > _NARROW_S


def _span(seen: Seen | None, trusted: bool) -> Span | None:
    placed = seen.placed if seen and trusted else None
    if placed is None or placed.clock in _NO_TIME or placed.earliest is None:
        return None
    return placed.earliest.timestamp(), placed.latest.timestamp()


def _pieces(name: str) -> tuple[tuple[int, str], ...]:
    """Return what a name is ordered by: its numbers as numbers."""
    parts = _PIECES.split(name.casefold())
    return tuple((int(part), "") if n % 2 else (-1, part) for n, part in enumerate(parts))


def in_order_of_names(names: Mapping[str, str]) -> list[str]:
    """Return photos in the order of their file names; the numbers may have turned over once.

    Args:
        names: photo -> file name, all of one camera.
    """
    found = {photo: _NUMBERED.fullmatch(name) for photo, name in names.items()}
    numbers = {photo: int(match[2]) for photo, match in found.items() if match}
    if len(numbers) < len(names):
        return sorted(names, key=lambda photo: (_pieces(names[photo]), photo))
    ordered = sorted(names, key=lambda photo: (numbers[photo], names[photo], photo))
    counted = [numbers[photo] for photo in ordered]
    if not ordered or counted[0] >= _TURNS_BEFORE or counted[-1] < _TURNS_AFTER:
        return ordered
    gaps = [later - sooner for sooner, later in pairwise(counted)]
    turn = gaps.index(max(gaps)) + 1
    return ordered[turn:] + ordered[:turn]


def _row(
    camera: str, photos: Iterable[str], board: Board, seen: Mapping[str, Seen], busy: set[str]
) -> Row:
    names = {photo: board.ledger.photos[photo].name for photo in photos}
    # One impossible stamp tells that a clock is wrong; its others only happen to be possible.
    trusted = all(seen[p].placed.clock != "impossible" for p in names if p in seen)
    spans = {photo: _span(seen.get(photo), trusted) for photo in names}
    by_name = any(span is None for span in spans.values())
    ordered: Sequence[str] = (
        in_order_of_names(names)
        if by_name
        else sorted(names, key=lambda photo: (spans[photo], names[photo], photo))
    )
    free = [0]
    for photo in ordered:
        free.append(free[-1] + (photo not in busy))
    at = {photo: n for n, photo in enumerate(ordered)}
    told = tuple(spans[photo] for photo in ordered)
    return Row(camera, tuple(ordered), at, told, by_name, tuple(free))


def camera_rows(board: Board, seen: Mapping[str, Seen], busy: set[str]) -> list[Row]:
    """Return the row of each camera.

    Args:
        board: the judged job.
        seen: photo -> what is known of it from its file.
        busy: photos that a step uses, or that are not there any more.
    """
    cameras: dict[str, list[str]] = {}
    for photo, taken in board.ledger.photos.items():
        camera = seen[photo].camera if photo in seen else ""
        named = _PIECES.split(taken.name)[0]  # IMG_, DSC_: of no camera, likely of one
        cameras.setdefault(camera or named, []).append(photo)
    return [_row(camera, cameras[camera], board, seen, busy) for camera in sorted(cameras)]
