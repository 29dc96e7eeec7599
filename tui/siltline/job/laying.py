"""Lays the plan of a job again: with facts found out, facts corrected, or a changed checklist."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from siltline import __version__
from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.desk import Job
from siltline.job.facts import FactChange, fact_changes, flat
from siltline.rules.compare import Change, compare
from siltline.rules.faults import Faulty
from siltline.rules.plan import Plan, difference
from siltline.sentences import say

if TYPE_CHECKING:
    from pathlib import Path

Facts = Mapping[tuple[str, ...], str | bool | None]


def sheet_of(job: Job) -> Mapping[str, str]:
    """Return the name and the text of the house sheet that the plan was laid on."""
    sheet: Mapping[str, str] = job.board.ledger.laid_upon()["sheet"]
    return sheet


def laid_with(job: Job, facts: Facts, texts: Mapping[str, str] | None = None) -> Plan:
    """Return the plan of the job's own sheet with facts put in, by its checklist or other texts.

    Raises:
        WrongUse: a fact does not fit the sheet; told without the place in a file.
        Faulty: the other checklist has faults.
    """
    from siltline.rules import files  # noqa: PLC0415 - reads YAML, only here and to begin

    sheet = sheet_of(job)
    own = job.board.ledger.laid_upon()["checklist"]["texts"]
    try:
        return files.plan_from(texts or own, sheet["text"], sheet["name"], facts.items())
    except Faulty as fault:
        if texts is not None:
            raise
        raise WrongUse(say("acts.no-such-fact", fault=fault.faults[0].text)) from fault


def lay(job: Job, plan: Plan, by: str | None, *, because: str, body: dict[str, Any]) -> None:
    """Append what a plan changes; call inside `acting`.

    Args:
        job: the open job.
        plan: the plan as it is from now on.
        by: who lays it.
        because: why steps that apply no more went away.
        body: what else the event holds: `for` (the act that asks for it), or a checklist.
    """
    change = difference(job.board.plan, plan, because)
    job.append("laid", {"engine": __version__, "change": change, **body}, by)
    job.rejudge()


def _must_be_unsigned(job: Job) -> None:
    signed = job.board.ledger.signoffs
    if signed:
        last = signed[-1]
        raise NotNow(say("lay.signed", by=last.by, at=job.shown(last.at)))


def _of_the_claim(facts: Facts) -> bool:
    """Tell whether facts are only of the claim, which goes on when the work is signed."""
    from siltline.rules.sheet.site import OF_THE_CLAIM  # noqa: PLC0415 - needs the shapes

    return all(path[0] == "loss" and path[-1] in OF_THE_CLAIM for path in facts)


def read_settings(
    settings: Sequence[str], now: datetime | None = None
) -> tuple[dict[tuple[str, ...], str | bool | None], dict[tuple[str, ...], str]]:
    """Return the facts of `rooms.kitchen.waterline=34 in`; nothing after = means not known.

    Args:
        settings: as typed.
        now: the time at the site, for moments that are told from it.

    Returns:
        The facts, and what was typed where the fact is a reading of it.

    Raises:
        WrongUse: no =, no path before it, or a value that cannot be.
    """
    from siltline.rules.sheet.asking import as_typed  # noqa: PLC0415 - needs the shapes

    found: dict[tuple[str, ...], str | bool | None] = {}
    said_so: dict[tuple[str, ...], str] = {}
    for setting in settings:
        path, equals, value = setting.partition("=")
        keys = tuple(key.strip() for key in path.split("."))
        if not equals or not all(keys):
            raise WrongUse(say("lay.no-setting", setting=setting))
        typed = said.text(say("acts.value"), value)
        found[keys] = as_typed(keys, typed, now) if typed else None
        if isinstance(found[keys], str) and found[keys] != typed:
            said_so[keys] = typed
    return found, said_so


class Corrected(Struct, frozen=True):
    """What a correction comes to: each fact as it was and as it is, and what that changes."""

    facts: tuple[FactChange, ...]
    changes: Sequence[Change]


def _corrected(
    job: Job, facts: Facts, said_so: Mapping[tuple[str, ...], str]
) -> tuple[Plan, Corrected]:
    """Return the plan with facts put in, and what they change."""
    from siltline.rules.files import sheet_data  # noqa: PLC0415 - reads YAML

    known, sheet = job.board.ledger.facts(), sheet_of(job)
    plan = laid_with(job, {**known, **facts})
    before, after = (
        sheet_data(sheet["text"], sheet["name"], put_in.items())
        for put_in in (known, {**known, **facts})
    )
    changed = fact_changes(before, after, facts, said_so)
    return plan, Corrected(changed, compare(job.board.plan, plan))


def correct(
    job: Job, settings: Sequence[str], *, by: str = "", note: str = "", take: bool = False
) -> Corrected:
    """Correct facts of the house; return each as it was and is, and what changes in the plan.

    Args:
        job: the open job.
        settings: `path=value`, as in the house sheet, with dots between its keys.
        by: who found them out; needed to take them.
        note: a note.
        take: record them and lay the plan again; else nothing is recorded.

    Raises:
        WrongUse: no name, or a fact that does not fit the sheet.
        NotNow: the job was signed off; it stays with the plan that was signed.
    """
    facts, said_so = read_settings(settings, job.here())
    if not take:
        return _corrected(job, facts, said_so)[1]
    name, told = said.person(by), said.note(note)
    with job.acting():
        if not _of_the_claim(facts):
            _must_be_unsigned(job)
        plan, corrected = _corrected(job, facts, said_so)
        listed: list[dict[str, Any]] = [
            {"path": list(path), "value": value} for path, value in facts.items()
        ]
        for fact in listed:
            if tuple(fact["path"]) in said_so:
                fact["typed"] = said_so[tuple(fact["path"])]
        event = job.append("corrected", {"facts": listed, "note": told}, name)
        because = say("lay.corrected", what=", ".join(settings), by=name)
        lay(job, plan, name, because=because, body={"for": event.id})
    return corrected


def lay_checklist(
    job: Job, checklist: str, *, by: str = "", take: bool = False
) -> Sequence[Change]:
    """Lay a checklist over the house of a job again; return what that changes.

    Args:
        job: the open job.
        checklist: name of a checklist that ships, or a path to one.
        by: who lays it; needed to take it.
        take: record it; else nothing is recorded.

    Raises:
        WrongUse: no such checklist, or no name.
        Faulty: the checklist has faults; all of them are named.
        NotNow: the job was signed off; it stays with the plan that was signed.
    """
    from siltline.job.begin import checklist_folder  # noqa: PLC0415
    from siltline.rules import files  # noqa: PLC0415

    folder: Path = checklist_folder(checklist)
    texts = files.checklist_texts(folder)
    if not take:
        return compare(job.board.plan, laid_with(job, job.board.ledger.facts(), texts))
    name = said.person(by)
    with job.acting():
        _must_be_unsigned(job)
        plan = laid_with(job, job.board.ledger.facts(), texts)
        changes = compare(job.board.plan, plan)
        because = say("lay.checklist", checklist=plan.checklist, by=name)
        body = {"checklist": {"name": plan.checklist, "texts": dict(texts)}}
        phases = [{"id": p.id, "title": p.title, "other": dict(p.other)} for p in plan.phases]
        lay(job, plan, name, because=because, body={**body, "phases": phases})
    return changes


def sheet_as_it_stands(job: Job) -> dict[str, str]:
    """Return every fact of the house sheet, with what was found out and corrected since.

    The keys are paths with dots, as `correct` takes them; the values are as they were typed.
    """
    from siltline.rules.files import sheet_data  # noqa: PLC0415 - reads YAML

    sheet = sheet_of(job)
    data = sheet_data(sheet["text"], sheet["name"], job.board.ledger.facts().items())
    return dict(flat(data))
