"""Chlorine bleach in water, from the label's figures only.

There is no default dose here: published ones for the same surface differ by eight times. The
product's label decides; a published figure is no more than a check of the arithmetic.

Two numbers are called ppm, and they differ: the label's percentage times the share of bleach (as
health departments reckon), and milligrams of available chlorine in a litre, for which the
density of bleach counts. Both are given, by name.
"""

from __future__ import annotations

from msgspec import Struct

from siltline.science.faults import Contradiction, OutOfRange, within
from siltline.sentences import say

# Strength on a label, mass of NaOCl in mass of bleach. Household bleach has 5 to 9 %
# (Washington DOH), pool chlorine to about 15 % (common practice).
WEAKEST, STRONGEST = 0.01, 0.16
AVAILABLE = 70.906 / 74.4422  # Cl2 for NaOCl, by their molar masses
_HEAVIER = 1.47  # density of bleach over water less 1, for each unit of strength; +-1 %
_WATER = 1000.0  # kg/m3
LABEL_SLACK = 0.1  # how far a mix may be from the label's ppm before it is refused: spoons vary


class Mix(Struct, frozen=True):
    """Bleach in water.

    Attributes:
        parts: volumes of water to one of bleach.
        label: the label's strength times the share of bleach (1e-6 is 1 ppm by that convention).
        hypochlorite: sodium hypochlorite, kg/m3 (0.001 is 1 mg/L).
        available: available chlorine, kg/m3.
    """

    parts: float
    label: float
    hypochlorite: float
    available: float


def strength_of(strength: float) -> float:
    """Return a label's strength, 0..1.

    Raises:
        NotFinite, OutOfRange: outside 1 to 16 %.
    """
    within("strength", 100 * strength, 100 * WEAKEST, 100 * STRONGEST, "%")
    return strength


def mix(strength: float, bleach: float, water: float) -> Mix:
    """Return what a volume of bleach in a volume of water makes.

    Args:
        strength: NaOCl by mass as the label has it, 0.01 to 0.16.
        bleach: m3, above 0, up to 10.
        water: likewise.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: more bleach than water.
    """
    strength_of(strength)
    within("bleach", bleach, 1e-7, 10, "m3")
    within("water-volume", water, 1e-7, 10, "m3")
    if bleach > water:
        raise Contradiction(say("science.more-bleach"), "bleach", "water-volume")
    share = bleach / (bleach + water)
    stock = strength * _WATER * (1 + _HEAVIER * strength)
    return Mix(water / bleach, strength * share, stock * share, stock * share * AVAILABLE)


def parts_for(strength: float, target: float) -> tuple[float, float]:
    """Return the volumes of water to one of bleach for the ppm that the label names.

    Args:
        strength: NaOCl by mass, 0.01 to 0.16.
        target: the ppm as a ratio, above 0 (500 ppm is 0.0005).

    Returns:
        By the label's convention, and if the label means mg/L of available chlorine.

    Raises:
        NotFinite, OutOfRange: one of them is none.
        Contradiction: the mix would be more bleach than water.
    """
    strength_of(strength)
    within("target", 1e6 * target, 1, 1e5, "ppm")
    available = mix(strength, 1, 1).available * 2
    parts = strength / target - 1, available / (1000 * target) - 1
    if min(parts) < 1:
        raise Contradiction(
            say(
                "science.target-strong", target=f"{1e6 * target:g}", strength=f"{100 * strength:g}"
            ),
            *("target", "strength"),
        )
    return parts


def hold_to_label(made: Mix, label: float) -> None:
    """Refuse a mix that is not what the label names for this use, by the label's convention.

    Args:
        made: the mix.
        label: the label's ppm as a ratio.

    Raises:
        NotFinite, OutOfRange: no such ppm; or the mix is off the label by more than a tenth.
    """
    within("target", 1e6 * label, 1, 1e5, "ppm")
    if abs(made.label - label) > LABEL_SLACK * label:
        raise OutOfRange(
            say("science.off-label", made=f"{1e6 * made.label:.0f}", label=f"{1e6 * label:.0f}"),
            *("target", "strength", "bleach", "water-volume"),
        )


def batch(whole: float, parts: float) -> tuple[float, float]:
    """Return the bleach and the water, m3, of a bucket or sprayer of a volume.

    Args:
        whole: m3, above 0, up to 10.
        parts: volumes of water to one of bleach, at least 1.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("batch", whole, 1e-5, 10, "m3")
    within("parts", parts, 1, 100_000, "to 1")
    bleach = whole / (1 + parts)
    return bleach, whole - bleach


def contact_of(seconds: float) -> float:
    """Return a contact time that a label can ask for, s: a second to a day.

    Raises:
        NotFinite, OutOfRange: it is none.
    """
    return 60 * within("contact", seconds / 60, 1 / 60, 1440, "min")


def amount(area: float, coverage: float) -> float:
    """Return how much of the mix an area takes, m3.

    Args:
        area: m2, 0.01 to 10,000.
        coverage: m2 that the label says one m3 covers (1 m2/L is 1,000).

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("wetted-area", area, 0.01, 10_000, "m2")
    return area / (1000 * within("coverage", coverage / 1000, 0.1, 100, "m2/L"))
