"""What an act was about, in words: of a round its points, of a step how it is called."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from siltline.job.desk import Job
from siltline.record import Event
from siltline.sentences import say

Body = Mapping[str, Any]


def _step(job: Job, body: Body) -> str:
    return job.called(body["step"])


def _photo(job: Job, body: Body) -> str:
    """Return the name of a photo as its file is called; the start of its hash where none is."""
    taken = job.board.ledger.photos.get(body["photo"])
    return taken.name if taken else str(body["photo"])[:12]


def _at_step(job: Job, body: Body) -> str:
    return f"{_photo(job, body)}, {_step(job, body)}"


def _points(_: Job, body: Body) -> str:
    return ", ".join(one["point"] for one in body["round"])


def _airs(_: Job, body: Body) -> str:
    return ", ".join(
        say(f"acted.air-{one['air']}", state=f"{one['temp']}/{one['rh']}") for one in body["round"]
    )


def _facts(_: Job, body: Body) -> str:
    return ", ".join(".".join(one["path"]) for one in body["facts"])


def _reckoned(job: Job, body: Body) -> str:
    """Return what was reckoned, of which fan or product, and at which step."""
    given = body["given"]
    which = given.get("which") or given.get("product")
    thing = say(f"acted.reckoned-{body['what']}")
    return f"{thing} ({which}), {_step(job, body)}" if which else f"{thing}, {_step(job, body)}"


def _named(_: Job, body: Body) -> str:
    return str(body["name"])


_ABOUT: Mapping[str, Callable[[Job, Body], str]] = {
    "air": _airs,
    "attached": _at_step,
    "clock-shown": _photo,
    "corrected": _facts,
    "detached": _at_step,
    "laid": lambda _, body: str(body["checklist"]["name"]),
    "meter": _named,
    "noted": _photo,
    "person": _named,
    "point": _named,
    "product": _named,
    "read": _points,
    "reckoned": _reckoned,
}


def about(job: Job, event: Event) -> str:
    """Return what an act that can be taken back was about; most are about a step."""
    return _ABOUT.get(event.kind, _step)(job, event.body)
