"""What the files of a checklist share by name: conditions, cautions, sources."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from msgspec import Struct, field

from siltline.rules.checklist import Checklist, PlacedRule
from siltline.rules.condition import ALWAYS, read_condition
from siltline.rules.faults import Fault, meant
from siltline.rules.places import OWN_FACTS
from siltline.rules.rule import CautionRule, SourceRule
from siltline.rules.yamltext import Path
from siltline.sentences import say

_SECTIONS = ("conditions", "cautions", "sources")


class Library(Struct, frozen=True):
    """Everything that has a name, by its name."""

    conditions: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    cautions: Mapping[str, list[CautionRule]] = field(default_factory=dict)
    sources: Mapping[str, list[SourceRule]] = field(default_factory=dict)


def library(checklist: Checklist, faults: list[Fault]) -> Library:
    """Gather what has a name; a name that stands twice, or a fact that no place has, is a fault."""
    found: dict[str, dict[str, Any]] = {section: {} for section in _SECTIONS}
    first: dict[tuple[str, str], str] = {}
    for shared, source in checklist.shared:
        for section in _SECTIONS:
            for name, what in getattr(shared, section).items():
                if (section, name) in first:
                    told = say("rules.name-twice", name=name, where=first[section, name])
                    faults.append(source.fault((section, name), told, key=True))
                first.setdefault((section, name), source.file)
                found[section].setdefault(name, what)
    made = Library(**found)
    for shared, source in checklist.shared:
        for name, raw in shared.conditions.items():
            wrong = list(_of_no_place(name, raw, made, source.fault))
            if wrong:  # told once, where it stands, and not again by all that use it
                faults += wrong
                found["conditions"][name] = {}
        for section in ("cautions", "sources"):
            for name, items in getattr(shared, section).items():
                faults += [
                    source.fault((section, name, n), say("rules.as-in-shared"))
                    for n, item in enumerate(items) if item.as_ is not None
                ]  # fmt: skip
    return made


def _of_no_place(
    name: str, raw: Mapping[str, Any], made: Library, fault: Callable[..., Fault]
) -> Iterator[Fault]:
    """Yield the faults that a named condition has for every kind of place that there is."""
    per_kind: list[dict[tuple[Path, str], Fault]] = []
    for kind in OWN_FACTS:
        here: dict[tuple[Path, str], Fault] = {}

        def told(path: Path, text: str, key: bool, here: Any = here) -> None:
            here[path, text] = fault(path, text, key=key)

        read_condition(raw, kind, made.conditions, ("conditions", name), told, name)
        per_kind.append(here)
    best = min(per_kind, key=len)
    yield from best.values()


def resolved(placed: PlacedRule, library: Library, faults: list[Fault]) -> PlacedRule:
    """Return a rule with its condition read and its names replaced by what they stand for."""

    def told(path: Path, text: str, key: bool) -> None:
        faults.append(placed.source.fault(path, text, key=key))

    rule, before = placed.rule, len(faults)
    condition = read_condition(rule.when, rule.each, library.conditions, placed.at("when"), told)
    if len(faults) > before:  # what else it would say of itself is of no use
        condition = ALWAYS
    cautions = _spread("caution", rule.caution, library.cautions, placed, faults)
    sources = _spread("source", rule.source, library.sources, placed, faults)
    whole = rule.model_copy(update={"caution": cautions, "source": sources})
    return PlacedRule(whole, placed.phase, placed.source, placed.index, condition)


def _spread(
    key: str, items: list[Any], known: Mapping[str, list[Any]], placed: PlacedRule,
    faults: list[Fault],
) -> list[Any]:  # fmt: skip
    """Return a list with each `as: name` replaced by what has that name."""
    found: list[Any] = []
    for number, item in enumerate(items):
        if item.as_ is None:
            found.append(item)
        elif item.as_ in known:
            found += known[item.as_]
        else:
            text = say("rules.no-name", name=item.as_) + meant(item.as_, list(known))
            faults.append(placed.source.fault(placed.at(key, number), text))
    return found
