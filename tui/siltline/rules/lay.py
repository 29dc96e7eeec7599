"""Lays a checklist over a house sheet: rules and places in, concrete steps out. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from siltline.rules.checklist import COMMON_PRACTICE, Checklist, Need, PlacedRule, Rule, SourceRule
from siltline.rules.facts import Place
from siltline.rules.house import House
from siltline.rules.match import Match, matches
from siltline.rules.places import places
from siltline.rules.plan import Ask, Because, Caution, Phase, Plan, Proof, Step, in_order
from siltline.rules.sheet.asking import field_kind
from siltline.rules.yamltext import Source
from siltline.sentences import say

Index = Mapping[tuple[str, str], Place]
Laid = dict[str, list[Place]]  # rule id -> the places where it applies
PLACEHOLDERS = ("place", "room", "circuit", "house")


def lay(checklist: Checklist, house: House, source: Source) -> Plan:
    """Return the plan of a house: the same for the same checklist and sheet, always.

    The checklist must be free of faults (`check.cross_faults`).
    """
    by_kind = places(house, source)
    index = {(p.kind, p.id): p for group in by_kind.values() for p in group}
    found: list[tuple[PlacedRule, Place, Match, tuple[int, int, int]]] = []
    laid: Laid = {}
    phase_numbers = {phase: n for n, (phase, _) in enumerate(checklist.phases)}
    for number, placed in enumerate(checklist.rules):
        for n, place in enumerate(by_kind[placed.rule.each]):
            match = matches(placed.rule.when, place, index)
            if match.value is not False:
                found.append((placed, place, match, (phase_numbers[placed.phase], number, n)))
                laid.setdefault(placed.rule.step, []).append(place)
    kinds = {placed.rule.step: placed.rule.each for placed in checklist.rules}
    phases = {placed.rule.step: placed.phase for placed in checklist.rules}
    steps = [
        _step(placed, place, match, order, _needed(placed, place, laid, kinds, phases), laid, index)
        for placed, place, match, order in found
    ]
    titles = tuple(Phase(i, title) for i, title in checklist.phases)
    return Plan(house.house, house.time_zone or "", checklist.name, titles, in_order(steps))


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


def _source(source: SourceRule) -> str:
    if source.title == COMMON_PRACTICE:
        return say("source.common-practice")
    parts = [source.title, source.edition, source.section]
    return say(f"source.{source.seen}", title=", ".join(p for p in parts if p))


def _proof(rule: Rule) -> tuple[Proof, ...]:
    return tuple(
        Proof(
            "photo" if p.photo else "reading" if p.reading else "licence",
            p.photo or p.reading or p.licence or "",
            int(p.count),
            p.unit or "",
            p.at_most or "",
            p.at_least or "",
            int(p.hours_apart),
        )
        for p in rule.proof
    )


def _verb(ask: Ask) -> str:
    return "ask.measure" if field_kind(ask.path) == "length" else "ask.find-out"


def _step(
    placed: PlacedRule,
    place: Place,
    match: Match,
    order: tuple[int, int, int],
    needs: tuple[str, ...],
    laid: Laid,
    index: Index,
) -> Step:
    rule, names = placed.rule, _names(place, index)
    back = rule.puts_back
    taken = nearest(place, place.kind, laid.get(back, [])) if back else []
    asked = [say(_verb(ask), what=ask.words) for ask in match.asks]
    present = Because("place", place.name, place.where) if place.where else None
    return Step(
        id=step_id(rule.step, place),
        rule=rule.step,
        file=placed.source.file,
        line=placed.line,
        phase=placed.phase,
        place=place.id,
        place_name=place.name,
        place_kind=place.kind,
        do=rule.do.format_map(names),
        reason=rule.why.format_map(names),
        measure=" ".join(asked),
        measure_after=(rule.measure or "").format_map(names) if asked else "",
        asks=match.asks,
        needs=needs,
        hold_point=(rule.hold_point or "").format_map(names),
        proof=_proof(rule),
        cautions=tuple(
            Caution(word, text.format_map(names)) for c in rule.caution for word, text in c.items()
        ),
        sources=tuple(_source(s) for s in rule.source),
        facts=(*((present,) if present else ()), *match.facts),
        takes_out=(rule.takes_out or "").format_map(names),
        puts_back=step_id(back, taken[0]) if back and taken else "",
        order=order,
    )
