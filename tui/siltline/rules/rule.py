"""The shapes of a rule: what one step of a checklist may say (language: DEVELOPERS.md)."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from siltline.errors import WrongUse
from siltline.rules.facts import PlaceKind
from siltline.rules.shapes import Id, Name, Shape, Words
from siltline.sentences import say
from siltline.units import quantity

SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Work = Literal["electrical", "chemical", "crawl-space", "structural", "tear-out"]
Reckons = Literal["fan", "dose", "machines"]  # computations that stand on a step
COMMON_PRACTICE = "common practice"
BASE = "en"  # the language that every sentence has
BY_THE_LABEL = "by-the-label"
_LANGUAGE = re.compile(r"[a-z]{2,3}")


def listed(value: Any) -> Any:
    """Let one thing stand for a list of one."""
    return value if isinstance(value, list) else [value]


class OrBare:
    """Tells editors that a bare word may stand for a mapping."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """Return the schema of either."""
        return {"anyOf": [{"type": "string"}, handler(core)]}


class OrOne:
    """Tells editors that one thing may stand for a list of one."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """Return the schema of either."""
        whole = handler(core)
        return {"anyOf": [whole["items"], whole]}


def _count(text: str) -> str:
    if not (len(text) == 1 and text in "123456789"):
        raise ValueError(say("rules.count"))
    return text


def _hours(text: str) -> str:
    if not (text.isdecimal() and len(text) <= 3):  # noqa: PLR2004 - up to six weeks
        raise ValueError(say("rules.hours"))
    return text


def _duration(text: str) -> str:
    try:
        quantity(text, "time")
    except WrongUse as fault:
        raise ValueError(str(fault)) from fault
    return text


def _contact(text: str) -> str:
    return text if text == BY_THE_LABEL else _duration(text)


def _spoken(value: Any) -> Any:
    if not isinstance(value, str | dict):
        raise PydanticCustomError("string_type", "a sentence")
    if isinstance(value, dict) and list(value.values()) == [None]:  # {place}, without quotes
        braces = "{" + next(iter(value)) + "}"
        raise ValueError(say("yaml.bracket-first", bracket="{", value=f'"{braces}"'))
    return {BASE: value} if isinstance(value, str) else value


def _languages(value: dict[str, str]) -> dict[str, str]:
    if BASE not in value:
        raise ValueError(say("rules.no-base", base=BASE))
    for language in value:
        if not _LANGUAGE.fullmatch(language):
            raise ValueError(say("rules.language", language=language))
    return value


# A sentence, or the same sentence by language: {en: Wash it., es: Lávelo.}
Spoken = Annotated[dict[str, Words], BeforeValidator(_spoken), AfterValidator(_languages), OrBare()]
Duration = Annotated[str, AfterValidator(_duration)]


def named(key: str) -> BeforeValidator:
    """Let a bare word stand for a mapping with that one key."""
    return BeforeValidator(lambda value: {key: value} if isinstance(value, str) else value)


def _just_one(shape: Shape, names: tuple[str, ...], told: str) -> None:
    if sum(getattr(shape, name) is not None for name in names) != 1:
        raise ValueError(say(told))


class Need(Shape):
    """What comes first: a step at the nearest related place, everywhere, or a whole phase."""

    step: Id | None = None
    everywhere: Id | None = None
    phase: Id | None = None

    @model_validator(mode="after")
    def _only_one(self) -> Need:
        _just_one(self, ("step", "everywhere", "phase"), "rules.need-one")
        return self


# What each kind of proof may say besides its name.
PROOF_KINDS: dict[str, frozenset[str]] = {
    "photo": frozenset({"count"}),
    "same-spot": frozenset({"count"}),
    "reading": frozenset({"count", "unit", "at-most", "at-least", "hours-apart"}),
    "quantity": frozenset({"unit"}),
    "contact-time": frozenset(),
    "licence": frozenset(),
    "label": frozenset(),
}
_WITH_UNIT = ("reading", "quantity")


class ProofRule(Shape):
    """One kind of proof.

    A photo by role, the same spot in several roles, a reading with bounds, a quantity, a contact
    time, a licensed person by trade, or a product's label with its registration number.
    """

    photo: Id | None = None
    same_spot: Annotated[list[Id], Field(min_length=2, max_length=4)] | None = None
    reading: Name | None = None
    quantity: Name | None = None
    contact_time: Annotated[str, AfterValidator(_contact)] | None = None
    licence: Name | None = None
    label: Name | None = None
    count: Annotated[str, AfterValidator(_count)] = "1"
    unit: Name | None = None
    at_most: Name | None = None
    at_least: Name | None = None
    hours_apart: Annotated[str, AfterValidator(_hours)] = "0"

    @property
    def kind(self) -> str:
        """Return which kind of proof it is."""
        return next(k for k in PROOF_KINDS if getattr(self, k.replace("-", "_")) is not None)

    @model_validator(mode="after")
    def _fits_together(self) -> ProofRule:
        kinds = tuple(kind.replace("-", "_") for kind in PROOF_KINDS)
        _just_one(self, kinds, "rules.proof-one")
        said = {str(type(self).model_fields[f].alias) for f in self.model_fields_set}
        for extra in sorted(said - PROOF_KINDS.keys() - PROOF_KINDS[self.kind]):
            raise ValueError(say("rules.proof-extra", key=extra, kind=self.kind))
        if self.kind in _WITH_UNIT and self.unit is None:
            raise ValueError(say("rules.proof-unit", kind=self.kind))
        return self


class SourceRule(Shape):
    """Where a rule comes from, how well that was seen, and what it says where sources differ."""

    title: Name | None = None
    edition: Name | None = None
    section: Name | None = None
    seen: Literal["read", "summary", "memory"] | None = None
    says: Name | None = None
    as_: Id | None = None

    @model_validator(mode="after")
    def _told(self) -> SourceRule:
        _just_one(self, ("title", "as_"), "rules.source-title")
        if self.title not in (COMMON_PRACTICE, None) and self.seen is None:
            raise ValueError(say("rules.source-seen"))
        return self


class CautionRule(Shape):
    """A caution under its signal word of ANSI Z535.4, or one that has a name (`as`)."""

    danger: Spoken | None = Field(None, alias="DANGER")
    warning: Spoken | None = Field(None, alias="WARNING")
    caution: Spoken | None = Field(None, alias="CAUTION")
    notice: Spoken | None = Field(None, alias="NOTICE")
    as_: Id | None = None

    @model_validator(mode="after")
    def _only_one(self) -> CautionRule:
        _just_one(self, ("danger", "warning", "caution", "notice", "as_"), "rules.caution-one")
        return self

    @property
    def told(self) -> tuple[SignalWord, dict[str, str]]:
        """Return the signal word and the sentence by language."""
        words = {"DANGER": self.danger, "WARNING": self.warning, "CAUTION": self.caution}
        found = [(word, text) for word, text in words.items() if text is not None]
        return found[0] if found else ("NOTICE", self.notice or {})  # type: ignore[return-value]


class Never(Shape):
    """An act that is forbidden, and why; shown on the step that it would spoil."""

    act: Spoken
    because: Spoken


class Way(Shape):
    """One of several ways to do a step, who may choose it, and what shows that it was done.

    `nothing-there` says that a step which takes something out found nothing of it; `draws-in`
    that a fan draws in air, which is held against the air of the place.
    """

    way: Id
    do: Spoken
    who: Name | None = None
    nothing_there: bool = False
    draws_in: Literal["outdoor-air"] | None = None
    proof: list[ProofRule] = Field(default_factory=list)


class Repeat(Shape):
    """Done again and again: how often at least, until its own readings hold or a step is done."""

    every: Duration
    until: Id | None = None


class Override(Shape):
    """Who may decide otherwise where sources differ, and why they may."""

    who: Name
    because: Spoken


Sources = Annotated[
    list[Annotated[SourceRule, named("title"), OrBare()]],
    BeforeValidator(listed),
    OrOne(),
    Field(min_length=1),
]


class Rule(Shape):
    """One rule: a step at each place of a kind, when the facts of the house ask for it."""

    step: Id
    do: Spoken
    why: Spoken
    each: PlaceKind = "house"
    work: Annotated[list[Work], BeforeValidator(listed), OrOne()] = Field(default_factory=list)
    when: dict[str, Any] = Field(default_factory=dict)
    measure: Spoken | None = None
    needs: list[Annotated[Need, named("step"), OrBare()]] = Field(default_factory=list)
    hold_point: Spoken | None = None
    ways: Annotated[list[Way], Field(min_length=2)] | None = None
    proof: list[ProofRule] = Field(default_factory=list)
    reckon: Annotated[list[Reckons], BeforeValidator(listed), OrOne()] = Field(default_factory=list)
    repeat: Repeat | None = None
    caution: list[CautionRule] = Field(default_factory=list)
    never: list[Never] = Field(default_factory=list)
    source: Sources
    override: Override | None = None
    takes_out: Spoken | None = None
    puts_back: Id | None = None
    may_stay_out: Annotated[list[Name], BeforeValidator(listed), OrOne()] = Field(
        default_factory=list
    )


class Shared(Shape):
    """What rules may take by name (`as`, `is`): in any file, for all files of a checklist."""

    conditions: dict[Id, dict[str, Any]] = Field(default_factory=dict)
    cautions: dict[Id, list[CautionRule]] = Field(default_factory=dict)
    sources: dict[Id, Sources] = Field(default_factory=dict)


class PhaseFile(Shared):
    """A phase and its steps, in the order in which a crew meets them."""

    phase: Id
    title: Spoken
    steps: list[Rule] = Field(min_length=1)


class SharedFile(Shared):
    """A file that holds only what others take by name."""

    shared: Name


class TopFile(Shared):
    """The checklist: its name, its phase files in order, and the shared files that it uses."""

    checklist: Id
    title: Spoken
    note: Spoken | None = None
    uses: list[Name] = Field(default_factory=list)
    phases: list[Name] = Field(min_length=1)
