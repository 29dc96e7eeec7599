"""What comes before what, and what goes out and comes back: faults between rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from siltline.rules.checklist import Checklist, PlacedRule
from siltline.rules.faults import Fault
from siltline.rules.places import ABOVE
from siltline.sentences import say


def put_back(checklist: Checklist) -> Iterator[Fault]:
    """Yield a fault for each thing taken out that no rule puts back, and the reverse."""
    takers = {placed.rule.step: placed for placed in checklist.rules if placed.rule.takes_out}
    returned = {placed.rule.puts_back for placed in checklist.rules}
    for step, placed in takers.items():
        if step not in returned:
            told = say("rules.never-back", step=step)
            yield placed.source.fault(placed.at("takes-out"), told)
    steps = {placed.rule.step for placed in checklist.rules}
    for placed in checklist.rules:
        back = placed.rule.puts_back
        if back is None or back not in steps:
            continue
        if back not in takers:
            yield placed.source.fault(placed.at("puts-back"), say("rules.not-out", step=back))
        elif takers[back].rule.each != placed.rule.each:
            there = takers[back].rule.each
            text = say("rules.other-place", step=back, there=there)
            yield placed.source.fault(placed.at("puts-back"), text)


def many_ends(checklist: Checklist) -> Iterator[Fault]:
    """Yield a fault where a repeated step would end with the first of several places."""
    kinds = {placed.rule.step: placed.rule.each for placed in checklist.rules}
    for placed in checklist.rules:
        each, until = placed.rule.each, placed.rule.repeat and placed.rule.repeat.until
        there = kinds.get(until or "")
        if there is not None and there not in (each, *ABOVE.get(each, ())):
            text = say("rules.repeat-many", step=until, there=there, each=each)
            yield placed.source.fault(placed.at("repeat", "until"), text)


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


def cycle(checklist: Checklist) -> Iterator[Fault]:
    """Yield a fault where steps wait for each other."""
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
        yield placed.source.fault(placed.at("needs"), text)
