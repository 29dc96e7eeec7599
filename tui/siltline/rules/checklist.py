"""A checklist: a top file that names its phases, files of steps, and what files share."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TypeVar

from msgspec import Struct

from siltline.rules.condition import ALWAYS, Condition
from siltline.rules.faults import Fault, Faulty
from siltline.rules.rule import BASE, PhaseFile, Rule, Shared, SharedFile, TopFile
from siltline.rules.shapes import Shape, validated
from siltline.rules.yamltext import Path, Source, load
from siltline.sentences import say

TOP = "checklist.yaml"
# A file beside the top file, or in a folder beside its folder; nothing further away.
_FILE = re.compile(r"(\.\./[a-z0-9][a-z0-9-]*/)?[A-Za-z0-9][A-Za-z0-9._-]*\.yaml")
S = TypeVar("S", bound=Shape)


class PlacedRule(Struct, frozen=True):
    """A rule with the file and position it was read from, and its `when` read as a condition."""

    rule: Rule
    phase: str
    source: Source
    index: int
    condition: Condition = ALWAYS

    @property
    def line(self) -> int:
        """Return the line of the rule in its file."""
        return self.source.line(("steps", self.index))

    def at(self, *path: str | int) -> Path:
        """Return the path of something inside the rule."""
        return ("steps", self.index, *path)


class Checklist(Struct, frozen=True):
    """A whole checklist.

    Attributes:
        name, title: of the checklist; the title by language.
        phases: id -> title by language, in order.
        rules: in order.
        shared: what stands for all files, with the file that it is from.
        texts: the texts of its files, by name.
    """

    name: str
    title: Mapping[str, str]
    phases: Mapping[str, Mapping[str, str]]
    rules: tuple[PlacedRule, ...]
    shared: tuple[tuple[Shared, Source], ...]
    texts: Mapping[str, str]


def named_files(top: Mapping[str, object]) -> list[str]:
    """Return the names of the files that a top file asks for, as far as they are names."""
    lists = [top.get(key) for key in ("uses", "phases")]
    names = [name for listed in lists if isinstance(listed, list) for name in listed]
    return list(dict.fromkeys(n for n in names if isinstance(n, str) and _FILE.fullmatch(n)))


def _files(
    shape: type[S], key: str, names: list[str], top: Source, texts: Mapping[str, str],
    faults: list[Fault],
) -> Iterator[tuple[S, Source]]:  # fmt: skip
    """Yield the files that a list names, in order; what is wrong with others goes to `faults`."""
    for number, name in enumerate(names):
        if not _FILE.fullmatch(name) or name not in texts:
            faults.append(top.fault((key, number), say("rules.no-file", name=name)))
            continue
        try:
            source = load(texts[name], name)
            yield validated(shape, source), source
        except Faulty as fault:
            faults += fault.faults


def read_checklist(texts: Mapping[str, str]) -> Checklist:
    """Return a checklist from the texts of its files, by file name; `checklist.yaml` is the top.

    Only the shape of each file is checked here; `check.checked` checks how rules fit.

    Raises:
        Faulty: with the faults of all files at once.
    """
    top_source = load(texts[TOP], TOP)
    top = validated(TopFile, top_source)
    faults: list[Fault] = []
    phases: dict[str, Mapping[str, str]] = {}
    rules: list[PlacedRule] = []
    first: dict[str, str] = {}
    shared: list[tuple[Shared, Source]] = [(top, top_source)]
    shared += _files(SharedFile, "uses", top.uses, top_source, texts, faults)
    for phase, source in _files(PhaseFile, "phases", top.phases, top_source, texts, faults):
        if phase.phase in phases:
            told = say("rules.phase-twice", phase=phase.phase, where=first[phase.phase])
            faults.append(source.fault(("phase",), told))
        phases[phase.phase] = phase.title
        first.setdefault(phase.phase, source.file)
        shared.append((phase, source))
        rules += [PlacedRule(r, phase.phase, source, n) for n, r in enumerate(phase.steps)]
    if faults:
        raise Faulty(faults)
    return Checklist(top.checklist, top.title, phases, tuple(rules), tuple(shared), dict(texts))


def plainly(spoken: Mapping[str, str] | None) -> str:
    """Return a sentence in the language that every sentence has; "" where there is none."""
    return spoken[BASE] if spoken else ""
