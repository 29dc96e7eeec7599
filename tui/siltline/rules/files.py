"""Reads sheets and checklists from disk, and from the texts that a job has stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from siltline.errors import WrongUse
from siltline.rules.check import cross_faults
from siltline.rules.checklist import TOP, Checklist, read_checklist
from siltline.rules.faults import Fault, Faulty
from siltline.rules.house import House, read_house, warnings
from siltline.rules.lay import lay
from siltline.rules.plan import Plan
from siltline.rules.yamltext import Source, decode, load
from siltline.sentences import say

LARGEST = 8_000_000  # bytes

Correction = tuple[tuple[str, ...], str | bool]


def text_of(path: Path) -> str:
    """Return the text of a file that a person named.

    Raises:
        WrongUse: it cannot be read, or is too large to be a sheet.
        Faulty: it is not UTF-8.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise WrongUse(say("files.too-large", name=path.name))
        raw = path.read_bytes()
    except OSError as fault:
        raise WrongUse(say("files.unreadable", name=path, fault=fault.strerror)) from fault
    return decode(raw, path.name)


def checklist_texts(path: Path) -> dict[str, str]:
    """Return the texts of a checklist, by file name, from its folder or its top file.

    Raises:
        WrongUse: no checklist there.
    """
    folder = path if path.is_dir() else path.parent
    top = folder / TOP
    if not path.exists():
        raise WrongUse(say("files.missing", name=path))
    if not top.is_file() or (path.is_file() and path.name != TOP):
        raise WrongUse(say("files.no-checklist", name=path, top=TOP))
    others = sorted(p for p in folder.glob("*.yaml") if p.name != TOP)
    return {p.name: text_of(p) for p in (top, *others)}


def checklist_from(texts: Mapping[str, str]) -> Checklist:
    """Return a checklist that is free of faults.

    Raises:
        Faulty: with every fault of every file.
    """
    checklist = read_checklist(texts)
    faults = cross_faults(checklist)
    if faults:
        raise Faulty(faults)
    return checklist


def _correct(source: Source, corrections: Iterable[Correction]) -> None:
    """Put corrected facts into the data of a sheet, keeping its text as it is.

    A place that the sheet does not have yet comes to be with its first fact; what was only said
    to be there, or not to be there, gets a description. Where the sheet is wrong in itself its
    own fault is told, and no correction hides it.
    """
    for path, value in corrections:
        inner: Any = source.data
        for key in path[:-1]:
            if isinstance(inner, dict) and inner.get(key) in (None, True, False, "none"):
                inner[key] = {}
            inner = inner.get(key) if isinstance(inner, dict) else None
        if isinstance(inner, dict):
            inner[path[-1]] = value
            source.corrected.add(path)


def house_from(
    text: str, name: str, corrections: Iterable[Correction] = ()
) -> tuple[House, Source]:
    """Return a house and its source, with the facts that were corrected since.

    Raises:
        Faulty: with every fault of the sheet, or of a correction.
    """
    source = load(text, name)
    _correct(source, corrections)
    return read_house(source), source


def plan_from(
    texts: Mapping[str, str],
    house_text: str,
    house_name: str,
    corrections: Iterable[Correction] = (),
) -> Plan:
    """Return the plan of a checklist laid over a sheet, both as texts.

    Raises:
        Faulty: with every fault of the checklist and of the sheet.
    """
    faults: list[Fault] = []
    checklist = house = None
    try:
        checklist = checklist_from(texts)
    except Faulty as fault:
        faults += fault.faults
    try:
        house = house_from(house_text, house_name, corrections)
    except Faulty as fault:
        faults += fault.faults
    if checklist is None or house is None:
        raise Faulty(faults)
    return lay(checklist, *house)


def check(path: Path) -> str:
    """Check a checklist (its folder or any of its files) or a house sheet; return a summary.

    Of a house sheet, what is odd but may be so stands before the summary, a line each.

    Raises:
        WrongUse: it cannot be read, or is neither.
        Faulty: with every fault.
    """
    if path.is_file() and path.name != TOP:
        source = load(text_of(path), path.name)
        if not (isinstance(source.data, dict) and {"phase", "steps"} & source.data.keys()):
            house = read_house(source)
            told = [str(warning) for warning in warnings(house, source)]
            count = {"rooms": len(house.rooms), "parts": len(house.electrical)}
            return "\n".join([*told, say("rules.clean-house", **count)])
        path = path.parent
    checklist = checklist_from(checklist_texts(path))
    return say("rules.clean", steps=len(checklist.rules), phases=len(checklist.phases))
