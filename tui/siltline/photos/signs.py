"""What speaks against a photo as proof: a sign and the number behind it. Never a refusal.

The thresholds were fitted on 217 real photos of registry packages: dark calls 1.4 % of good
photos dark and finds 75 % of those 3 stops under, burnt out 0.5 % and 77 % of those 3 stops over;
`tests/photos/test_rates.py` prints what they do on the photos that it can have.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from siltline.photos.whole import cut_off, zero_filled

DARK_BELOW = 90  # 95th percentile of the greys, 0 to 255
BURNT_ABOVE = 0.35  # share of greys above 250
# Variance of the Laplacian of the sharpest tile at 512 pixels. On those 217 photos 71 called 1 %
# of sharp ones blurred and 248 called 5 %: 120 lies at about 2 % between them. Of the 34 sharp ones
# of the test it calls none (the least sharp has 204). It finds a blur of 0.2 % of the width in 28
# of 34; 71 found 18.
BLURRED_BELOW = 120.0
SMALL_BELOW = 700_000  # pixels; the report prints up to 900 by 675, 0.6 million. From memory
NEAR = 6  # bits of likeness that differ at most between near copies
# Of 7 parts one is the same where 6 bits differ; so only photos that share a part are compared.
_PARTS, _PART_BITS = NEAR + 1, 9

Sign = tuple[str, float | None]  # the end of a catalogue key `sign.SIGN`, and its number


def of_bytes(data: bytes, kind: str) -> list[Sign]:
    """Return the signs that a file's bytes show without being decoded."""
    found: list[Sign] = []
    if cut_off(data, kind):
        found.append(("cut-off", None))
    if zero_filled(data, kind):
        found.append(("zeros", None))
    return found


def of_size(facts: Mapping[str, Any]) -> Iterator[Sign]:
    """Yield that a picture has few pixels, in millions."""
    pixels = (facts.get("width") or 0) * (facts.get("height") or 0)
    if 0 < pixels < SMALL_BELOW:
        yield "small", round(pixels / 1_000_000, 2)


def of_looks(looks: Mapping[str, Any] | None) -> Iterator[Sign]:
    """Yield what the pixels show; nothing where they were not drawn yet.

    Args:
        looks: as `sketch.sketch` returns it, {} where the photo cannot be drawn, or None.
    """
    if looks is None:
        return
    if "bright" not in looks:
        yield "undrawn", None
        return
    if looks["bright"] < DARK_BELOW:
        yield "dark", looks["bright"]
    elif looks["burnt"] > BURNT_ABOVE:
        yield "burnt", round(looks["burnt"] * 100)
    elif looks["sharpness"] < BLURRED_BELOW:  # in the dark nothing is sharp: told once
        yield "blurred", round(looks["sharpness"])


def of_saving(facts: Mapping[str, Any]) -> Iterator[Sign]:
    """Yield what a file saved anew may show; two thirds of untouched files show one too."""
    stamp, changed = facts.get("stamp"), facts.get("changed")
    if stamp and changed and changed.strip() > stamp.strip():
        yield "changed-later", None
    told, real = facts.get("told_size"), (facts.get("width"), facts.get("height"))
    if told and tuple(told) not in (real, real[::-1]):
        yield "other-size", None
    if facts.get("stamp") and facts.get("maker_note") is False:
        yield "no-maker-note", None


def near_copies(likenesses: Mapping[str, str]) -> Iterator[tuple[str, str, int]]:
    """Yield pairs of photos that look nearly the same, and by how many bits of 64 they differ.

    A before and an after of one wall can look alike too: this is a reason to look, no more.

    Args:
        likenesses: photo -> 16 hex digits, as `sketch.likeness` returns them.
    """
    buckets: dict[tuple[int, int], list[tuple[str, int]]] = {}
    for photo, text in likenesses.items():
        bits = int(text, 16)
        alike: dict[str, int] = {}
        for part in range(_PARTS):
            key = part, bits >> part * _PART_BITS & ((1 << _PART_BITS) - 1)
            bucket = buckets.setdefault(key, [])
            alike.update(_close(bits, bucket))
            bucket.append((photo, bits))
        for other, apart in alike.items():
            yield other, photo, apart


def _close(bits: int, others: Iterable[tuple[str, int]]) -> dict[str, int]:
    found = {other: (bits ^ theirs).bit_count() for other, theirs in others}
    return {other: apart for other, apart in found.items() if apart <= NEAR}
