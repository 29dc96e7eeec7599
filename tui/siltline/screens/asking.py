"""What must be asked to tick a step: nothing, where a known name is enough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial

from msgspec.structs import replace

from siltline.job import Job
from siltline.job.people import licence_for, people, product_named, products
from siltline.job.said import registration_number
from siltline.job.tell import shown_of, word_told
from siltline.judge import StepView, Word
from siltline.judge.holding import MEASURED, dimension, split, within
from siltline.judge.proofs import in_shot
from siltline.rules.plan import Ask, Proof
from siltline.screens.facts import amount, fact_field
from siltline.screens.field import Field, Typed
from siltline.sentences import say
from siltline.units import bare_in


def _of_ask(number: int, ask: Ask, now: datetime) -> Field:
    from siltline.rules.sheet.asking import field_kind  # noqa: PLC0415 - imports the shapes

    example = "form.length" if field_kind(ask.path) == "length" else "form.fact"
    return fact_field(ask.path, f"value{number}", say(example, what=ask.words), now=now)


def typed_amount(proof: Proof, typed: str) -> str:
    """Return a reading with its unit: a bare number is percent where a step asks for percent.

    No other unit goes without saying: 18 can be C or F, 34 can be inches or centimetres.
    """
    return bare_in(typed, "%") if proof.unit == "%" else typed.strip()


def read_amount(proof: Proof, typed: str) -> str:
    """Return what is read from a reading that was typed, and whether it keeps its bounds.

    Raises:
        WrongUse: it is no amount, or has another kind of unit.
    """
    value = typed_amount(proof, typed)
    told = amount(split(value)[1], dimension(proof))
    broken = within(proof, value)
    return f"{told}  {broken}" if broken else told


def _of_measure(number: int, proof: Proof, alike: int) -> list[Field]:
    label = say("form.reading", what=proof.name, unit=proof.unit or "min")
    together = 1 if proof.hours_apart else proof.count
    prefix = f"{proof.name}=" if alike > 1 else ""
    return [
        Field(
            f"value{number}-{n}",
            label,
            needed=False,
            prefix=prefix,
            reads=partial(read_amount, proof),
            completes=partial(typed_amount, proof),
        )
        for n in range(together)
    ]


def _of_proof(job: Job, proof: Proof, word: Word | None) -> list[Field]:
    told = {
        "licence": ("form.licence", word.licence if word else ""),
        "label": ("form.label", word.registration if word else ""),
        "way": ("form.way", word.way if word else ""),
    }
    if proof.kind not in told:
        return []
    key = {"label": "registration"}.get(proof.kind, proof.kind)
    label, value = told[proof.kind]
    asked = say(label, name=proof.name)
    if proof.kind == "label":
        reads = partial(_label, job)
        offers = tuple(one.name for one in products(job))
        return [Field(key, asked, value, needed=False, reads=reads, offers=offers)]
    offers = tuple(proof.name.split(", ")) if proof.kind == "way" else ()
    return [Field(key, asked, value, needed=False, offers=offers)]


def _label(job: Job, typed: str) -> str:
    """Return the number that is read from a number or from the name of a product of the job."""
    product = product_named(job, typed)
    if product is None:
        return registration_number(typed)
    return f"{product.registration} ({product.name})"


def by_field(job: Job, person: str) -> Field:
    """Return the field for who it is; it offers the people of the register."""
    names = tuple(dict.fromkeys(one.name for one in people(job)))
    return Field("by", say("form.by"), person, offers=names)


def filled_in(job: Job, trades: Sequence[str]) -> Callable[[str, Typed], Typed]:
    """Return what fills the licence in where a name of the register is typed.

    Args:
        job: the open job.
        trades: whose licence the form asks for.
    """

    def fill(key: str, typed: Typed) -> Typed:
        if key != "by" or not trades:
            return {}
        return {"licence": licence_for(job, typed["by"], trades[0])}

    return fill


def trades_of(view: StepView) -> list[str]:
    """Return whose licence a step asks for."""
    return [held.proof.name for held in view.held if held.proof.kind == "licence"]


def tick_fields(job: Job, view: StepView, person: str) -> list[Field]:
    """Return the fields of a tick: the missing facts, or else readings and licence; then a note.

    Keys that start with `value` are values of the tick, in order. A word that stands already is
    asked about again, so that Enter never replaces it by itself; its licence and note are kept.
    """
    word = view.word
    now = job.here()
    fields = [_of_ask(n, ask, now) for n, ask in enumerate(view.step.asks)]
    if not fields:
        alike = Counter(dimension(h.proof) for h in view.held if h.proof.kind in MEASURED)
        for number, held in enumerate(view.held):
            if held.proof.kind == "contact-time" and shown_of(job, view, held) and not word:
                continue  # a clock tells it
            if held.proof.kind in MEASURED:
                fields += _of_measure(number, held.proof, alike[dimension(held.proof)])
            else:
                fields += _of_proof(job, held.proof, word)
        fields = list({field.key: field for field in fields}.values())
    if not fields and person and word is None:
        return []
    by = by_field(job, person)
    note = Field("note", say("form.note"), word.note if word else "", needed=False)
    licence = licence_for(job, person, "".join(trades_of(view)[:1]))
    known = [replace(f, value=licence) if f.key == "licence" and not f.value else f for f in fields]
    return [by, *known, note]


def values_of(fields: Sequence[Field], typed: Typed) -> list[str]:
    """Return the values of a tick that were typed, each with its name where it needs one."""
    filled = [field for field in fields if field.key.startswith("value")]
    given = [(f, typed.get(f.key, "")) for f in filled]  # none where nothing could be asked
    return [f"{field.prefix}{field.whole(value)}" for field, value in given if value.strip()]


def leave_fields(job: Job, view: StepView, person: str) -> list[Field]:
    """Return the fields of leaving a step out: who and why, and who may decide so."""
    fields = [by_field(job, person), Field("because", say("form.because"))]
    if view.step.override:
        label = say("form.override", who=view.step.override)
        fields.append(Field("licence", label, needed=False))
    if view.step.may_stay_out:
        label = say("form.decided-by", who=", ".join(view.step.may_stay_out))
        offers = tuple(view.step.may_stay_out)
        fields.append(Field("decided_by", label, needed=False, offers=offers))
    return fields


def tick_hint(job: Job, view: StepView) -> str:
    """Return what stands above the fields: what is asked, and whose word would be replaced."""
    if view.state == "measure":
        return view.measure
    told = word_told(job, view)
    replaces = (told, say("form.replaces")) if told else ()
    return " ".join([view.step.do, *in_shot(view), *replaces])


def draft_name(act: str, view: StepView) -> str:
    """Return the name of the draft of an act on a step; what is asked for belongs to it."""
    asks = ",".join(".".join(ask.path) for ask in view.step.asks)
    return f"{act} {view.step.id} {asks}".strip()
