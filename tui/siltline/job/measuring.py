"""Facts found out on the job: recorded, and the plan laid again with them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from siltline.errors import NotNow, WrongUse
from siltline.job.desk import Job
from siltline.judge import StepView
from siltline.rules.plan import Ask
from siltline.sentences import say


def found_before(job: Job, step: str) -> list[Ask]:
    """Return the facts that were found out for a step, as what could be found out anew."""
    ledger = job.board.ledger
    return [
        Ask(one.path, one.words)
        for values in ledger.measured.values()
        for one in values
        if one.step == step
    ]


def measure(
    job: Job, view: StepView, asks: Sequence[Ask], values: Sequence[str], by: str, note: str
) -> None:
    """Record facts and lay the plan again with them; call inside `acting`.

    Args:
        job: the open job.
        view: the step that asked.
        asks: what is found out, in the order of the values.
        values: as typed; fewer than asks where the rest stays unknown.
        by: who found it out.
        note: a note.

    Raises:
        NotNow: no value was given.
        WrongUse: a value that cannot be, or more values than asks.
    """
    from siltline.job.laying import laid_with, lay  # noqa: PLC0415 - no act needs it but this
    from siltline.rules.sheet.asking import as_typed  # noqa: PLC0415 - imports the shapes

    if not values:
        raise NotNow(say("acts.measure-first", do=view.step.do, measure=view.measure))
    if len(values) > len(asks):
        raise WrongUse(say("acts.too-many", n=len(asks)))

    facts = job.board.ledger.facts()
    for ask, value in zip(asks, values, strict=False):
        answer = facts[ask.path] = as_typed(ask.path, value, job.here())
        plan = laid_with(job, facts)
        body: dict[str, Any] = {"step": view.step.id, "path": list(ask.path), "words": ask.words}
        if isinstance(answer, str) and answer != value:
            body["typed"] = value
        event = job.append("measured", {**body, "value": answer, "note": note}, by)
        told = say("plan.dropped", what=ask.words, value=value, by=by)
        lay(job, plan, by, because=told, body={"for": event.id})


def take_back(job: Job, step: str, by: str | None) -> bool:
    """Take back what was found out for a step; False where nothing was. Call inside `acting`."""
    acts = job.board.ledger.acts
    gone = {e.id for e in acts if e.kind == "measured" and e.body["step"] == step}
    if not gone:
        return False
    laid = [e.id for e in job.record.events if e.kind == "laid" and e.body.get("for") in gone]
    job.append("undone", {"events": [*sorted(gone), *laid]}, by)
    return True
