"""What must be asked to tick a step: nothing, where a known name is enough."""

from __future__ import annotations

from siltline.judge import StepView
from siltline.rules.plan import Proof
from siltline.screens.forms import Field
from siltline.sentences import say


def _of_proof(number: int, proof: Proof) -> list[Field]:
    if proof.kind == "reading":
        label = say("form.reading", what=proof.name, unit=proof.unit)
        return [Field(f"value{number}-{n}", label, needed=False) for n in range(proof.count)]
    if proof.kind == "licence":
        return [Field("licence", say("form.licence", trade=proof.name), needed=False)]
    return []


def tick_fields(view: StepView, person: str) -> list[Field]:
    """Return the fields of a tick: the missing facts, or else readings and licence; then a note.

    Keys that start with `value` are values of the tick, in order.
    """
    fields = [Field(f"value{n}", ask.words) for n, ask in enumerate(view.step.asks)]
    if not fields:
        for number, proof in enumerate(view.step.proof):
            fields += _of_proof(number, proof)
    if not fields and person:
        return []
    by = Field("by", say("form.by"), person)
    return [by, *fields, Field("note", say("form.note"), needed=False)]
