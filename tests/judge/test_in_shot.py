"""Where a step needs a measure, its photos must show it: a tape, the meter, the label."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from siltline.job import Job
from siltline.job.why import why
from siltline.judge.board import StepView
from siltline.judge.proofs import in_shot
from siltline.rules.plan import Proof
from siltline.screens.asking import tick_hint
from siltline.screens.card import card

AFTER = Proof("photo", "after")
SPOT = Proof("same-spot", "before, after", roles=("before", "after"))
TAPE = ("In the shot: a tape or a scale.",)
METER = ("In the shot: the meter, its number to be read.",)
LABEL = ("In the shot: the label, to be read.",)


@pytest.mark.parametrize(
    ("proofs", "told"),
    [
        ((AFTER,), ()),
        ((Proof("photo", "tape"),), TAPE),
        ((Proof("photo", "lines"),), TAPE),
        ((Proof("same-spot", "lines, after", roles=("lines", "after")),), TAPE),
        ((AFTER, Proof("reading", "cut height", unit="in")), TAPE),
        ((AFTER, Proof("quantity", "carpet", unit="ft2")), TAPE),
        ((SPOT, Proof("quantity", "carpet", unit="ft2")), TAPE),
        ((AFTER, Proof("reading", "joist moisture", unit="%")), METER),
        ((AFTER, Proof("label", "disinfectant")), LABEL),
        ((Proof("label", "disinfectant"),), LABEL),  # it wants a photo itself
        ((AFTER, Proof("contact-time", "10 min"), Proof("licence", "electrician")), ()),
        ((Proof("reading", "joist moisture", unit="%"),), ()),  # no photo is asked for
        ((Proof("quantity", "carpet", unit="ft2"),), ()),
    ],
)
def test_it_follows_from_the_proof(
    proofs: tuple[Proof, ...], told: tuple[str, ...], job: Job
) -> None:
    step = replace(job.step("gear-on/house").step, proof=proofs)
    assert in_shot(StepView(step, "todo")) == told


def test_card_why_and_the_form_of_the_tick_ask_for_it(job: Job) -> None:
    view = job.step("lines-as-found/kitchen")
    assert TAPE[0] in str(card(job, view))
    assert TAPE[0] in [text for _, text in why(job, view)]
    assert TAPE[0] in tick_hint(job, view)
    other = job.step("gear-on/house")
    assert "In the shot" not in str(card(job, other)) + tick_hint(job, other)
