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


def why(job: Job, view: StepView) -> Iterator[Line]:
    """Yield all that can be told of a step's presence, its needs, its sources and its word."""
    step = view.step
    yield from _act(view)
    for shown in in_shot(view):
        yield 1, shown
    yield from _presence(step)
    for need in step.needs:
        met = say("why.waits" if need in view.waiting else "why.met")
        yield 1, say("why.need", need=need, met=met)
    if step.hold_point:
        yield 1, say("why.hold", reason=step.hold_point)
    for source in step.sources:
        yield 1, say("why.source", source=source)
    if step.override:
        yield 1, say("why.override", who=step.override)
    for remark in view.remarks:
        yield 1, remark
    if view.word is not None:
        word = view.word
        yield 1, say("why.word", kind=word.kind, by=word.by, at=job.shown(word.at))
