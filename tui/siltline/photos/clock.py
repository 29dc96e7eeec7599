"""The error of a camera's clock, from photos of the laptop's clock, and what follows from it.

Error = what the camera stamped - what the clock in the picture shows. Both are whole seconds, so
the error is known within a second each way. From there the camera drifts.

Where photo and shots carry an offset tag, absolute times are compared; else local stamps, and
then the zone that the camera is set to is part of the error and needs no assumption. (A phone
that changes its zone by itself and writes no offset is off by that from then on, until it is
shot again.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any, NamedTuple

from msgspec import Struct

from siltline.photos.stamps import Correction, running, written_offset

# Consumer clocks drift 20 to 50 ppm, 1.7 to 4.3 s a day (a crystal vendor's page).
DRIFT = 50e-6
STAMP_S, READ_S = 1, 1  # a stamp and a clock in a picture drop what a second has begun
_SECOND = timedelta(seconds=1)
_FIRST_YEAR, _LAST_YEAR = 1970, 2200  # of a laptop's clock


class Camera(NamedTuple):
    """Which camera took a photo, as far as its file tells; `serial` "" where it names none."""

    make: str
    model: str
    serial: str


def camera_of(facts: Mapping[str, Any]) -> Camera | None:
    """Return the camera of a photo; None where its file names none."""
    make, model, serial = ((facts.get(key) or "").strip() for key in Camera._fields)
    return Camera(make, model, serial) if make or model else None


class Shot(Struct, frozen=True, order=True):
    """A photo of the laptop's clock.

    Attributes:
        shown: what the clock in the picture says, with its offset.
        local: what the camera stamped.
        offset: that the camera wrote beside it, or None.
    """

    shown: datetime
    local: datetime
    offset: timedelta | None = None

    def told_error_s(self, *, absolute: bool) -> int:
        """Return how fast the camera is, seconds, against what the clock in the picture shows."""
        if absolute and self.offset is not None:
            return _seconds(self.local - self.offset - _naive(self.shown))
        return _seconds(self.local - self.shown.replace(tzinfo=None))


def shot_of(facts: Mapping[str, Any], shown: datetime) -> Shot | None:
    """Return what a photo of the laptop's clock tells; None where one of the two has no time."""
    local = running(facts.get("stamp"))
    if local is None or not _FIRST_YEAR <= shown.year <= _LAST_YEAR:
        return None
    return Shot(shown, local, written_offset(facts.get("offset")))


def shots_by_camera(
    shown: Mapping[str, datetime], facts: Mapping[str, Mapping[str, Any]]
) -> dict[Camera, tuple[Shot, ...]]:
    """Return camera -> its photos of the laptop's clock, by what that clock showed.

    Args:
        shown: photo -> what the clock in it shows.
        facts: photo -> what its file says; a photo without is left out.
    """
    found: dict[Camera, list[Shot]] = {}
    for photo, moment in shown.items():
        said = facts.get(photo, {})
        camera, shot = camera_of(said), shot_of(said, moment)
        if camera is not None and shot is not None:
            found.setdefault(camera, []).append(shot)
    return {camera: tuple(sorted(shots, key=_in_order)) for camera, shots in found.items()}


def _in_order(shot: Shot) -> tuple[datetime, datetime, timedelta]:
    return shot.shown, shot.local, shot.offset or timedelta()


class _Point(Struct, frozen=True):
    """A shot on one scale: what camera and laptop had, without a zone; the error as it is told."""

    camera: datetime
    laptop: datetime
    error_s: int

    @property
    def ahead(self) -> timedelta:
        return self.camera - self.laptop


def _point(shot: Shot, *, absolute: bool) -> _Point:
    camera = shot.local - (shot.offset or timedelta()) if absolute else shot.local
    return _Point(camera, _naive(shot.shown), shot.told_error_s(absolute=absolute))


def _naive(moment: datetime) -> datetime:
    return moment.astimezone(UTC).replace(tzinfo=None)


def _seconds(span: timedelta) -> int:
    return round(span.total_seconds())


def _drift_s(apart: timedelta) -> float:
    """Return how far a clock can drift between two seconds that lie so far apart."""
    return DRIFT * (abs(apart) + _SECOND).total_seconds() / (1 - DRIFT)


def _runs(points: Sequence[_Point]) -> list[list[_Point]]:
    """Return the points in runs within which nobody set the camera's clock.

    Two that differ by more than drift and the doubt of both lie in different runs.
    """
    runs = [[points[0]]]
    for before, after in pairwise(points):
        differ = abs((after.ahead - before.ahead).total_seconds())
        if differ > STAMP_S + READ_S + _drift_s(after.laptop - before.laptop):
            runs.append([])
        runs[-1].append(after)
    return runs


class _Guess(Struct, frozen=True):
    """When a photo was taken if the clock stood as in one run; `inside`: nobody set it near."""

    earliest: datetime
    latest: datetime
    error_s: int
    doubt_s: int
    inside: bool


def _guess(runs: Sequence[Sequence[_Point]], number: int, camera: datetime) -> _Guess | None:
    """Return when a photo was taken by one run; None where the clock stood otherwise then."""
    run = runs[number]
    nearest = min(run, key=lambda point: abs(camera - point.camera))
    middle = camera - nearest.ahead
    doubt_s = math.ceil(STAMP_S + READ_S + _drift_s(camera - nearest.camera))
    doubt = timedelta(seconds=doubt_s)
    earliest, latest = middle - doubt, middle + doubt
    first, last = number == 0, number == len(runs) - 1
    if not first and latest < runs[number - 1][-1].laptop:
        return None
    if not last and earliest > runs[number + 1][0].laptop + _SECOND:
        return None
    after = first or middle >= run[0].laptop
    before = last or middle <= run[-1].laptop
    return _Guess(earliest, latest, nearest.error_s, doubt_s, after and before)


def _guesses(runs: Sequence[Sequence[_Point]], camera: datetime) -> Iterator[_Guess]:
    for number in range(len(runs)):
        found = _guess(runs, number, camera)
        if found is not None:
            yield found


def correction(shots: Sequence[Shot], facts: Mapping[str, Any]) -> Correction | None:
    """Return what photos of the laptop's clock say of a photo of the same camera.

    Args:
        shots: as `shots_by_camera` gives them; their order does not matter.
        facts: what the photo's file says.

    Returns:
        None where there is no shot or the photo has no time of its own.
    """
    local, offset = running(facts.get("stamp")), written_offset(facts.get("offset"))
    if not shots or local is None:
        return None
    absolute = offset is not None and all(shot.offset is not None for shot in shots)
    runs = _runs([_point(shot, absolute=absolute) for shot in sorted(shots, key=_in_order)])
    camera = local - offset if absolute and offset is not None else local
    found = list(_guesses(runs, camera))
    if not found:  # its clock was set more often than it was shot
        return None
    sure = len(found) == 1 and found[0].inside
    return Correction(
        found[0].error_s if sure else None,
        max(guess.doubt_s for guess in found),
        min(guess.earliest for guess in found).replace(tzinfo=UTC),
        max(guess.latest for guess in found).replace(tzinfo=UTC),
        not (facts.get("serial") or "").strip(),
    )
