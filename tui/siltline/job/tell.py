"""A step and the review as plain values, for JSON, tables and the claim alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from siltline.job.contact import as_last_said, tells
from siltline.job.desk import Job
from siltline.judge import StepView
from siltline.judge.contact import clock_face
from siltline.judge.finding import Finding, is_clear
from siltline.judge.holding import MEASURED, Held, answers
from siltline.judge.proofs import gap, wanted
from siltline.sentences import say


def step(view: StepView) -> dict[str, Any]:
    """Return a step: what the outside world may lean on, and all else that is known of it."""
    here, word = view.step, view.word
    return {
        "id": here.id,
        "phase": here.phase,
        "do": here.do,
        "place": here.place,
        "place_name": here.place_name,
        "state": view.state,
        "needs": list(here.needs),
        "waiting": list(view.waiting),
        "measure": view.measure,
        "asks": [ask.words for ask in here.asks],
        "proof": [
            {
                "kind": held.proof.kind,
                "name": held.proof.name,
                "wanted": wanted(held.proof),
                "count": held.proof.count,
                "have": held.have,
                "met": held.met,
            }
            for held in view.held
        ],
        "ways": [{"way": way.id, "do": way.do, "who": way.who} for way in here.ways],
        "photos": [{"sha256": a.photo, "as": a.role, "spot": a.spot} for a in view.attached],
        "contact_times": [tells(as_last_said(run)) for run in view.wet],
        "word": None
        if word is None
        else {
            "kind": word.kind,
            "by": word.by,
            "at": word.at,
            "licence": word.licence,
            "values": list(word.values),
            "note": word.note,
            "because": word.because,
            "way": word.way,
            "registration": word.registration,
            "decided_by": word.decided_by,
        },
        "remarks": list(view.remarks),
        "reckons": list(here.reckons),
        "why": {
            "reason": here.reason,
            "rule": here.rule,
            "file": here.file,
            "line": here.line,
            "facts": [{"fact": b.fact, "value": b.value, "where": b.where} for b in here.facts],
            "goes_if": list(here.goes_if),
        },
        "hold_point": here.hold_point,
        "never": [{"act": n.act, "because": n.because} for n in here.nevers],
        "override": here.override,
        "every": here.every,
        "until": here.until,
        "cautions": [{"word": c.word, "text": c.text} for c in here.cautions],
        "takes_out": here.takes_out,
        "puts_back": here.puts_back,
        "may_stay_out": list(here.may_stay_out),
        "source": list(here.sources),
    }


def _photos(job: Job, view: StepView, role: str) -> str:
    photos = job.board.ledger.photos
    names = [photos[a.photo].name for a in view.attached if a.role == role and a.photo in photos]
    return ", ".join(names)


def shown_of(job: Job, view: StepView, held: Held) -> str:
    """Return what is there of a kind of proof, in words; "" where nothing is."""
    proof, word = held.proof, view.word
    if proof.kind == "photo":
        return _photos(job, view, proof.name)
    if proof.kind == "same-spot":
        return ", ".join(f"{role}: {_photos(job, view, role) or '-'}" for role in proof.roles)
    clocked = _clocked(view) if proof.kind == "contact-time" else ""
    if word is None or clocked:
        return clocked
    if proof.kind in MEASURED:
        return ", ".join(value for value in word.values if answers(proof, value))
    told = {"licence": word.licence, "label": word.registration, "way": word.way}
    return told.get(proof.kind, "")


def _clocked(view: StepView) -> str:
    """Return how long a contact time was by the clock; "" where no clock says so."""
    whole = [one for one in map(as_last_said, view.wet) if one.state == "whole"]
    if not whole:
        return ""
    one = whole[-1]
    told = {"for": clock_face(one.counted_s), "by": one.run.begun.by}
    return say("wet.shown-watched" if one.watched else "wet.shown", **told)


def proof_told(job: Job, view: StepView) -> Iterator[str]:
    """Yield each kind of proof that a step wants, as a sentence: what is there, or what lacks."""
    for held in view.held:
        wants, shown = wanted(held.proof), shown_of(job, view, held)
        if not held.met:
            yield gap(held)
        elif shown:
            yield say("proof.there-as", wanted=wants, shown=shown)
        else:
            yield say("proof.there", wanted=wants)


def word_told(job: Job, view: StepView) -> str:
    """Return the word that stands on a step as a sentence; "" where there is none."""
    word = view.word
    if word is None:
        return ""
    also = {"licence": word.licence, "way": word.way, "registration": word.registration}
    licence = "".join(say(f"report.with.{key}", what=what) for key, what in also.items() if what)
    at, because = job.shown(word.at), word.because
    return say(f"report.word.{word.kind}", by=word.by, licence=licence, at=at, because=because)


def untold_remarks(view: StepView) -> list[str]:
    """Return the remarks of a step but the one that `word_told` tells already."""
    word = view.word
    told = say("state.left-out", by=word.by, because=word.because) if word else ""
    return [remark for remark in view.remarks if remark != told]


def review(found: list[Finding]) -> dict[str, Any]:
    """Return a review as plain values."""
    return {
        "clear": is_clear(found),
        "findings": [
            {"code": f.code, "weight": f.weight, "step": f.step, "text": f.text, "remedy": f.remedy}
            for f in found
        ],
    }
