"""Proof in words: what a step wants to show, and what of it is missing."""

from __future__ import annotations

from collections.abc import Collection

from siltline.judge.board import StepView
from siltline.judge.contact import ROLES
from siltline.judge.holding import BY_THE_LABEL, Held, dimension
from siltline.rules.plan import Proof
from siltline.sentences import say

# Photos in these roles are taken to be measured in.
_SCALED_ROLES = frozenset({"tape", "lines"})
_WITH_A_TAPE = frozenset({"length", "area"})  # what is read off a meter shows its display instead
# The sentence of each kind of proof that needs no more than its name and its count.
_SAID = {
    "photo": "proof.photo",
    "same-spot": "proof.same-spot",
    "licence": "proof.licence",
    "label": "proof.label",
    "way": "proof.way",
    "repeat": "proof.repeat",
    "contact-time": "proof.contact-time",
}


def wanted(proof: Proof) -> str:
    """Return a kind of proof in words: `2 photos (after)`, `joist moisture, at most 15 %`."""
    if proof.kind == "contact-time" and proof.name == BY_THE_LABEL:
        return say("proof.contact-label")
    if proof.kind in _SAID:
        return say(_SAID[proof.kind], n=proof.count, name=proof.name)
    if proof.kind == "quantity":
        return say("proof.quantity", what=proof.name, unit=proof.unit)
    bounds = [
        say(key, bound=bound)
        for key, bound in (("proof.at-most", proof.at_most), ("proof.at-least", proof.at_least))
        if bound
    ]
    if proof.hours_apart:
        bounds.append(say("proof.apart", hours=proof.hours_apart))
    return say("proof.reading", n=proof.count, what=", ".join([proof.name, *bounds]))


def roles(proof: Proof) -> tuple[str, ...]:
    """Return the roles of the photos that a kind of proof wants."""
    named = {"photo": (proof.name,), "label": ("label",)}
    return named.get(proof.kind, proof.roles)


def wanted_roles(view: StepView) -> list[str]:
    """Return the roles of the photos that a step asks for, in the order of its proof.

    As long as no way is chosen, the photos of each way may come: they are taken before the word.
    """
    proofs = [held.proof for held in view.held] or list(view.step.proof)
    if not (view.word and view.word.way):
        proofs += [proof for way in view.step.ways for proof in way.proof]
    return list(dict.fromkeys(role for proof in proofs for role in roles(proof)))


def spare_roles(view: StepView) -> tuple[str, ...]:
    """Return the roles of photos that a step takes as a proof, and does not ask for by itself.

    Two photos show a contact time as a watched clock does; nobody lacks them where that ran.
    """
    timed = any(held.proof.kind == "contact-time" for held in view.held)
    return ROLES if timed or view.wet else ()


def gap(held: Held) -> str:
    """Return what is missing of a kind of proof, as a sentence."""
    if held.proof.kind == "licence":
        return say("gap.licence", trade=held.proof.name)
    wants = wanted(held.proof)
    return (
        say("gap.some", wanted=wants, have=held.have) if held.have else say("gap.all", wanted=wants)
    )


def _shows_scale(proofs: Collection[Proof]) -> bool:
    return any(
        proof.kind == "quantity" or (proof.kind == "reading" and dimension(proof) in _WITH_A_TAPE)
        for proof in proofs
    )


def in_shot(view: StepView) -> tuple[str, ...]:
    """Return what the photos of a step must have in the shot, in sentences; () where nothing.

    A tape or scale where a length, an area or a quantity is to be shown, the meter where
    something else is read, the label where the step wants one.
    """
    proofs = [held.proof for held in view.held] or list(view.step.proof)
    photos = {role for p in proofs for role in ((p.name,) if p.kind == "photo" else p.roles)}
    found = []
    if photos & _SCALED_ROLES or (photos and _shows_scale(proofs)):
        found.append(say("proof.shot-scale"))
    if photos and any(p.kind == "reading" and dimension(p) not in _WITH_A_TAPE for p in proofs):
        found.append(say("proof.shot-meter"))
    if any(proof.kind == "label" for proof in proofs):
        found.append(say("proof.shot-label"))
    return tuple(found)
