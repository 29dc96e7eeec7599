"""The circuits of a house, by the names that people gave them."""

from __future__ import annotations

import re
from hashlib import sha256

from siltline.rules.house import House
from siltline.sentences import say
from siltline.text import slug

_PLAIN = re.compile(r"[a-z0-9]+( [a-z0-9]+)*")


def _circuit_id(typed: str) -> str:
    """Return the id of a circuit that people name so: the same whatever else the sheet holds.

    Two names never share an id, even where their slugs are alike, for proving one circuit dead
    says nothing of another: a name that its slug does not hold gets four digits of its hash.
    """
    base = f"circuit-{slug(typed)}"
    if _PLAIN.fullmatch(typed) and base == f"circuit-{typed.replace(' ', '-')}":
        return base
    return f"{base}-{sha256(typed.encode()).hexdigest()[:4]}"


def circuit_ids(house: House) -> dict[str, tuple[str, str]]:
    """Return part id -> (circuit id, circuit name); an untraced circuit is one of its own."""
    found: dict[str, tuple[str, str]] = {}
    for key, part in house.electrical.items():
        if part.circuit is None:
            found[key] = (f"untraced-{key}", say("place.untraced-circuit", part=part.name))
            continue
        name = " ".join(part.circuit.split())
        found[key] = (_circuit_id(name.casefold()), say("place.circuit", name=name))
    return found
