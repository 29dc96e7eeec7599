"""The step in hand: caution above the act, why, proof, and what it waits for. Data to content."""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from siltline.job import Job
from siltline.job.contact import told as wet_told
from siltline.job.tell import shown_of, untold_remarks, word_told
from siltline.judge import StepView
from siltline.judge.contact import standing
from siltline.judge.holding import Held
from siltline.judge.proofs import in_shot, wanted, wanted_roles
from siltline.rules.plan import Caution, Never, Step
from siltline.screens.words import MARKS, SIGNAL_STYLES, STATE_STYLES, plain, short
from siltline.sentences import say

NEWLINE = Content("\n")


def _caution(caution: Caution) -> Content:
    word = Content.styled(f" {caution.word} ", SIGNAL_STYLES[caution.word])
    return Content.assemble(word, " ", plain(caution.text), "\n")


def _never(never: Never) -> Content:
    """Return a forbidden act: what, and why."""
    word = Content.styled(f" {say('card.never')} ", "bold $error")
    told = say("card.never-because", act=never.act, because=never.because)
    return Content.assemble(word, plain(told))


def _choices(step: Step) -> Iterator[str]:
    """Yield what may be chosen at a step, and by whom."""
    if step.ways:
        yield say("card.ways")
    for way in step.ways:
        who = say("card.by", who=way.who) if way.who else ""
        yield f"  {say('why.way', way=way.id, do=way.do)}{who}"
    if step.override:
        yield say("why.override", who=step.override)
    if step.may_stay_out:
        yield say("card.may-stay-out", who=", ".join(step.may_stay_out))


def _proof(job: Job, view: StepView, held: Held) -> Content:
    mark = plain(
        MARKS["documented" if held.met else "todo"], "$success" if held.met else "$warning"
    )
    shown = shown_of(job, view, held)
    line = Content.assemble(mark, " ", plain(wanted(held.proof)))
    return Content.assemble(line, plain(f": {shown}" if shown else "", "$secondary"), "\n")


def _others(job: Job, view: StepView) -> str:
    """Return the photos in roles that no proof asks for."""
    asked = set(wanted_roles(view))
    photos = job.board.ledger.photos
    return ", ".join(
        f"{photos[a.photo].name} ({a.role})"
        for a in view.attached
        if a.role not in asked and a.photo in photos
    )


def _wet(job: Job, view: StepView) -> Iterator[tuple[str, str]]:
    """Yield how each contact time of a step stands, and in what style that is to be read."""
    if not view.wet:
        return
    now = job.clock()
    for run in view.wet:
        one = standing(run, now)
        style = "$secondary" if one.end else "bold $warning" if one.urgent else "bold"
        yield wet_told(job, one), "bold $warning" if one.state == "early" else style


def _standing(job: Job, view: StepView) -> Iterator[Content]:
    """Yield what is to be said about the step as it stands."""
    if view.waiting and view.state != "not-done":  # nobody waits to do what is left out
        needs = [short(job.board.steps[need]) for need in view.waiting]
        yield plain(say("card.waits", n=len(needs), needs="; ".join(needs)), "bold")
    yield from (plain(told, style) for told, style in _wet(job, view))
    word = word_told(job, view)
    if word:
        yield plain(word)
    for value in filter(None, [view.word.note if view.word else "", *untold_remarks(view)]):
        yield plain(value)


def _measured(job: Job, step: Step) -> list[str]:
    """Return what the points and the air of the place say, where anything was read at all."""
    ledger = job.board.ledger
    if not ledger.points and not ledger.airs:
        return []
    from siltline.job.drying import measured_told  # noqa: PLC0415 - reckons, where it is wanted

    return measured_told(job, step)


def _reckoned(job: Job, step: Step) -> Iterator[str]:
    """Yield what was reckoned on a step, or what it asks to reckon."""
    found = job.board.ledger.reckoned.get(step.id, [])
    if found:
        from siltline.job.reckoning import briefly  # noqa: PLC0415 - reckons, where it is wanted

        for one in found:
            yield from briefly(job, one)
    done = {one.what for one in found}
    yield from (say(f"card.reckon.{what}") for what in step.reckons if what not in done)


def card(job: Job, view: StepView) -> Content:
    """Return the step in hand as content.

    Its order is the order in which a person needs it: where and how it stands, what can hurt,
    what to do, what stops it, what shows it, why, and who says so.
    """
    step = view.step
    head = Content.assemble(
        plain(step.place_name, "$secondary"),
        "  ",
        plain(say(f"state.{view.state}"), STATE_STYLES[view.state]),
        "\n\n",
    )
    cautions = step.cautions if view.state != "not-needed" else ()
    parts: list[Content] = [head, *(_caution(c) for c in cautions)]
    parts += [NEWLINE] if cautions else []
    if view.state == "measure":  # first find out whether the act is needed at all
        parts += [plain(view.measure, "bold $warning"), NEWLINE, NEWLINE]
        parts += [plain(say("card.then", do=step.do)), NEWLINE]
    else:
        parts += [plain(step.do, "bold"), NEWLINE]
    parts += [line for never in step.nevers for line in (_never(never), NEWLINE)]
    for line in _standing(job, view):
        parts += [line, NEWLINE]
    parts += [line for told in _choices(step) for line in (plain(told), NEWLINE)]
    if view.held:
        parts += [NEWLINE, plain(say("card.proof"), "$secondary"), NEWLINE]
        parts += [_proof(job, view, held) for held in view.held]
        parts += [line for told in in_shot(view) for line in (plain(told), NEWLINE)]
    parts += [line for told in _measured(job, step) for line in (plain(told), NEWLINE)]
    parts += [line for told in _reckoned(job, step) for line in (plain(told), NEWLINE)]
    others = _others(job, view)
    parts += [plain(say("card.others", photos=others)), NEWLINE] if others else []
    parts += [NEWLINE, plain(step.reason), NEWLINE]
    if step.hold_point:
        parts += [plain(say("why.hold", reason=step.hold_point)), NEWLINE]
    parts += [plain(say("card.source", source="; ".join(step.sources)), "$secondary")]
    return Content.assemble(*parts)
