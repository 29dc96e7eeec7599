"""The plan as it stands after every laying, also where laptops laid it without each other.

Each step has the versions that stand: a version replaces those that its laying knew of. Where
two layings that did not know of each other disagree on a step, the version that stood before
both is shown again: a fact that two people measured differently is asked for once more.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from siltline.judge.causes import Causes
from siltline.record import Event, Late
from siltline.rules.plan import (
    Dropped,
    Phase,
    Plan,
    Step,
    in_order,
    step_from_json,
    whole_from_json,
    whole_from_text,
)


class Version(Struct, frozen=True, gc=False):
    """A step, or why it applies no more, as of a laying; `before` stood when it was laid."""

    event: str
    what: Step | Dropped
    before: Step | Dropped | None = None


def _version(versions: list[Version]) -> Step | Dropped:
    """Return what stands of a step's versions."""
    first = versions[0]
    if len(versions) == 1 or all(v.what == first.what for v in versions):
        return first.what
    earlier = [v.before for v in versions if v.before is not None]
    return earlier[0] if earlier else min(versions, key=lambda v: v.event).what


class Planning(Struct):
    """Folds `laid` events into a plan; `causes` tells which laying knew of which.

    `upon` holds the sheet and the checklist (names and texts) that the newest laying used.
    `lost` holds needs that a laying took away because the needed step applied no more; where
    that step stands again, as after a fact that two people disagree on, it is needed again.
    """

    causes: Causes
    first: Plan | None = None
    steps: dict[str, list[Version]] = field(default_factory=dict)
    upon: dict[str, Any] = field(default_factory=dict)
    lost: dict[str, set[str]] = field(default_factory=dict)
    _plan: Plan | None = None

    def lay(self, event: Event) -> None:
        """Take in a laying: a whole plan, or what changed."""
        body = event.body
        self._plan = None
        self.upon |= {key: body[key] for key in ("sheet", "checklist") if key in body}
        if "plan" in body:
            if isinstance(body, Late):
                whole = whole_from_text(body.parts["plan"])
            else:
                whole = whole_from_json(body["plan"])
            if self.first is None:
                self.first = self._plan = whole  # it was laid in order, and nothing stood before
                self.steps = {step.id: [Version(event.id, step)] for step in whole.steps}
                return
            for step in whole.steps:
                self._stand(step.id, event.id, step)
            return
        if self.first is not None and "checklist" in body:
            phases = tuple(Phase(**phase) for phase in body["phases"])
            self.first = replace(self.first, phases=phases, checklist=body["checklist"]["name"])
        self._change(event.id, body["change"])
        if "checklist" in body:  # its rules may want less, and mean it
            self.lost.clear()

    def _change(self, event: str, change: Mapping[str, Any]) -> None:
        for gone in change["dropped"]:
            versions = self.steps.get(gone["id"])
            if versions:
                step = _step_of(_version(versions))
                self._stand(gone["id"], event, Dropped(step, gone["because"]))
        for value in change["changed"]:
            self._stand(value["id"], event, step_from_json(value))

    def _stand(self, step: str, event: str, what: Step | Dropped) -> None:
        there = self.steps.get(step, [])
        known = [v for v in there if self.causes.knew(event, v.event)]
        before = _version(known) if known else None
        if isinstance(what, Step):
            gone = {need for v in there for need in _step_of(v.what).needs} - set(what.needs)
            if gone:
                self.lost.setdefault(step, set()).update(gone)
        kept = [v for v in there if v not in known]
        self.steps[step] = [*kept, Version(event, what, before)]

    def plan(self) -> Plan | None:
        """Return the plan as it stands; None where nothing was laid."""
        if self._plan is None and self.first is not None:
            found = [_version(versions) for versions in self.steps.values()]
            there = {what.id: what for what in found if isinstance(what, Step)}
            steps = in_order([self._needing(step, there) for step in there.values()])
            dropped = tuple(what for what in found if isinstance(what, Dropped))
            self._plan = replace(self.first, steps=steps, dropped=dropped)
        return self._plan

    def _needing(self, step: Step, there: Mapping[str, Step]) -> Step:
        """Return a step with the needs that were lost and stand again."""
        again = sorted(
            need for need in self.lost.get(step.id, ()) if need in there and need not in step.needs
        )
        return replace(step, needs=(*step.needs, *again)) if again else step


def _step_of(what: Step | Dropped) -> Step:
    return what.step if isinstance(what, Dropped) else what
