"""The laptop's clock in a photo: marking it, and what it tells of each camera of the job.

Corrections are computed from the marks whenever they are wanted and stand nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from msgspec import Struct

from siltline import times
from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.acts import find_photo
from siltline.job.desk import Job
from siltline.judge.clocks import agreed
from siltline.moments import read_moment
from siltline.photos.clock import Camera, Shot, camera_of, shot_of, shots_by_camera
from siltline.photos.stamps import Placed, written_offset
from siltline.record.derived import photo_facts
from siltline.sentences import say

# No two of these are alike in a picture taken from afar.
_LETTERS = "ACEFHJKLNPRTUXYZ"
_CODE_LENGTH = 4
_LONGEST_TYPED = 60
_CLOSE = timedelta(seconds=60)  # the taking-in carries milliseconds, a clock seconds
_OFFSET = re.compile(
    r"\s*(?:(?:UTC|GMT)\s*)?([+-]\d\d:\d\d)$|\s*\b(?:UTC|GMT)$|(?<=\d)Z$", re.IGNORECASE
)
_TIME = re.compile(r"\d{1,2}:\d\d:\d\d")

Facts = Mapping[str, Mapping[str, Any]]


def code_of(job: Job) -> str:
    """Return the code of a job, which its clock shows: four letters, from the id of `begun`."""
    first = next(e for e in job.record.events if e.kind == "laid" and "plan" in e.body)
    begun = first.parents[0]  # named there also where a salvage lost the entry itself
    return "".join(_LETTERS[int(digit, 16)] for digit in begun[:_CODE_LENGTH])


def ensure_code(job: Job, typed: str) -> str:
    """Return the code of a job where that was typed.

    Raises:
        WrongUse: it is another one.
    """
    code = code_of(job)
    if typed.strip().upper() != code:
        raise WrongUse(say("clock.other-code", code=typed.strip()[:_LONGEST_TYPED]))
    return code


def read_shown(job: Job, typed: str) -> datetime:
    """Return the moment that somebody read off a picture of the clock.

    Args:
        job: the open job.
        typed: date and time to the second; without an offset from UTC the zone of the house.

    Raises:
        WrongUse: no date, no seconds, no such moment, or one that the autumn gave twice.
    """
    plain = re.sub(r"(?<=\d)T(?=\d)", " ", typed.strip())
    told = _OFFSET.search(plain)
    bare = plain[: told.start()] if told else plain
    if not _TIME.search(bare) or not re.search(r"\w", _TIME.sub("", bare)):
        raise WrongUse(say("clock.whole", text=typed.strip()[:_LONGEST_TYPED]))
    moment = read_moment(bare, job.here())
    assert moment.time is not None  # noqa: S101 - looked for above
    local = datetime.combine(moment.day, moment.time)
    if told:
        offset = written_offset(told[1] or "+00:00")
        if offset is None:
            raise WrongUse(say("moment.unread", text=typed.strip()[:_LONGEST_TYPED]))
        return local.replace(tzinfo=timezone(offset))
    return _in_zone(job, local)


def _in_zone(job: Job, local: datetime) -> datetime:
    try:
        early, late = (
            local.replace(tzinfo=job.zone, fold=fold).astimezone(job.zone) for fold in (0, 1)
        )
    except (OverflowError, ValueError, OSError) as fault:  # a year that no clock has
        raise WrongUse(say("moment.unread", text=str(local))) from fault
    if early.utcoffset() != late.utcoffset():
        one, other = (moment.isoformat()[-len("+00:00") :] for moment in (early, late))
        raise WrongUse(say("clock.twice", one=one, other=other))
    return early


def mark(job: Job, photo: str, *, shown: str, code: str, by: str | None = None) -> str:
    """Mark a photo as one of the laptop's clock; return what it tells of its camera.

    Args:
        job: the open job.
        photo: first hex digits of its sha256, or its file name.
        shown: date and time in the picture, to the second.
        code: the code in the picture.
        by: who read it off, if told.

    Raises:
        WrongUse: no such photo, another code, no moment, or one after the photo was taken in;
            or a photo that names no camera or no time of its own.
        NotNow: the photo was withheld.
    """
    ensure_code(job, code)
    typed = said.text(say("acts.value"), shown, _LONGEST_TYPED)
    moment = read_shown(job, typed)
    with job.acting(changes_states=False):
        ledger, sha256 = job.board.ledger, find_photo(job, photo)
        if sha256 in ledger.withheld:
            raise NotNow(say("photos.withheld", photo=sha256[:12]))
        taken = ledger.photos[sha256]
        facts = job.record.derived(photo_facts).get(sha256, {})
        camera, shot = camera_of(facts), shot_of(facts, moment)
        if moment > times.read(taken.at) + _CLOSE:
            raise WrongUse(say("clock.later", shown=_at(job, moment), at=job.shown(taken.at)))
        if camera is None or shot is None:
            raise WrongUse(say("clock.tells-nothing", name=taken.name))
        told = times.written(moment)
        if [one.shown for one in ledger.clocks.get(sha256, [])] != [told]:
            job.append("clock-shown", {"photo": sha256, "shown": told, "typed": typed}, by)
    return say("clock.marked", camera=name_of(camera), error=error_told(_error(shot)))


def _at(job: Job, moment: datetime) -> str:
    return times.shown(moment, job.zone, seconds=True)


def _error(shot: Shot) -> int:
    return shot.told_error_s(absolute=True)


def name_of(camera: Camera) -> str:
    """Return a camera's name: its make and model, the make once."""
    make, model, _ = camera
    return model if model.lower().startswith(make.lower()) else f"{make} {model}".strip()


