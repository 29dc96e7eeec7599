"""One photo told in sentences, for the screen, the commands and the claim alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from siltline.errors import WrongUse
from siltline.job.acts import find_photo
from siltline.job.desk import Job
from siltline.job.pictures import describe
from siltline.sentences import say

Photo = dict[str, Any]  # as `pictures.describe` tells it


def described(job: Job, named: str) -> Photo:
    """Return a photo, named by its first digits or its file name, as `describe` tells it.

    Raises:
        WrongUse: no such photo, or several.
    """
    sha256 = find_photo(job, named)
    return next(photo for photo in describe(job) if photo["sha256"] == sha256)


def when(photo: Photo) -> str:
    """Return when a photo was taken by its camera, in which zone, and what its clock is worth."""
    if photo["clock"] is None:
        return say("photo.no-time")
    if photo["clock_told"]:
        stamp = photo["stamp"] or say("photos.no-stamp")
        return say("photo.when-told", told=photo["clock_told"], stamp=stamp)
    return say(
        "photo.when",
        stamp=photo["stamp"] or say("photos.no-stamp"),
        zone=say(f"report.zone.{photo['zone_from'] or 'none'}", zone=photo["zone"] or ""),
        clock=say(f"report.clock.{photo['clock']}"),
    )


def bytes_gone(job: Job, photo: Photo) -> str:
    """Return why the bytes of a photo are not in the job; "" where they are."""
    away, short = photo["withheld"], photo["sha256"][:12]
    if away:
        at = job.shown(away["at"])
        return say("report.withheld", photo=short, by=away["by"], at=at, because=away["because"])
    if photo["lost"]:
        return say("report.lost", photo=short, name=photo["name"], file=photo["lost"])
    return ""


def camera(photo: Photo) -> str:
    """Return the camera of a photo and how large it is."""
    return say(
        "photo.camera",
        camera=photo["camera"] or say("photos.no-camera"),
        size=f"{photo['width'] or '?'} x {photo['height'] or '?'}",
        bytes=photo["bytes"],
    )


def steps(photo: Photo) -> str:
    """Return the steps that use a photo."""
    if not photo["steps"]:
        return say("photo.no-step")
    return say("photo.steps", n=len(photo["steps"]), steps=", ".join(photo["steps"]))


def whole(job: Job, photo: Photo) -> Iterator[str]:
    """Yield all that is known of a photo but its EXIF strings, a sentence a line."""
    yield from photo["captions"]
    gone = bytes_gone(job, photo)
    if gone:
        yield gone
    yield camera(photo)
    yield when(photo)
    if photo["earliest_utc"]:
        told = {"earliest": photo["earliest_utc"], "latest": photo["latest_utc"]}
        yield say("photo.between", **told)
    if photo["lat"] is not None:
        yield say("photo.position", lat=f"{photo['lat']:.5f}", lon=f"{photo['lon']:.5f}")
        yield photo["place_told"]
    yield from photo["notes"]
    yield from photo["saved_anew"]
    yield steps(photo)
    for noted in photo["noted"]:
        yield say("photo.noted", by=noted["by"], at=job.shown(noted["at"]))
    yield say("photo.taken-in", name=photo["name"], at=job.shown(photo["added"]))
    yield say("photo.hash", photo=photo["sha256"])


def bytes_of(job: Job, photo: Photo) -> bytes:
    """Return the bytes of a photo.

    Raises:
        WrongUse: it was withheld, or lost.
        Broken: the bytes kept are not those that were taken in.
    """
    gone = bytes_gone(job, photo)
    if gone:
        raise WrongUse(gone)
    return job.record.photo_bytes(photo["sha256"])
