"""The air of a place held against the air outdoors, as both were read last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from siltline.judge.measured import newest_air
from siltline.judge.points import AirReading
from siltline.science.air import SEA_LEVEL, Air, from_humidity
from siltline.science.doubt import Tolerance, doubt
from siltline.science.outside import Comparison, compare

if TYPE_CHECKING:
    from siltline.judge.ledger import Ledger


class Against(Struct, frozen=True):
    """Two airs as they were read, the one outdoors as numbers, and what comes of holding them."""

    inside: AirReading
    outside: AirReading
    outdoors: Air
    found: Comparison


def against(ledger: Ledger, place: str, when: str = "") -> Against | None:
    """Return the air of a place against the air outdoors; None where one was not read.

    Args:
        ledger: of the job.
        place: id of a room or space, or "" for any.
        when: up to which time, RFC 3339; "" for the newest.
    """
    inside = newest_air(ledger, "affected", place, when)
    outside = newest_air(ledger, "outside", when=when)
    if inside is None or outside is None:
        return None
    states = [inside.state, outside.state]
    one, other = (from_humidity(*state) for state in states)
    # two readings under one sky: what its pressure is changes both alike
    doubts = [doubt(from_humidity, *state, SEA_LEVEL, Tolerance()).ratio for state in states]
    return Against(inside, outside, other, compare(one, other, *doubts))
