"""The rule files: a checklist names its phases, a phase its steps, all as YAML."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from siltline.rules.facts import PlaceKind
from siltline.rules.faults import Fault, Faulty
from siltline.rules.shapes import Id, Name, Shape, Words, validated
from siltline.rules.yamltext import Source, load
from siltline.sentences import say

TOP = "checklist.yaml"
SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
COMMON_PRACTICE = "common practice"


def _listed(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


def _count(text: str) -> str:
    if not (len(text) == 1 and text in "123456789"):
        raise ValueError(say("rules.count"))
    return text


def _hours(text: str) -> str:
    if not (text.isdecimal() and len(text) <= 3):  # noqa: PLR2004 - up to six weeks
        raise ValueError(say("rules.hours"))
    return text


def _named(key: str) -> BeforeValidator:
    """Let a bare word stand for a mapping with that one key."""
    return BeforeValidator(lambda value: {key: value} if isinstance(value, str) else value)


class Need(Shape):
    """What comes first: a step at the nearest related place, everywhere, or a whole phase."""

    step: Id | None = None
    everywhere: Id | None = None
    phase: Id | None = None

    @model_validator(mode="after")
    def _one(self) -> Need:
        if sum(v is not None for v in (self.step, self.everywhere, self.phase)) != 1:
            raise ValueError(say("rules.need-one"))
        return self


class ProofRule(Shape):
    """One kind of proof: a photo by role, a reading with its bound, or a licensed person."""

    photo: Id | None = None
    reading: Name | None = None
    licence: Name | None = None
    count: Annotated[str, AfterValidator(_count)] = "1"
    unit: Name | None = None
    at_most: Name | None = None
    at_least: Name | None = None
    hours_apart: Annotated[str, AfterValidator(_hours)] = "0"

    @model_validator(mode="after")
    def _one(self) -> ProofRule:
        if sum(v is not None for v in (self.photo, self.reading, self.licence)) != 1:
            raise ValueError(say("rules.proof-one"))
        if (self.reading is None) != (self.unit is None):
            raise ValueError(say("rules.proof-unit"))
        bounds = self.at_most or self.at_least or self.hours_apart != "0"
        if self.reading is None and bounds:
            raise ValueError(say("rules.proof-bound"))
        return self


class SourceRule(Shape):
    """Where a rule comes from, and how well that was seen."""

    title: Name
    edition: Name | None = None
    section: Name | None = None
    seen: Literal["read", "summary", "memory"] | None = None

    @model_validator(mode="after")
    def _told(self) -> SourceRule:
        if self.title != COMMON_PRACTICE and self.seen is None:
            raise ValueError(say("rules.source-seen"))
        return self


class Rule(Shape):
    """One rule: a step at each place of a kind, when the facts of the house ask for it."""

    step: Id
    do: Words
    why: Words
    each: PlaceKind = "house"
    when: dict[str, Annotated[list[str | bool], BeforeValidator(_listed)]] = Field(
        default_factory=dict
    )
    measure: Words | None = None
    needs: list[Annotated[Need, _named("step")]] = Field(default_factory=list)
    hold_point: Words | None = None
    proof: list[ProofRule] = Field(default_factory=list)
    caution: list[dict[SignalWord, Words]] = Field(default_factory=list)
    source: Annotated[
        list[Annotated[SourceRule, _named("title")]], BeforeValidator(_listed), Field(min_length=1)
    ]
    takes_out: Words | None = None
    puts_back: Id | None = None


class PhaseFile(Shape):
    """A phase and its steps, in the order in which a crew meets them."""

    phase: Id
    title: Name
    steps: list[Rule] = Field(min_length=1)


class TopFile(Shape):
    """The checklist: its name and its phase files, in order."""

    checklist: Id
    title: Name
    note: Words | None = None
    phases: list[Name] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class PlacedRule:
    """A rule with the file and position it was read from."""

    rule: Rule
    phase: str
    source: Source
    index: int

    @property
    def line(self) -> int:
        """Return the line of the rule in its file."""
        return self.source.line(("steps", self.index))


@dataclass(frozen=True, slots=True)
class Checklist:
    """A whole checklist: phases in order, rules in order, and the texts they came from."""

    name: str
    title: str
    phases: tuple[tuple[str, str], ...]
    rules: tuple[PlacedRule, ...]
    texts: Mapping[str, str]


def _phase_files(
    top: TopFile, source: Source, texts: Mapping[str, str], faults: list[Fault]
) -> Iterator[tuple[PhaseFile, Source]]:
    """Yield the phase files of a checklist in order; what is wrong with others goes to `faults`."""
    for number, name in enumerate(top.phases):
        if PurePosixPath(name).name != name or name not in texts:
            faults.append(source.fault(("phases", number), say("rules.no-file", name=name)))
            continue
        try:
            phase_source = load(texts[name], name)
            yield validated(PhaseFile, phase_source), phase_source
        except Faulty as fault:
            faults += fault.faults


def read_checklist(texts: Mapping[str, str]) -> Checklist:
    """Return a checklist from the texts of its files, by file name; `checklist.yaml` is the top.

    Only the shape of each file is checked here; `check.cross_faults` checks how rules fit.

    Raises:
        Faulty: with the faults of all files at once.
    """
    top_source = load(texts[TOP], TOP)
    top = validated(TopFile, top_source)
    phases: dict[str, str] = {}
    rules: list[PlacedRule] = []
    faults: list[Fault] = []
    first: dict[str, str] = {}
    for phase, source in _phase_files(top, top_source, texts, faults):
        if phase.phase in phases:
            told = say("rules.phase-twice", phase=phase.phase, where=first[phase.phase])
            faults.append(source.fault(("phase",), told))
        phases[phase.phase] = phase.title
        first.setdefault(phase.phase, source.file)
        rules += [PlacedRule(r, phase.phase, source, n) for n, r in enumerate(phase.steps)]
    if faults:
        raise Faulty(faults)
    return Checklist(top.checklist, top.title, tuple(phases.items()), tuple(rules), dict(texts))
