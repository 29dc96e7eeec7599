"""What the ledger keeps of the events: each with its event, its time and who it is from."""

from __future__ import annotations

from msgspec import Struct


class Word(Struct, frozen=True, gc=False):
    """A person's word on a step: `ticked`, `left-out`, or `unticked` (taken back)."""

    kind: str
    event: str
    at: str
    by: str
    licence: str = ""
    values: tuple[str, ...] = ()
    note: str = ""
    because: str = ""
    way: str = ""
    registration: str = ""
    decided_by: str = ""


class Attached(Struct, frozen=True, gc=False):
    """A photo attached to a step, in a role; `spot` names what several photos show alike."""

    photo: str
    role: str
    event: str
    at: str
    spot: str = ""


class TakenPhoto(Struct, frozen=True, gc=False):
    """A photo that was taken in."""

    sha256: str
    name: str
    bytes: int
    at: str
    by: str | None


class Reading(Struct, frozen=True, gc=False):
    """A value given with a tick, as typed; it stays when a later tick replaces the word."""

    value: str
    at: str
    event: str


class HandedOver(Struct, frozen=True, gc=False):
    """A hand-off or a sign-off: its event, when, from whom, to whom ("" for a sign-off)."""

    event: str
    at: str
    by: str
    to: str = ""


class Measured(Struct, frozen=True, gc=False):
    """A fact that somebody found out: for which step, where it belongs, its value as typed."""

    step: str
    path: tuple[str, ...]
    value: str | bool | None
    event: str
    at: str
    by: str
    words: str = ""


class Noted(Struct, frozen=True, gc=False):
    """What somebody noted on a photo; "" takes an earlier note away."""

    note: str
    event: str
    at: str
    by: str


class Withheld(Struct, frozen=True, gc=False):
    """A photo whose bytes somebody erased: who, when and why."""

    event: str
    at: str
    by: str
    because: str
