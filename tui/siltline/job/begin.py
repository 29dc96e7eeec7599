"""Begins a job: a checklist laid over a house sheet, in a new file."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from siltline import __version__, config, resources, times
from siltline.errors import Refusal, Unreadable, WrongUse
from siltline.job.desk import Job, open_job
from siltline.record import Event, seal
from siltline.record.connect import with_ending
from siltline.record.making import make_record
from siltline.rules.faults import meant
from siltline.rules.plan import Plan, whole_to_json
from siltline.sentences import say
from siltline.text import storable

DEFAULT_CHECKLIST = "river-flood"


def template() -> str:
    """Return a house sheet with every key explained, to be filled in."""
    return resources.house_template().read_text(encoding="utf-8")


def write_template(path: Path) -> None:
    """Write the template of a house sheet into a new file.

    Raises:
        WrongUse: a file of that name is there already, or it cannot be written.
    """
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(template())
    except FileExistsError as fault:
        raise WrongUse(say("template.there", name=path)) from fault
    except (OSError, ValueError) as fault:  # a name that no file can have is a ValueError
        raise WrongUse(say("template.unwritable", name=path, fault=fault)) from fault


def checklist_folder(name_or_path: str) -> Path:
    """Return where a checklist lies: one that ships, by name, or any, by path.

    Raises:
        WrongUse: neither.
    """
    names = resources.checklist_names()
    if name_or_path in names:
        return resources.folder("checklists") / name_or_path
    if Path(name_or_path).exists():
        return Path(name_or_path)
    raise WrongUse(say("checklist.unknown", name=name_or_path) + meant(name_or_path, names))


def _first_events(
    plan: Plan, texts: Mapping[str, str], house: tuple[str, str], stamp: dict[str, Any]
) -> list[Event]:
    name, text = house
    begun = seal("begun", {"house": plan.house, "program": __version__}, parents=(), **stamp)
    laid = {
        "engine": __version__,
        "checklist": {"name": plan.checklist, "texts": dict(texts)},
        "sheet": {"name": storable(name), "text": text},
        "plan": whole_to_json(plan),
    }
    return [begun, seal("laid", laid, parents=(begun.id,), **stamp)]


def begin(
    house: Path,
    path: Path,
    *,
    checklist: str = DEFAULT_CHECKLIST,
    by: str | None = None,
    clock: times.Clock = times.now,
    device: str | None = None,
) -> Job:
    """Lay a checklist over a house sheet and make the job file.

    Args:
        house: the house sheet.
        path: the job file to make; it gets the ending `.siltline` where it has none.
        checklist: name of a checklist that ships, or a path to one.
        by: who begins it, if told.
        clock: for the time in the record.
        device: id of this laptop; its own by default.

    Raises:
        WrongUse: no such checklist or sheet, or a file of that name is there already.
        Faulty: the sheet or the checklist has faults; all of them are named.
        Unreadable: the folder cannot be written to; or the job was made, which it says, but
            cannot be opened.
    """
    # ruamel and pydantic: 150 ms that opening a job does not pay
    from siltline.rules import files  # noqa: PLC0415

    texts = files.checklist_texts(checklist_folder(checklist))
    sheet = files.text_of(house)
    plan = files.plan_from(texts, sheet, house.name)
    target = with_ending(path)
    own = device or config.device()
    stamp = {"at": times.written(clock()), "device": own, "by": by}
    make_record(target, _first_events(plan, texts, (house.name, sheet), stamp))
    try:
        job = open_job(target, clock, own)
    except Refusal as fault:
        raise Unreadable(say("begin.not-opened", job=target.name, because=fault)) from fault
    with suppress(Refusal), job.acting():
        pass  # writes the step table for those who read with SQL; each act writes it again
    return job