def error_told(error_s: int) -> str:
    """Return the error of a clock for people: 3 min 12 s fast."""
    if error_s == 0:
        return say("clock.right")
    parts, rest = [], abs(error_s)
    for unit, length in (("d", 86_400), ("h", 3_600), ("min", 60), ("s", 1)):
        count, rest = divmod(rest, length)
        parts += [f"{count} {unit}"] if count else []
    return say("clock.fast" if error_s > 0 else "clock.slow", error=" ".join(parts))


def known_shots(job: Job, facts: Facts) -> dict[Camera, tuple[Shot, ...]]:
    """Return camera -> the photos of the laptop's clock that it took and that still tell a time."""
    shown = agreed(job.board.ledger.clocks)
    return shots_by_camera({photo: times.read(at) for photo, at in shown.items()}, facts)


def told(job: Job, placed: Placed) -> str:
    """Return what the laptop's clock says of a photo, as a sentence; "" where it says nothing."""
    found = placed.correction
    if found is None:
        return ""
    if found.error_s is None:
        span = {"earliest": _at(job, found.earliest), "latest": _at(job, found.latest)}
        first = say("clock.told-set", **span)
    else:
        at = _at(job, found.earliest + timedelta(seconds=found.doubt_s))
        first = say(
            "clock.told" if placed.clock == "checked" else "clock.told-late",
            error=error_told(found.error_s),
            doubt=found.doubt_s,
            at=at,
        )
    return f"{first} {say('clock.by-model')}" if found.by_model else first


class Mark(Struct, frozen=True):
    """A photo marked as one of the laptop's clock.

    Attributes:
        photo, name: its sha256 and its file name.
        shown: what the clock in it shows, UTC; more than one where two people read it otherwise.
        error_s: how fast its camera is; None where it tells nothing (withheld, or two readings).
    """

    photo: str
    name: str
    shown: tuple[datetime, ...]
    error_s: int | None


class CameraClock(Struct, frozen=True):
    """A camera of the job, how many photos are of it, and its photos of the laptop's clock."""

    camera: Camera | None
    photos: int
    marks: tuple[Mark, ...]


def cameras(job: Job) -> list[CameraClock]:
    """Return the cameras of a job, in the order in which their first photo was taken in.

    Last, under no camera, what names none and what was marked and then withheld.
    """
    ledger, facts = job.board.ledger, job.record.derived(photo_facts)
    by_camera: dict[Camera | None, list[str]] = {}
    for photo in ledger.photos:
        by_camera.setdefault(camera_of(facts.get(photo, {})), []).append(photo)
    nameless = by_camera.pop(None, [])
    grouped = [*by_camera.items(), *([(None, nameless)] if nameless else [])]
    return [
        CameraClock(
            camera,
            len(photos),
            tuple(_mark(job, photo, facts) for photo in photos if photo in ledger.clocks),
        )
        for camera, photos in grouped
    ]


def _mark(job: Job, photo: str, facts: Facts) -> Mark:
    ledger = job.board.ledger
    read = sorted({times.read(one.shown).astimezone(UTC) for one in ledger.clocks[photo]})
    shot = shot_of(facts.get(photo, {}), times.read(ledger.clocks[photo][0].shown))
    error = _error(shot) if shot and len(read) == 1 else None
    return Mark(photo, ledger.photos[photo].name, tuple(read), error)
