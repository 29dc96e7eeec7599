"""Checks how the rules of a checklist fit together; each fault at its line, all at once."""

from __future__ import annotations

import string
from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from siltline.errors import WrongUse
from siltline.rules.checklist import Checklist, PlacedRule
from siltline.rules.faults import Fault, Faulty, meant
from siltline.rules.order import cycle, many_ends, put_back
from siltline.rules.possible import possible
from siltline.rules.rule import ProofRule
from siltline.rules.shared import library, resolved
from siltline.rules.yamltext import Path
from siltline.sentences import say
from siltline.units import UNITS, quantity, unit_named

PLACEHOLDERS = ("place", "room", "circuit", "house")
# Work that is never told without a caution: by what a rule says of itself, and by its place.
_HAZARDOUS_PLACES = frozenset({"electrical-part", "circuit", "crawl-space", "basement"})


def _twice(checklist: Checklist) -> Iterator[Fault]:
    seen: dict[str, PlacedRule] = {}
    for placed in checklist.rules:
        first = seen.setdefault(placed.rule.step, placed)
        if first is not placed:
            where = f"{first.source.file}:{first.line}"
            text = say("rules.twice", step=placed.rule.step, where=where)
            yield placed.source.fault(placed.at("step"), text)


def _names_steps(placed: PlacedRule, steps: list[str], phases: list[str]) -> Iterator[Fault]:
    rule = placed.rule
    named: list[tuple[Path, str | None]] = [
        (("needs", n), need.step or need.everywhere) for n, need in enumerate(rule.needs)
    ]
    named.append((("puts-back",), rule.puts_back))
    if rule.repeat is not None:
        named.append((("repeat", "until"), rule.repeat.until))
    for path, step in named:
        if step is not None and step not in steps:
            text = say("rules.no-step", step=step) + meant(step, steps)
            yield placed.source.fault(placed.at(*path), text)
    for number, need in enumerate(rule.needs):
        if need.phase is not None and need.phase not in phases:
            text = say("rules.no-phase", phase=need.phase) + meant(need.phase, phases)
            yield placed.source.fault(placed.at("needs", number), text)


def spoken_texts(placed: PlacedRule) -> Iterator[tuple[Path, str]]:
    """Yield every sentence of a rule as it was written, with its path inside the rule."""
    raw = placed.source.data["steps"][placed.index]
    spoken = ("do", "why", "measure", "hold-point", "takes-out")
    yield from _sentences(raw, [(key,) for key in spoken])
    for key, inner in (("caution", None), ("never", ("act", "because")), ("ways", ("do",))):
        listed = raw.get(key)
        for number, item in enumerate(listed if isinstance(listed, list) else ()):
            for word in inner or [w for w in item if w != "as"]:
                yield from _sentences(raw, [(key, number, word)])
    yield from _sentences(raw, [("override", "because")])


def _sentences(raw: object, paths: list[Path]) -> Iterator[tuple[Path, str]]:
    for path in paths:
        found = raw
        for key in path:
            inside = isinstance(found, list) or (isinstance(found, dict) and key in found)
            found = found[key] if inside else None  # type: ignore[index]
        if isinstance(found, str):
            yield path, found
        elif isinstance(found, dict):
            yield from (((*path, language), text) for language, text in found.items())


def _placeholders(placed: PlacedRule) -> Iterator[Fault]:
    for path, text in spoken_texts(placed):
        try:
            fields = [field for field in string.Formatter().parse(text) if field[1] is not None]
        except ValueError:
            yield placed.source.fault(placed.at(*path), say("rules.brace"))
            continue
        for _, name, spec, conversion in fields:
            if name not in PLACEHOLDERS or spec or conversion:
                whole = (
                    f"{name}{'!' + conversion if conversion else ''}{':' + spec if spec else ''}"
                )
                told = say("rules.no-placeholder", name=whole) + meant(str(name), PLACEHOLDERS)
                yield placed.source.fault(placed.at(*path), told)


def _proofs(placed: PlacedRule) -> Iterator[Fault]:
    yield from _proof_list(placed, placed.rule.proof, ("proof",))
    seen: set[str] = set()
    for number, way in enumerate(placed.rule.ways or ()):
        path = ("ways", number)
        if way.way in seen:
            yield placed.source.fault(placed.at(*path, "way"), say("rules.way-twice", way=way.way))
        seen.add(way.way)
        yield from _proof_list(placed, [*placed.rule.proof, *way.proof], (*path, "proof"))


