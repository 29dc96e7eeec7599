"""What is known of the photos of a job: their facts, their place in time, their camera."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from siltline import times
from siltline.job.clock import known_shots, name_of, told
from siltline.job.desk import Job
from siltline.job.losses import gone
from siltline.job.places import places
from siltline.judge import photo_places
from siltline.judge.captions import captions
from siltline.judge.photo_findings import Seen
from siltline.photos.clock import camera_of, correction
from siltline.photos.signs import Sign, of_looks, of_saving, of_size
from siltline.photos.stamps import Placed, place
from siltline.record.derived import photo_facts
from siltline.record.pictures import picture_looks
from siltline.sentences import say

Facts = dict[str, Any]


def placed_photos(job: Job, facts: dict[str, dict[str, Any]] | None = None) -> dict[str, Placed]:
    """Return photo -> its place in time, for every photo whose file was read."""
    known = job.record.derived(photo_facts) if facts is None else facts
    shots = known_shots(job, known)
    found: dict[str, Placed] = {}
    for sha256, taken in job.board.ledger.photos.items():
        said = known.get(sha256)
        if said is None:
            continue
        taker = camera_of(said)
        found[sha256] = place(
            said.get("stamp"),
            said.get("offset"),
            said.get("gps_utc"),
            site=job.zone,
            taken_in=times.read(taken.at),
            correction=correction(shots.get(taker, ()), said) if taker else None,
        )
    return found


def camera(facts: dict[str, Any]) -> str:
    """Return a camera's name: its make and model, the make once; "" where the file names none."""
    found = camera_of(facts)
    return name_of(found) if found else ""


def told_signs(signs: Iterable[Sign]) -> tuple[str, ...]:
    """Return a sentence for each sign, with the number behind it."""
    return tuple(say(f"sign.{sign}", n=number) for sign, number in signs)


def notes(facts: Facts, looks: Facts | None) -> tuple[str, ...]:
    """Return what speaks against a photo as proof, in words."""
    return told_signs([*facts.get("signs", ()), *of_size(facts), *of_looks(looks)])


def seen(job: Job) -> dict[str, Seen]:
    """Return photo -> what the review wants to know of it from its file."""
    facts, looks = job.record.derived(photo_facts), job.record.derived(picture_looks)
    return {
        sha256: Seen(
            placed,
            camera(facts.get(sha256, {})),
            notes(facts.get(sha256, {}), looks.get(sha256)),
            looks.get(sha256, {}).get("likeness", ""),
        )
        for sha256, placed in placed_photos(job, facts).items()
    }


def _utc(moment: datetime | None) -> str | None:
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z") if moment else None


def _corrected(job: Job, placed: Placed | None) -> dict[str, Any]:
    found = placed.correction if placed else None
    return {
        "error_s": found.error_s if found else None,
        "doubt_s": found.doubt_s if found else None,
        "clock_told": told(job, placed) if placed else "",
    }


def _where(found: photo_places.Where | None) -> dict[str, Any]:
    if found is None:
        return {"place": None, "distance_m": None, "place_told": ""}
    apart = None if found.distance is None else round(found.distance)
    told_so = photo_places.told(found)
    return {"place": found.verdict, "distance_m": apart, "place_told": told_so}


def _withheld(job: Job, sha256: str) -> dict[str, str] | None:
    away = job.board.ledger.withheld.get(sha256)
    return {"by": away.by, "at": away.at, "because": away.because} if away else None


def _noted(job: Job, sha256: str) -> list[dict[str, str]]:
    stand = job.board.ledger.notes.get(sha256, ())
    return [{"by": one.by, "at": one.at, "note": one.note} for one in stand if one.note]


def describe(job: Job) -> list[dict[str, Any]]:
    """Return every photo as plain values, in the order of taking in.

    Keys: sha256, name, bytes, width, height (pixels as stored), camera, stamp (as the camera
    wrote it, or None), zone (`+HH:MM` or None), zone_from (camera, satellite, site: assumed),
    earliest_utc, latest_utc, clock (checked, unchecked, unset, impossible; None where
    the file cannot be read), error_s (how fast the camera's clock is, seconds; None where no
    photo of the laptop's clock tells it), doubt_s (of the corrected time), clock_told (that as
    a sentence, or ""), clock_shown (of a photo of the laptop's clock: what people read off it,
    with its offset), lat, lon (degrees), place (at-site, away, cannot-tell; None where the file
    cannot be read), distance_m (from the house, or None), place_told (that as a sentence), added,
    steps (where it is used), captions (one a use; its name where there is none), noted (by, at,
    note: what people noted on it), notes (what speaks against it), saved_anew (what a file that
    was saved anew may show, in words), withheld (by, at, because; None where its bytes are kept),
    lost (name of the damaged file that its bytes were lost with, else None).
    """
    lost = gone(job)
    facts, looks = job.record.derived(photo_facts), job.record.derived(picture_looks)
    placed, used = placed_photos(job, facts), job.board.used_photos()
    told, where = captions(job.board), places(job, facts)
    found = []
    for sha256, taken in job.board.ledger.photos.items():
        said, when = facts.get(sha256, {}), placed.get(sha256)
        found.append(
            {
                "sha256": sha256,
                "name": taken.name,
                "bytes": taken.bytes,
                "width": said.get("width"),
                "height": said.get("height"),
                "camera": camera(said) or None,
                "stamp": said.get("stamp"),
                "zone": when.zone if when else None,
                "zone_from": when.zone_from if when else None,
                "earliest_utc": _utc(when.earliest) if when else None,
                "latest_utc": _utc(when.latest) if when else None,
                "clock": when.clock if when else None,
                **_corrected(job, when),
                "clock_shown": [one.shown for one in job.board.ledger.clocks.get(sha256, [])],
                "lat": said.get("lat"),
                "lon": said.get("lon"),
                **_where(where.get(sha256)),
                "added": taken.at,
                "steps": used.get(sha256, []),
                "captions": list(told[sha256]),
                "noted": _noted(job, sha256),
                "notes": list(notes(said, looks.get(sha256))),
                "saved_anew": list(told_signs(of_saving(said))),
                "withheld": _withheld(job, sha256),
                "lost": lost.get(sha256),
            }
        )
    return found
