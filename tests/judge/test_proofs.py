"""Every kind of proof in words: what it wants, and what of it is missing."""

from __future__ import annotations

import pytest

from siltline.judge.holding import BY_THE_LABEL, Held
from siltline.judge.proofs import gap, wanted
from siltline.rules.plan import Proof

READING = Proof("reading", "joist moisture", 2, "%", "15 %", "4 %", hours_apart=24)


@pytest.mark.parametrize(
    ("proof", "words"),
    [
        (Proof("photo", "after"), "a photo (after)"),
        (Proof("photo", "after", 2), "2 photos (after)"),
        (Proof("same-spot", "before, after"), "photos of one spot (before, after)"),
        (Proof("licence", "electrician"), "the name and licence of a licensed person: electrician"),
        (Proof("way", "clean, replace"), "the way that was chosen: clean, replace"),
        (Proof("repeat", "24 h"), "done again at least every 24 h, until it ends"),
        (Proof("contact-time", "10 min"), "the contact time, 10 min at least"),
        (Proof("contact-time", BY_THE_LABEL), "the contact time, as the product's label says"),
        (Proof("photo", BY_THE_LABEL), "a photo (by-the-label)"),
        (Proof("quantity", "carpet", unit="ft2"), "a quantity: carpet (ft2)"),
        (Proof("reading", "wood", unit="%"), "a reading: wood"),
        (
            READING,
            "2 readings: joist moisture, at most 15 %, at least 4 %, 24 hours apart",
        ),
    ],
)
def test_a_kind_of_proof_says_what_it_wants(proof: Proof, words: str) -> None:
    assert wanted(proof) == words


def test_a_label_wants_its_photo_and_its_number() -> None:
    words = wanted(Proof("label", "disinfectant"))
    assert "photo of the label" in words
    assert "registration number" in words
    assert words.endswith("disinfectant")


def test_a_gap_tells_how_many_there_are_so_far() -> None:
    two = Proof("photo", "after", 2)
    assert gap(Held(two, 0)) == "Missing: 2 photos (after)."
    assert gap(Held(two, 1)) == "Missing: 2 photos (after); 1 so far."


def test_the_gap_of_a_licence_tells_to_tick_again_with_it() -> None:
    said = gap(Held(Proof("licence", "electrician"), 0))
    assert said == (
        "Missing: the licence of the licensed person (electrician); tick again with it."
    )
