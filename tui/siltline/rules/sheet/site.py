"""The site and the loss: where the house stands, what water came, who pays, who agreed."""

from __future__ import annotations

from typing import Annotated, Literal

from siltline.rules.shapes import Name, Shape, Words
from siltline.rules.sheet.values import SINGLE, Latitude, Longitude, Moment

Foundation = Literal["slab", "crawl-space", "basement", "piers"]
LossSource = Literal[
    "river", "rain", "sea", "sewer", "supply-pipe", "lake", "surface-water", "groundwater",
    "appliance", "roof", "fire-fighting",
]  # fmt: skip
# Water that comes from below and stands: what lies above its highest line stayed out of it.
RISING = ("river", "sea", "sewer", "lake", "surface-water", "groundwater")
# Water that comes in from outside stands at one height in every room that it reaches.
OUTSIDE = ("river", "sea", "lake", "surface-water")
# Water that is grossly contaminated wherever it comes in.
FOUL = ("river", "sea", "sewer", "lake", "surface-water")
Category = Literal["1", "2", "3"]
PolicyKind = Literal["federal", "private", "none"]


class Position(Shape):
    """Where the house stands on the earth, in degrees of WGS 84, north and east positive."""

    latitude: Latitude
    longitude: Longitude


class Consent(Shape):
    """An owner's consent: it stands once both who and when are known."""

    by: Name | None = None
    at: Moment | None = None


class Loss(Shape):
    """The water: where it came from, when it came and left, how foul it is; and who pays."""

    source: LossSource | None = None
    salt: bool | None = None
    category: Category | None = None
    category_since: Moment | None = None
    water_in: Moment | None = None
    water_out: Moment | None = None
    policy: PolicyKind | None = None
    insurer: Name | None = None
    policy_number: Name | None = None
    claim_number: Name | None = None
    other_insurance: Words | None = None
    mortgagee: Name | None = None
    proof_due: Moment | None = None
    proof_sent: Moment | None = None
    denied: Moment | None = None
    suit_due: Moment | None = None
    consent_to_work: Annotated[Consent | None, *SINGLE] = None
    consent_to_discard: Annotated[Consent | None, *SINGLE] = None


# What becomes known when the work is long signed: no rule asks for it, so no plan changes by it.
OF_THE_CLAIM = ("claim-number", "proof-due", "proof-sent", "denied", "suit-due")


class Manufactured(Shape):
    """What a manufactured home has under its floor."""

    belly_insulation: bool | None = None
    belly_wet: bool | None = None
    skirting: bool | None = None
