"""Lays a checklist over a house sheet: rules and places in, concrete steps out. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct, to_builtins

from siltline.rules.checklist import Checklist, PlacedRule
from siltline.rules.facts import Place
from siltline.rules.house import House
from siltline.rules.match import Index, Match, matches
from siltline.rules.places import places
from siltline.rules.plan import Ask, Because, Phase, Plan, Step, in_order
from siltline.rules.rule import BASE, Need
from siltline.rules.sheet.asking import field_kind
from siltline.rules.telling import goes_if
from siltline.rules.wording import languages, proof, sentences, sources
from siltline.rules.yamltext import Source
from siltline.sentences import in_base, say

Laid = dict[str, list[Place]]  # rule id -> the places where it applies
Kinds = Mapping[str, str]


class _Found(Struct, frozen=True):
    """A rule that applies at a place, or may."""

    placed: PlacedRule
    place: Place
    match: Match
    order: tuple[int, int, int]


def _applying(
    checklist: Checklist, by_kind: Mapping[str, list[Place]], index: Index
) -> list[_Found]:
    numbers = {phase: n for n, phase in enumerate(checklist.phases)}
    found: list[_Found] = []
    for number, placed in enumerate(checklist.rules):
        for n, place in enumerate(by_kind[placed.rule.each]):
            match = matches(placed.condition, place, index)
            if match.value is not False:
                found.append(_Found(placed, place, match, (numbers[placed.phase], number, n)))
    return found


@in_base()
def lay(checklist: Checklist, house: House, source: Source) -> Plan:
    """Return the plan of a house: the same for the same checklist and sheet, always.

    A plan is recorded, so it does not depend on the language that a screen speaks now.

    The checklist must be free of faults (`check.demand`).
    """
    by_kind = places(house, source)
    index = {(p.kind, p.id): p for group in by_kind.values() for p in group}
    found = _applying(checklist, by_kind, index)
    laid: Laid = {}
    for one in found:
        laid.setdefault(one.placed.rule.step, []).append(one.place)
    kinds = {placed.rule.step: placed.rule.each for placed in checklist.rules}
    phases = {placed.rule.step: placed.phase for placed in checklist.rules}
    steps = [
        _step(one, _needed(one.placed, one.place, laid, kinds, phases), laid, kinds, index)
        for one in found
    ]
    titles = tuple(_phase(phase, title) for phase, title in checklist.phases.items())
    return Plan(house.house, house.time_zone or "", checklist.name, titles, in_order(steps))


def _phase(phase: str, title: Mapping[str, str]) -> Phase:
    return Phase(phase, title[BASE], {k: v for k, v in title.items() if k != BASE})


def step_id(rule: str, place: Place) -> str:
    """Return the id of a step: it stays the same when rules are reordered or names change."""
    return f"{rule}/{place.id}"


def nearest(here: Place, kind: str, there: Sequence[Place]) -> list[Place]:
    """Return the places of a kind that are nearest to a place.

    In this order: the place itself, what it belongs to, what belongs to it, what shares its
    room; else all of the kind, since a need that is met too strictly does no harm.
    """
    above = here.belongs_to.get(kind)
    below = [p for p in there if p.belongs_to.get(here.kind) == here.id]
    room = here.belongs_to.get("room")
    beside = [p for p in there if room is not None and p.belongs_to.get("room") == room]
    if here.kind == kind:
        return [p for p in there if p.id == here.id]
    if above is not None:
        return [p for p in there if p.id == above]
    return below or beside or list(there)


def _needed(
    placed: PlacedRule, here: Place, laid: Laid, kinds: Mapping[str, str], phases: Mapping[str, str]
) -> tuple[str, ...]:
    """Return the ids of the steps that come before a step."""
    own = step_id(placed.rule.step, here)
    found: list[str] = []
    for need in placed.rule.needs:
        found += [step for step in _one_need(need, here, laid, kinds, phases) if step != own]
    return tuple(dict.fromkeys(found))


def _one_need(
    need: Need, here: Place, laid: Laid, kinds: Mapping[str, str], phases: Mapping[str, str]
) -> list[str]:
    if need.phase is not None:
        rules = [rule for rule, phase in phases.items() if phase == need.phase]
        return [step_id(rule, place) for rule in rules for place in laid.get(rule, ())]
    rule = need.step or need.everywhere or ""
    there = laid.get(rule, [])
    chosen = there if need.everywhere else nearest(here, kinds[rule], there)
    return [step_id(rule, place) for place in chosen]


def _names(place: Place, index: Index) -> dict[str, str]:
    """Return what the placeholders of a rule's sentences stand for at a place."""
    names = {"place": place.name, "house": index["house", "house"].name}
    for kind in ("room", "circuit"):
        other = index.get((kind, place.belongs_to.get(kind, "")))
        names[kind] = other.name if other else place.name
    return names


def _verb(ask: Ask) -> str:
    return "ask.measure" if field_kind(ask.path) == "length" else "ask.find-out"


def _at_place(rule_id: str, place: Place, laid: Laid, kind: str) -> str:
    """Return the step of a rule that is nearest to a place, or ""."""
    there = nearest(place, kind, laid.get(rule_id, []))
    return step_id(rule_id, there[0]) if there else ""


def _step(found: _Found, needs: tuple[str, ...], laid: Laid, kinds: Kinds, index: Index) -> Step:
    placed, place, match = found.placed, found.place, found.match
    rule, names = placed.rule, _names(place, index)
    present = Because("place", place.name, place.where) if place.where else None
    asked = bool(match.asks)
    base = sentences(rule, names, BASE, asked)
    until = rule.repeat.until if rule.repeat else None
    return Step(
        id=step_id(rule.step, place),
        rule=rule.step,
        file=placed.source.file,
        line=placed.line,
        phase=placed.phase,
        place=place.id,
        place_name=place.name,
        place_kind=place.kind,
        **base,
        measure=" ".join(say(_verb(ask), what=ask.words) for ask in match.asks),
        asks=match.asks,
        needs=needs,
        proof=tuple(map(proof, rule.proof)),
        sources=sources(placed),
        facts=(*((present,) if present else ()), *match.facts),
        puts_back=_at_place(rule.puts_back, place, laid, place.kind) if rule.puts_back else "",
        order=found.order,
        every=rule.repeat.every if rule.repeat else "",
        until=_at_place(until, place, laid, kinds[until]) if until else "",
        override=rule.override.who if rule.override else "",
        may_stay_out=tuple(rule.may_stay_out),
        reckons=tuple(rule.reckon),
        goes_if=goes_if(placed.condition, place),
        other={
            language: _changed(base, sentences(rule, names, language, asked))
            for language in languages(rule)
        },
    )


def _changed(base: Mapping[str, Any], other: Mapping[str, Any]) -> dict[str, Any]:
    """Return the sentences that differ from the base, as JSON values."""
    return {k: _plain(v) for k, v in other.items() if v != base[k]}


def _plain(value: Any) -> Any:
    """Return a value as JSON would give it back."""
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    return to_builtins(value) if isinstance(value, Struct) else value
