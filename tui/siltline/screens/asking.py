"""What must be asked to tick a step: nothing, where a known name is enough."""

from __future__ import annotations

from siltline.job import Job
from siltline.job.tell import word_told
from siltline.judge import StepView
from siltline.rules.plan import Ask, Proof
from siltline.screens.forms import Field
from siltline.sentences import say


def _of_ask(number: int, ask: Ask) -> Field:
    from siltline.rules.sheet.asking import field_kind  # noqa: PLC0415 - imports the shapes

    example = "form.length" if field_kind(ask.path) == "length" else "form.fact"
    return Field(f"value{number}", say(example, what=ask.words))


def _of_proof(number: int, proof: Proof, licence: str) -> list[Field]:
    if proof.kind == "reading":
        label = say("form.reading", what=proof.name, unit=proof.unit)
        together = 1 if proof.hours_apart else proof.count
        return [Field(f"value{number}-{n}", label, needed=False) for n in range(together)]
    if proof.kind == "licence":
        return [Field("licence", say("form.licence", trade=proof.name), licence, needed=False)]
    return []


def tick_fields(view: StepView, person: str) -> list[Field]:
    """Return the fields of a tick: the missing facts, or else readings and licence; then a note.

    Keys that start with `value` are values of the tick, in order. A word that stands already is
    asked about again, so that Enter never replaces it by itself; its licence and note are kept.
    """
    word = view.word
    fields = [_of_ask(n, ask) for n, ask in enumerate(view.step.asks)]
    if not fields:
        for number, proof in enumerate(view.step.proof):
            fields += _of_proof(number, proof, word.licence if word else "")
    if not fields and person and word is None:
        return []
    by = Field("by", say("form.by"), person)
    note = Field("note", say("form.note"), word.note if word else "", needed=False)
    return [by, *fields, note]


def tick_hint(job: Job, view: StepView) -> str:
    """Return what stands above the fields: what is asked, and whose word would be replaced."""
    if view.state == "measure":
        return view.measure
    told = word_told(job, view)
    return f"{view.step.do} {told} {say('form.replaces')}" if told else view.step.do
