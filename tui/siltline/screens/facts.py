"""A field for a fact of the house sheet: what it takes, what it offers, what is read from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from siltline.errors import WrongUse
from siltline.moments import read_moment
from siltline.screens.field import Field
from siltline.sentences import say
from siltline.units import Quantity, quantity

# In which units an amount is shown beside what was typed: the two that people read.
_SHOWN = {
    "length": ("in", "cm"),
    "area": ("ft2", "m2"),
    "temperature": ("F", "C"),
    "ratio": ("%",),
    "volume": ("gal", "L"),
    "mass": ("lb", "kg"),
    "flow": ("cfm", "m3/h"),
}
_FAR_M = 5  # beyond it nobody reads inches


def shown(read: Quantity) -> str:
    """Return an amount in the units that people read; as it was typed where there are none."""
    units: Sequence[str] = _SHOWN.get(read.dimension, ())
    if read.dimension == "length" and abs(read.si) >= _FAR_M:
        units = ("ft", "m")
    amounts = [read.typed_in(unit).text for unit in units]
    return " = ".join(amounts) or read.text


def amount(typed: str, dimension: str | None = None) -> str:
    """Return what is read from an amount that was typed.

    Raises:
        WrongUse: it is none, or of another dimension.
    """
    return shown(quantity(typed, dimension))


def _of_kind(path: Sequence[str], now: datetime) -> tuple[Callable[[str], str], tuple[str, ...]]:
    """Return how a fact is read, and what a field for it offers."""
    from siltline.rules.sheet.asking import (  # noqa: PLC0415 - imports the shapes
        YES_OR_NO,
        ZONES,
        as_moment,
        as_typed,
        field_kind,
        hold,
    )
    from siltline.rules.sheet.values import said_there  # noqa: PLC0415

    kind = field_kind(path)
    if isinstance(kind, tuple):

        def choose(typed: str) -> str:
            spelt = str(as_typed(path, typed))
            if spelt not in kind:
                raise WrongUse(say("form.not-offered", value=typed, offers=", ".join(kind)))
            return spelt if spelt != typed else ""

        return choose, tuple(map(str, kind))
    if kind == YES_OR_NO:
        yes, no = say("fact.yes"), say("fact.no")
        return lambda typed: yes if said_there(as_typed(path, typed), group=False) else no, (
            yes,
            no,
        )
    if kind == "moment":

        def moment(typed: str) -> str:
            try:
                return read_moment(typed, now).shown
            except WrongUse:
                # an ISO time with an offset is a moment too, and stays as it is
                return as_moment(typed, now)

        return moment, ()

    def within_bounds(typed: str) -> str:
        spelt = str(as_typed(path, typed))
        hold(path, spelt)
        if kind in ("length", "area"):
            return amount(typed, kind)
        return spelt if spelt != typed else ""

    return within_bounds, ZONES if kind == "zone" else ()


def fact_field(
    path: Sequence[str],
    key: str,
    label: str,
    value: str = "",
    *,
    now: datetime,
    needed: bool = True,
    offers: Sequence[str] = (),
) -> Field:
    """Return a field that asks for a fact.

    Args:
        path: keys from the top of the house sheet.
        key: of the field.
        label: what is asked.
        value: what is known.
        now: the time at the site, which moments are told from.
        needed: whether it may not stay empty.
        offers: what is likely, where the sheet leaves that open.
    """
    reads, known = _of_kind(path, now)
    return Field(key, label, value, needed, reads=reads, offers=known or tuple(offers))
