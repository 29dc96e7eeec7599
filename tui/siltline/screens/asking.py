"""What must be asked to tick a step: nothing, where a known name is enough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from siltline.job import Job
from siltline.job.tell import word_told
from siltline.judge import StepView, Word
from siltline.judge.holding import MEASURED, dimension
from siltline.rules.plan import Ask, Proof
from siltline.screens.forms import Field, Typed
from siltline.sentences import say


def _of_ask(number: int, ask: Ask) -> Field:
    from siltline.rules.sheet.asking import field_kind  # noqa: PLC0415 - imports the shapes

    example = "form.length" if field_kind(ask.path) == "length" else "form.fact"
    return Field(f"value{number}", say(example, what=ask.words))


def _of_measure(number: int, proof: Proof, alike: int) -> list[Field]:
    label = say("form.reading", what=proof.name, unit=proof.unit or "min")
    together = 1 if proof.hours_apart else proof.count
    prefix = f"{proof.name}=" if alike > 1 else ""
    return [
        Field(f"value{number}-{n}", label, needed=False, prefix=prefix) for n in range(together)
    ]


def _of_proof(proof: Proof, word: Word | None) -> list[Field]:
    told = {
        "licence": ("form.licence", word.licence if word else ""),
        "label": ("form.label", word.registration if word else ""),
        "way": ("form.way", word.way if word else ""),
    }
    if proof.kind not in told:
        return []
    key = {"label": "registration"}.get(proof.kind, proof.kind)
    label, value = told[proof.kind]
    return [Field(key, say(label, name=proof.name), value, needed=False)]


def tick_fields(view: StepView, person: str) -> list[Field]:
    """Return the fields of a tick: the missing facts, or else readings and licence; then a note.

    Keys that start with `value` are values of the tick, in order. A word that stands already is
    asked about again, so that Enter never replaces it by itself; its licence and note are kept.
    """
    word = view.word
    fields = [_of_ask(n, ask) for n, ask in enumerate(view.step.asks)]
    if not fields:
        alike = Counter(dimension(h.proof) for h in view.held if h.proof.kind in MEASURED)
        for number, held in enumerate(view.held):
            if held.proof.kind in MEASURED:
                fields += _of_measure(number, held.proof, alike[dimension(held.proof)])
            else:
                fields += _of_proof(held.proof, word)
        fields = list({field.key: field for field in fields}.values())
    if not fields and person and word is None:
        return []
    by = Field("by", say("form.by"), person)
    note = Field("note", say("form.note"), word.note if word else "", needed=False)
    return [by, *fields, note]


def values_of(fields: Sequence[Field], typed: Typed) -> list[str]:
    """Return the values of a tick that were typed, each with its name where it needs one."""
    filled = [field for field in fields if field.key.startswith("value")]
    return [f"{f.prefix}{typed[f.key].strip()}" for f in filled if typed[f.key].strip()]


def leave_fields(view: StepView, person: str) -> list[Field]:
    """Return the fields of leaving a step out: who and why, and who may decide so."""
    fields = [Field("by", say("form.by"), person), Field("because", say("form.because"))]
    if view.step.override:
        label = say("form.override", who=view.step.override)
        fields.append(Field("licence", label, needed=False))
    if view.step.may_stay_out:
        label = say("form.decided-by", who=", ".join(view.step.may_stay_out))
        fields.append(Field("decided_by", label, needed=False))
    return fields


def tick_hint(job: Job, view: StepView) -> str:
    """Return what stands above the fields: what is asked, and whose word would be replaced."""
    if view.state == "measure":
        return view.measure
    told = word_told(job, view)
    return f"{view.step.do} {told} {say('form.replaces')}" if told else view.step.do
