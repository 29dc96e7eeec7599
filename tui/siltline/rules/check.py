"""Checks how the rules of a checklist fit together; each fault at its line, all at once."""

from __future__ import annotations

import string
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from siltline.errors import WrongUse
from siltline.rules.checklist import Checklist, PlacedRule
from siltline.rules.faults import Fault, meant
from siltline.rules.lay import PLACEHOLDERS
from siltline.rules.match import kind_of_fact, known_facts
from siltline.rules.yamltext import Path
from siltline.sentences import say
from siltline.units import UNITS, quantity

_TEXTS = ("do", "why", "measure", "hold-point", "takes-out")


def _at(placed: PlacedRule, *path: str | int) -> Path:
    return ("steps", placed.index, *path)


def _twice(checklist: Checklist) -> Iterator[Fault]:
    seen: dict[str, PlacedRule] = {}
    for placed in checklist.rules:
        first = seen.setdefault(placed.rule.step, placed)
        if first is not placed:
            where = f"{first.source.file}:{first.line}"
            text = say("rules.twice", step=placed.rule.step, where=where)
            yield placed.source.fault(_at(placed, "step"), text)


def _facts(placed: PlacedRule) -> Iterator[Fault]:
    known = known_facts(placed.rule.each)
    for fact, wanted in placed.rule.when.items():
        path = _at(placed, "when", fact)
        if fact not in known:
            text = say("rules.no-fact", fact=fact, each=placed.rule.each) + meant(fact, known)
            yield placed.source.fault(path, text, key=True)
            continue
        values = kind_of_fact(placed.rule.each, fact).choices
        for value in wanted if values is not None else ():
            if value not in (values or ()):
                words = [str(v).lower() if isinstance(v, bool) else v for v in values or ()]
                text = say("rules.no-value", fact=fact, value=value) + meant(str(value), words)
                yield placed.source.fault(path, text)


def _names_steps(placed: PlacedRule, steps: list[str], phases: list[str]) -> Iterator[Fault]:
    for number, need in enumerate(placed.rule.needs):
        path = _at(placed, "needs", number)
        step = need.step or need.everywhere
        if step is not None and step not in steps:
            yield placed.source.fault(path, say("rules.no-step", step=step) + meant(step, steps))
        if need.phase is not None and need.phase not in phases:
            text = say("rules.no-phase", phase=need.phase) + meant(need.phase, phases)
            yield placed.source.fault(path, text)
    back = placed.rule.puts_back
    if back is not None and back not in steps:
        text = say("rules.no-step", step=back) + meant(back, steps)
        yield placed.source.fault(_at(placed, "puts-back"), text)


def _placeholders(placed: PlacedRule) -> Iterator[Fault]:
    dumped = placed.rule.model_dump(by_alias=True, exclude_none=True)
    texts: list[tuple[Path, str]] = [((key,), dumped[key]) for key in _TEXTS if key in dumped]
    for number, caution in enumerate(placed.rule.caution):
        texts += [(("caution", number, word), text) for word, text in caution.items()]
    for path, text in texts:
        try:
            fields = [field for field in string.Formatter().parse(text) if field[1] is not None]
        except ValueError:
            yield placed.source.fault(_at(placed, *path), say("rules.brace"))
            continue
        for _, name, spec, conversion in fields:
            if name not in PLACEHOLDERS or spec or conversion:
                whole = (
                    f"{name}{'!' + conversion if conversion else ''}{':' + spec if spec else ''}"
                )
                told = say("rules.no-placeholder", name=whole) + meant(str(name), PLACEHOLDERS)
                yield placed.source.fault(_at(placed, *path), told)


def _bounds(placed: PlacedRule) -> Iterator[Fault]:
    dimensions: set[str] = set()
    for number, proof in enumerate(placed.rule.proof):
        if proof.unit in UNITS:
            dimension = UNITS[proof.unit].dimension
            if dimension in dimensions:  # a typed value could not be told apart
                yield placed.source.fault(_at(placed, "proof", number), say("rules.same-unit"))
            dimensions.add(dimension)
        if proof.unit is not None and proof.unit not in UNITS:
            text = say("rules.no-unit", unit=proof.unit) + meant(proof.unit, list(UNITS))
            yield placed.source.fault(_at(placed, "proof", number, "unit"), text)
            continue
        for key, bound in (("at-most", proof.at_most), ("at-least", proof.at_least)):
            if bound is None or proof.unit is None:
                continue
            try:
                quantity(bound, UNITS[proof.unit].dimension)
            except WrongUse as fault:
                yield placed.source.fault(_at(placed, "proof", number, key), str(fault))


def _put_back(checklist: Checklist) -> Iterator[Fault]:
    """Yield a fault for each thing taken out that no rule puts back, and the reverse."""
    takers = {placed.rule.step: placed for placed in checklist.rules if placed.rule.takes_out}
    returned = {placed.rule.puts_back for placed in checklist.rules}
    for step, placed in takers.items():
        if step not in returned:
            yield placed.source.fault(_at(placed, "takes-out"), say("rules.never-back", step=step))
    steps = {placed.rule.step for placed in checklist.rules}
    for placed in checklist.rules:
        back = placed.rule.puts_back
        if back is None or back not in steps:
            continue
        if back not in takers:
            yield placed.source.fault(_at(placed, "puts-back"), say("rules.not-out", step=back))
        elif takers[back].rule.each != placed.rule.each:
            there = takers[back].rule.each
            text = say("rules.other-place", step=back, there=there)
            yield placed.source.fault(_at(placed, "puts-back"), text)


def _first_steps(placed: PlacedRule, by_phase: Mapping[str, list[str]]) -> set[str]:
    """Return the rules that come before a rule; itself too, if it waits for all its own places."""
    own = placed.rule.step
    found: set[str] = set()
    for need in placed.rule.needs:
        if need.everywhere:
            found.add(need.everywhere)
        elif need.phase:
            found.update(step for step in by_phase.get(need.phase, ()) if step != own)
        elif need.step and need.step != own:
            found.add(need.step)
    return found


def _cycle(checklist: Checklist) -> Iterator[Fault]:
    by_phase: dict[str, list[str]] = {}
    placed_by = {placed.rule.step: placed for placed in checklist.rules}
    for placed in checklist.rules:
        by_phase.setdefault(placed.phase, []).append(placed.rule.step)
    graph = {step: _first_steps(placed, by_phase) for step, placed in placed_by.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as fault:
        ring = [step for step in fault.args[1] if step in placed_by]
        placed = placed_by[ring[0]]
        text = say("rules.cycle", ring=" -> ".join(ring))
        yield placed.source.fault(_at(placed, "needs"), text)


def cross_faults(checklist: Checklist) -> list[Fault]:
    """Return what is wrong between rules: unknown steps and facts, rings, things never back."""
    steps = [placed.rule.step for placed in checklist.rules]
    phases = [phase for phase, _ in checklist.phases]
    found = [*_twice(checklist), *_put_back(checklist), *_cycle(checklist)]
    for placed in checklist.rules:
        found += _facts(placed)
        found += _names_steps(placed, steps, phases)
        found += _placeholders(placed)
        found += _bounds(placed)
    return sorted(set(found))
