"""Photos of the laptop's clock: what people read off them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct


class ClockShown(Struct, frozen=True):
    """A photo of the laptop's clock: what that shows, RFC 3339, and who read it off when."""

    photo: str
    shown: str
    event: str
    at: str
    by: str


def agreed(clocks: Mapping[str, Sequence[ClockShown]]) -> dict[str, str]:
    """Return photo -> what the clock in it shows, where nobody read it off otherwise."""
    return {
        photo: found[0].shown
        for photo, found in clocks.items()
        if len({one.shown for one in found}) == 1
    }
