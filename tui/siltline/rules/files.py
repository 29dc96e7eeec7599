"""Reads sheets and checklists from disk, and from the texts that a job has stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from siltline.errors import WrongUse
from siltline.rules.advice import advice
from siltline.rules.check import demand
from siltline.rules.checklist import TOP, Checklist, named_files, read_checklist
from siltline.rules.faults import Fault, Faulty
from siltline.rules.house import House, read_house, warnings
from siltline.rules.lay import lay
from siltline.rules.plan import Plan
from siltline.rules.rule import PhaseFile, SharedFile
from siltline.rules.shapes import validated
from siltline.rules.yamltext import Source, as_mapping, decode, load
from siltline.sentences import say

LARGEST = 2_000_000  # bytes: as many characters as YAML may have, each of four

Correction = tuple[tuple[str, ...], str | bool | None]


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
    texts = {TOP: text_of(top)}
    try:
        named = named_files(as_mapping(load(texts[TOP], TOP)))
    except Faulty:
        return texts  # whoever reads the checklist tells what is wrong with its top
    return texts | {name: text_of(folder / name) for name in named if (folder / name).is_file()}


@lru_cache(4)
def _checklist_once(texts: tuple[tuple[str, str], ...]) -> Checklist:
    return demand(read_checklist(dict(texts)))


def checklist_from(texts: Mapping[str, str]) -> Checklist:
    """Return a checklist that is free of faults; the same texts are read once.

    Half a second for a thousand lines of YAML, and each fact found out lays the plan anew.

    Raises:
        Faulty: with every fault of every file.
    """
    return _checklist_once(tuple(texts.items()))


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


def sheet_data(text: str, name: str, corrections: Iterable[Correction] = ()) -> Any:
    """Return the data of a sheet with the facts that were corrected since.

    Raises:
        Faulty: it is no YAML.
    """
    source = load(text, name)
    _correct(source, corrections)
    return source.data


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


class Checked(Struct, frozen=True):
    """What `check` found in a file without faults: a summary, and what is advised against."""

    summary: str
    advice: tuple[Fault, ...] = ()


def _stray(path: Path, checklist: Checklist) -> list[Fault]:
    """Return advice on files beside a checklist that it does not name: forgotten, likely."""
    beside = sorted(p.name for p in path.glob("*.yaml") if p.name not in checklist.texts)
    return [Fault(name, 1, 1, say("advice.not-named", top=TOP)) for name in beside]


def check(path: Path) -> Checked:
    """Check a checklist (its folder or any of its files), a shared file or a house sheet.

    Raises:
        WrongUse: it cannot be read, or is neither.
        Faulty: with every fault.
    """
    if path.is_file() and path.name != TOP:
        source = load(text_of(path), path.name)
        keys = source.data.keys() if isinstance(source.data, dict) else set()
        if "shared" in keys:
            shared = validated(SharedFile, source)
            return Checked(say("rules.clean-shared", n=len(shared.model_fields_set) - 1))
        if not keys & {"phase", "steps"}:
            house = read_house(source)
            told = say("rules.clean-house", rooms=len(house.rooms), parts=len(house.electrical))
            return Checked(told, tuple(warnings(house, source)))
        if not (path.parent / TOP).is_file():  # a phase that checklists of other folders name
            phase = validated(PhaseFile, source)
            return Checked(say("rules.clean-phase", steps=len(phase.steps)))
        path = path.parent
    folder = path if path.is_dir() else path.parent
    checklist = checklist_from(checklist_texts(path))
    told = say("rules.clean", steps=len(checklist.rules), phases=len(checklist.phases))
    return Checked(told, (*advice(checklist), *_stray(folder, checklist)))