def _proof_list(placed: PlacedRule, proofs: list[ProofRule], path: Path) -> Iterator[Fault]:
    offset = len(proofs) - len(placed.rule.proof) if path[0] == "ways" else 0
    skip = len(proofs) - offset if offset else 0
    told: dict[str, list[str]] = {}
    for number, proof in enumerate(proofs):
        here = placed.at(*path, number - skip)
        own = number >= skip
        if proof.unit is not None and proof.unit not in UNITS:
            if own:
                known = unit_named(proof.unit)
                hint = say("faults.meant", word=known) if known else meant(proof.unit, list(UNITS))
                text = say("rules.no-unit", unit=proof.unit) + hint
                yield placed.source.fault((*here, "unit"), text)
            continue
        if proof.unit is None:
            continue
        name = proof.reading or proof.quantity or ""
        names = told.setdefault(UNITS[proof.unit].dimension, [])
        if own and name in names:  # a typed value could not be told apart
            yield placed.source.fault(here, say("rules.same-unit"))
        names.append(name)
        if own:
            yield from _bounds(placed, proof, here)


def _bounds(placed: PlacedRule, proof: ProofRule, here: Path) -> Iterator[Fault]:
    for key, bound in (("at-most", proof.at_most), ("at-least", proof.at_least)):
        try:
            if bound is not None and proof.unit is not None:
                quantity(bound, UNITS[proof.unit].dimension)
        except WrongUse as fault:
            yield placed.source.fault((*here, key), str(fault))


def _sense(placed: PlacedRule) -> Iterator[Fault]:
    """Yield what is shaped rightly and makes no sense."""
    rule = placed.rule
    if not possible(placed.condition, rule.each):
        yield placed.source.fault(placed.at("when"), say("rules.never-appears"))
    hazardous = rule.work or rule.takes_out or rule.each in _HAZARDOUS_PLACES
    if hazardous and not rule.caution:
        kind = ", ".join(rule.work) or ("tear-out" if rule.takes_out else rule.each)
        yield placed.source.fault(placed.at("step"), say("rules.no-caution", work=kind))
    if rule.override and len({s.says for s in rule.source if s.says}) < 2:  # noqa: PLR2004 - two differ
        yield placed.source.fault(placed.at("override"), say("rules.override-agreed"), key=True)
    if rule.may_stay_out and rule.puts_back is None:
        yield placed.source.fault(placed.at("may-stay-out"), say("rules.stay-out"), key=True)
    if rule.repeat and rule.repeat.until is None and not any(p.reading for p in rule.proof):
        yield placed.source.fault(placed.at("repeat"), say("rules.repeat-end"), key=True)


def checked(checklist: Checklist) -> tuple[Checklist, list[Fault]]:
    """Return a checklist with its conditions and names resolved, and what is wrong between rules.

    Wrong are unknown steps and facts, rings, steps that could never appear, things never put
    back, hazardous work without a caution.
    """
    faults: list[Fault] = []
    names = library(checklist, faults)
    rules = tuple(resolved(placed, names, faults) for placed in checklist.rules)
    whole = replace(checklist, rules=rules)
    steps = [placed.rule.step for placed in rules]
    faults += [*_twice(whole), *put_back(whole), *many_ends(whole), *cycle(whole)]
    for placed in rules:
        faults += _names_steps(placed, steps, list(checklist.phases))
        for look in (_placeholders, _proofs, _sense):
            faults += look(placed)
    return whole, sorted(set(faults))


def demand(checklist: Checklist) -> Checklist:
    """Return a checklist that is free of faults, its conditions and names resolved.

    Raises:
        Faulty: with every fault between its rules.
    """
    whole, faults = checked(checklist)
    if faults:
        raise Faulty(faults)
    return whole


def by_phase(checklist: Checklist) -> Mapping[str, list[PlacedRule]]:
    """Return the rules of each phase, in order."""
    found: dict[str, list[PlacedRule]] = {phase: [] for phase in checklist.phases}
    for placed in checklist.rules:
        found[placed.phase].append(placed)
    return found
