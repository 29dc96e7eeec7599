"""Small houses of the trade as data: lays them, and says what comes before what."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from siltline import resources
from siltline.rules.checklist import Checklist
from siltline.rules.files import checklist_from, checklist_texts, house_from
from siltline.rules.lay import lay
from siltline.rules.plan import Plan

Data = dict[str, Any]
NAMES = resources.checklist_names()


@cache
def checklist(name: str = "river-flood") -> Checklist:
    """Return a checklist that ships, read once."""
    return checklist_from(checklist_texts(resources.folder("checklists") / name))


def plan_of(house: Data, name: str = "river-flood") -> Plan:
    """Lay a checklist that ships over a sheet given as data."""
    return lay(checklist(name), *house_from(json.dumps(house), "house.yaml"))


def merged(under: Data, over: Data) -> Data:
    """Return a mapping with another laid over it; null takes a key away."""
    found = dict(under)
    for key, value in over.items():
        below = found.get(key)
        both = isinstance(value, dict) and isinstance(below, dict)
        found[key] = merged(below, value) if both else value  # type: ignore[arg-type]
    return {key: value for key, value in found.items() if value is not None}


def before(plan: Plan) -> Mapping[str, frozenset[str]]:
    """Return, of each step, all steps that come before it through needs."""
    needs = {step.id: step.needs for step in plan.steps}
    found: dict[str, frozenset[str]] = {}

    def gather(step: str) -> frozenset[str]:
        if step not in found:
            own = [need for need in needs[step] if need in needs]
            found[step] = frozenset(own).union(*map(gather, own))
        return found[step]

    for step in needs:
        gather(step)
    return found
