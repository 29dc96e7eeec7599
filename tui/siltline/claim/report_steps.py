"""What the report tells of each step: state, people, times, proof, photos, why."""

from __future__ import annotations

from typing import Any

from siltline.claim.contents import Contents
from siltline.job import Job
from siltline.job.contact import as_last_said
from siltline.job.contact import told as told_wet
from siltline.job.one_photo import bytes_gone, when
from siltline.job.reckoning import briefly
from siltline.job.tell import untold_remarks, word_told
from siltline.judge import StepView
from siltline.judge.captions import of_use
from siltline.judge.holding import MEASURED, answers, split
from siltline.judge.proofs import gap, wanted, wanted_roles
from siltline.sentences import say

Data = dict[str, Any]


def source(contents: Contents, sha256: str) -> str:
    """Return where a photo comes from: its file, its camera's time, how far that is known."""
    photo = contents.photos[sha256]
    gone = bytes_gone(contents.job, photo)
    told = {"file": contents.names[sha256], "when": when(photo), "photo": sha256[:12]}
    return gone or say("report.caption", **told)


def _role_order(view: StepView, role: str) -> int:
    """Return a number that puts photos in the order of the rule: before, then after."""
    roles = wanted_roles(view)
    return roles.index(role) if role in roles else len(roles)


def _pictures(view: StepView, contents: Contents, drawn: set[str]) -> list[Data]:
    board = contents.job.board
    return [
        {
            "file": f"{a.photo}.jpg" if a.photo in drawn else "",
            "alt": say("report.alt", role=a.role, place=view.step.place_name),
            "caption": of_use(board, view, a),
            "source": source(contents, a.photo),
        }
        for a in sorted(view.attached, key=lambda a: _role_order(view, a.role))
        if a.photo in contents.photos
    ]


def _read_of(view: StepView, value: str) -> str:
    """Return what a value was read of: the proof that it answers."""
    names = [held.proof.name for held in view.held if held.proof.kind in MEASURED
             and answers(held.proof, value)]  # fmt: skip
    return names[0] if names else split(value)[0]


def _readings(job: Job, view: StepView) -> list[str]:
    """Return the readings and facts of a step with what was read, and when."""
    ledger = job.board.ledger
    read = [
        say(
            "report.reading",
            what=_read_of(view, one.value),
            value=split(one.value)[1],
            at=job.shown(one.at),
        )
        for one in ledger.readings.get(view.step.id, [])
    ]
    found = [
        say("report.measured", what=one.words, value=one.value, by=one.by, at=job.shown(one.at))
        for values in ledger.measured.values()
        for one in values
        if one.step == view.step.id
    ]
    wet = [told_wet(job, as_last_said(run)) for run in view.wet]
    return [*read, *found, *wet]


def _reckoned(job: Job, view: StepView) -> list[str]:
    """Return what was reckoned on a step, and who reckoned when."""
    return [
        say("report.reckoned-line", told=" ".join(briefly(job, one)), by=one.by,
            at=job.shown(one.at))
        for one in job.board.ledger.reckoned.get(view.step.id, [])
    ]  # fmt: skip


def _step(job: Job, view: StepView, contents: Contents, drawn: set[str]) -> Data:
    step, word = view.step, view.word
    lacks = view.missing if view.state in ("todo", "done") else ()
    return {
        "id": step.id,
        "place": step.place_name,
        "do": step.do,
        "state": view.state,
        "state-words": say(f"state.{view.state}"),
        "reason": step.reason,
        "never": [say("report.never-told", act=n.act, because=n.because) for n in step.nevers],
        "facts": [f"{b.fact}: {b.value} ({b.where})" for b in step.facts],
        "rule": say("report.rule", rule=step.rule, file=step.file, line=step.line),
        "sources": list(step.sources),
        "proof": [wanted(held.proof) for held in view.held],
        "word": word_told(job, view),
        "readings": _readings(job, view),
        "reckoned": _reckoned(job, view),
        "note": word.note if word else "",
        "missing": [gap(held) for held in lacks],
        "remarks": [*([view.measure] if view.state == "measure" else []), *untold_remarks(view)],
        "pictures": _pictures(view, contents, drawn),
    }


def phases(job: Job, contents: Contents, drawn: set[str]) -> list[Data]:
    """Return the steps of the report by phase; `drawn` are the photos that have a picture."""
    views = job.board.steps.values()
    return [
        {
            "title": phase.title,
            "steps": [_step(job, v, contents, drawn) for v in views if v.step.phase == phase.id],
        }
        for phase in job.board.plan.phases
        if any(v.step.phase == phase.id for v in views)
    ]
