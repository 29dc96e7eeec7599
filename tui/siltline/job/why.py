"""Why a step is there, what it waits for, and what would make it go away: in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from siltline.job.desk import Job
from siltline.judge import StepView
from siltline.judge.proofs import in_shot
from siltline.rules.plan import Step
from siltline.sentences import say

Line = tuple[int, str]  # how deep it stands, and the sentence


def _act(view: StepView) -> Iterator[Line]:
    """Yield what to do, what can hurt, what is forbidden, and the ways there are."""
    step = view.step
    yield 0, f"{step.id}: {view.state}"
    yield 1, step.do
    for caution in step.cautions:
        yield 1, f"{caution.word}: {caution.text}"
    for never in step.nevers:
        yield 1, say("why.never", act=never.act, because=never.because)
    for way in step.ways:
        yield 2, say("why.way", way=way.id, do=way.do)
    yield 1, step.reason


def _presence(step: Step) -> Iterator[Line]:
    """Yield why a step is there, what is not known, and what would make it go away."""
    yield 1, say("why.rule", rule=step.rule, file=step.file, line=step.line)
    for because in step.facts:
        yield 2, f"{because.fact} = {because.value} ({because.where})"
    for ask in step.asks:
        yield 1, say("why.asks", what=ask.words)
    for gone in step.goes_if:
        yield 1, gone


def _no_more(job: Job, view: StepView) -> Iterator[Line]:
    """Yield why a step applies no more: what was said, and its facts as they stand now."""
    from siltline.rules.faults import Faulty  # noqa: PLC0415
    from siltline.rules.files import house_from  # noqa: PLC0415 - reads YAML
    from siltline.rules.standing import facts_now  # noqa: PLC0415

    step, ledger = view.step, job.board.ledger
    yield 1, say("why.no-more")
    for remark in view.remarks:
        yield 1, remark
    yield 1, say("why.rule-then", rule=step.rule, file=step.file, line=step.line)
    sheet = ledger.laid_upon()["sheet"]
    try:
        found = list(
            facts_now(step, *house_from(sheet["text"], sheet["name"], ledger.facts().items()))
        )
    except Faulty:  # a stored sheet that this version cannot read
        found = []
    for one in found:
        then, now = one.then, one.now
        if now is None:
            yield 2, say("why.fact-gone", fact=then.fact, then=then.value)
        elif now.value == then.value:
            yield 2, say("why.fact-same", fact=now.fact, now=now.value, where=now.where)
        else:
            told = {"now": now.value, "where": now.where, "then": then.value}
            yield 2, say("why.fact-now", fact=now.fact, **told)


def _need(job: Job, view: StepView, need: str) -> str:
    """Return how a step that comes first stands, in words."""
    if need in view.waiting:
        return say("why.waits")
    there = job.board.steps.get(need)
    if there is None or there.state == "not-needed":
        return say("why.need-gone")
    return say("why.need-left-out") if there.state == "not-done" else say("why.met")


def _word(job: Job, view: StepView) -> Iterator[Line]:
    """Yield the word that stands on a step, if any."""
    word = view.word
    if word is not None:
        yield 1, say("why.word", kind=word.kind, by=word.by, at=job.shown(word.at))


def why(job: Job, view: StepView) -> Iterator[Line]:
    """Yield all that can be told of a step's presence, its needs, its sources and its word."""
    step = view.step
    yield from _act(view)
    if view.state == "not-needed":
        yield from _no_more(job, view)
        yield from _word(job, view)
        return
    for shown in in_shot(view):
        yield 1, shown
    yield from _presence(step)
    for need in step.needs:
        yield 1, say("why.need", need=need, met=_need(job, view, need))
    if step.hold_point:
        yield 1, say("why.hold", reason=step.hold_point)
    for source in step.sources:
        yield 1, say("why.source", source=source)
    if step.override:
        yield 1, say("why.override", who=step.override)
    for remark in view.remarks:
        yield 1, remark
    yield from _word(job, view)
