"""Puts a belonging into the house sheet of a job, and its photo where a step wants one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.job import said
from siltline.job.acts import attach, find_photo
from siltline.job.desk import Job
from siltline.job.laying import correct, sheet_as_it_stands
from siltline.judge import StepView
from siltline.judge.proofs import roles
from siltline.rules.compare import Change
from siltline.rules.faults import meant
from siltline.sentences import say
from siltline.text import slug

GROUP = "contents"
KEYS = ("kind", "room", "space", "height", "wet", "quantity", "value")


class Entered(Struct, frozen=True):
    """A belonging that was entered.

    Attributes:
        id: its key in the house sheet.
        changes: what it changes in the plan.
        photo: sha256 of its photo, or "".
        steps: the steps that the photo was attached to.
    """

    id: str
    changes: Sequence[Change]
    photo: str = ""
    steps: tuple[str, ...] = ()


Places = tuple[Mapping[str, str], Sequence[str]]


def places_of(job: Job) -> Places:
    """Return id -> name of the rooms of the house, and the spaces where no room is."""
    from typing import get_args  # noqa: PLC0415

    from siltline.rules.sheet.systems import Space  # noqa: PLC0415 - imports the shapes

    found = sheet_as_it_stands(job)
    rooms = {
        path.split(".")[1]: value
        for path, value in found.items()
        if path.startswith("rooms.") and path.endswith(".name") and path.count(".") == 2  # noqa: PLR2004
    }
    return rooms, get_args(Space)


def where_of(places: Places, typed: str) -> dict[str, str]:
    """Return the key of the sheet for where something stands: `room` or `space`.

    Args:
        places: as `places_of` gives them.
        typed: a room by its name or its key, or a space.

    Raises:
        WrongUse: the house has no such room, and there is no such space.
    """
    if not typed.strip():
        return {}
    rooms, spaces = places
    wanted = typed.strip().casefold()
    for room, name in rooms.items():
        if wanted in (room, name.casefold()):
            return {"room": room}
    spelt = "-".join(wanted.replace("-", " ").split())
    if spelt in spaces:
        return {"space": spelt}
    raise WrongUse(say("contents.where", where=typed.strip()) + meant(wanted, [*rooms, *spaces]))


def enter(
    job: Job,
    name: str,
    facts: Mapping[str, str],
    *,
    by: str = "",
    note: str = "",
    photo: str = "",
    take: bool = True,
) -> Entered:
    """Enter a belonging; return what that changes in the plan.

    Args:
        job: the open job.
        name: what people call it.
        facts: keys of `KEYS` and their values as typed; "" for what is not known.
        by: who found it; needed to record it.
        note: a note.
        photo: a file on disk, or a photo of the job by its file name or first digits.
        take: record it; else nothing is recorded, and no photo taken in.

    Raises:
        WrongUse: no name, or a fact or a photo that cannot be.
        NotNow: the job was signed off.
    """
    kept = said.text(say("acts.name"), name, said.LONGEST_NAME)
    if not kept:
        raise WrongUse(say("contents.no-name"))
    key = _free_key(job, kept)
    told = {"name": kept, **{k: v.strip() for k, v in facts.items() if v.strip()}}
    settings = [f"{GROUP}.{key}.{what}={value}" for what, value in told.items()]
    if not take:
        return Entered(key, correct(job, settings).changes)
    said.person(by)
    if photo.strip():
        correct(job, settings)  # refuses what cannot be before the photo comes in
    taken = _photo(job, photo.strip(), by) if photo.strip() else ""
    changes = correct(job, settings, by=by, note=note, take=True).changes
    wants = [view for view in job.board.steps.values() if _wants_photo(view, key)] if taken else []
    for view in wants[:1]:  # one photo shows one thing; what else wants one is told by its step
        attach(job, view.step.id, taken, by=by)
    return Entered(key, changes, taken, tuple(view.step.id for view in wants[:1]))


def _free_key(job: Job, name: str) -> str:
    """Return a key for the sheet that no belonging has yet."""
    taken = {path.split(".")[1] for path in sheet_as_it_stands(job) if path.startswith(f"{GROUP}.")}
    key, number = slug(name), 2
    while key in taken:
        key, number = f"{slug(name)}-{number}", number + 1
    return key


def _wants_photo(view: StepView, key: str) -> bool:
    of_it = view.step.place_kind == GROUP and view.step.place == key
    return of_it and any(roles(held.proof) for held in view.missing)


def _photo(job: Job, named: str, by: str) -> str:
    """Return the sha256 of a photo of the job, or of a file, which is taken in.

    Raises:
        WrongUse: neither, or the file is no photo.
    """
    path = Path(named.strip('"')).expanduser()
    try:
        on_disk = path.is_file()
    except (OSError, ValueError):  # a name that no file can have
        on_disk = False
    if not on_disk:
        return find_photo(job, named)
    from siltline.job.add import add  # noqa: PLC0415 - reads photos

    outcome = add(job, [path], by=by).outcomes[0]
    if not outcome.sha256:
        raise WrongUse(say("add.refused", n=1, names=path.name, because=outcome.because))
    return outcome.sha256
