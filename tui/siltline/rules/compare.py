"""Two plans of one house held side by side: what came, what went, what reads otherwise."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from siltline.rules.plan import Plan, Step
from siltline.sentences import say

# What a person would want to know of, under the name that people see; places in files are not.
_TOLD = {
    "do": ("do",),
    "why": ("reason",),
    "measure": ("measure", "measure_after"),
    "needs": ("needs", "hold_point"),
    "proof": ("proof", "ways", "every", "until"),
    "cautions": ("cautions", "nevers"),
    "source": ("sources", "override"),
    "put-back": ("takes_out", "puts_back", "may_stay_out"),
    "phase": ("phase",),
    "reckon": ("reckons",),
}


class Change(Struct, frozen=True):
    """One step that came, went or changed; of the last, what about it reads otherwise."""

    kind: str
    step: Step
    about: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the change in words."""
        about = ", ".join(say(f"change.about.{name}") for name in self.about)
        return say(f"change.{self.kind}", step=self.step.id, do=self.step.do, about=about)


def _about(old: Step, new: Step) -> tuple[str, ...]:
    return tuple(
        name
        for name, fields in _TOLD.items()
        if any(getattr(old, field) != getattr(new, field) for field in fields)
    )


def compare(old: Plan, new: Plan) -> Sequence[Change]:
    """Return what laying anew changes for a house, in the order of the plans."""
    before = {step.id: step for step in old.steps}
    after = {step.id: step for step in new.steps}
    gone = [Change("gone", step) for step in old.steps if step.id not in after]
    came = [Change("came", step) for step in new.steps if step.id not in before]
    told = [(step, _about(before[step.id], step)) for step in new.steps if step.id in before]
    changed = [Change("changed", step, about) for step, about in told if about]
    return [*gone, *came, *changed]
