"""Documents a step with all that it waits for, whatever the checklist asks for today."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from siltline.job import Job
from siltline.job.acts import attach, tick
from siltline.job.add import add
from siltline.judge import StepView
from siltline.rules.plan import Ask, Proof
from siltline.rules.sheet.asking import field_kind
from support.pictures import photo

LICENCE = "Licence X-1 (invented)"
_NUMBERS = count(5000)  # of the pictures, so that each is another


def _pictures(job: Job, folder: Path, view: StepView, proof: Proof) -> None:
    for _ in range(proof.count):
        number = next(_NUMBERS)
        path = photo(folder, f"W{number}.JPG", number)
        add(job, [path])
        attach(job, view.step.id, path.name, role=proof.name)


def _value(proof: Proof) -> str:
    amount = proof.at_most or proof.at_least or f"1 {proof.unit}"
    return f"{proof.name}={amount}"


# An answer of each kind of key (`sheet.asking.FieldKind`); of words to choose from, the first.
_ANSWERS = {
    "yes-no": "no", "moment": "2026-03-12 07:00", "year": "1999", "length": "1 in",
    "area": "10 ft2", "count": "1", "words": "Somebody Invented",
}  # fmt: skip


def _answer(ask: Ask) -> str:
    kind = field_kind(ask.path)
    return _ANSWERS[kind] if isinstance(kind, str) else str(kind[0])


def document(job: Job, folder: Path, step: str) -> None:
    """Document what a step waits for, then the step; its first way is chosen.

    A fact that it asks for is answered, with no where that is an answer; where that makes the step
    go, it is left so.
    """
    while (view := job.step(step)).waiting:
        document(job, folder, view.waiting[0])
    if view.state == "measure":
        tick(job, step, by="Ada", values=[_answer(ask) for ask in view.step.asks])
        view = job.step(step)
    if view.state in ("documented", "not-needed"):
        return
    way = view.step.ways[0].id if view.step.ways else ""
    proofs = [*view.step.proof, *(view.step.ways[0].proof if way else ())]
    for proof in proofs:
        if proof.kind == "photo":
            _pictures(job, folder, view, proof)
    licence = LICENCE if any(proof.kind == "licence" for proof in proofs) else ""
    values = [_value(proof) for proof in proofs if proof.kind in ("reading", "quantity")]
    tick(job, step, by="Ada", licence=licence, values=values, way=way)
