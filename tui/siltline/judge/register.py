"""The register of a job: who is of which trade, which products came in."""

from __future__ import annotations

from msgspec import Struct

Key = tuple[str, ...]


class Person(Struct, frozen=True):
    """Somebody on the job: name, trade, licence ("" where the trade has none)."""

    name: str
    trade: str
    licence: str
    event: str


class Product(Struct, frozen=True):
    """A product that came in: its name, the number of its label, the label's photo (or "")."""

    name: str
    registration: str
    photo: str
    event: str


def key_of(*words: str) -> Key:
    """Return what makes two entries of a register the same one, however they are typed."""
    return tuple(" ".join(word.casefold().split()) for word in words)
