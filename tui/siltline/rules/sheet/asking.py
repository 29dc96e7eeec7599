"""What kind of value a key of the house sheet takes: read off the shapes, for every path.

Whoever asks for a fact, or takes one in that somebody typed, looks here instead of keeping a
list of keys; so a field that is added to a shape is asked for, read and held against rules.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import AfterValidator

from siltline.errors import WrongUse
from siltline.moments import read_moment
from siltline.rules.facts import YES_NO, FactKind, amount, measured
from siltline.rules.faults import meant
from siltline.rules.house import House
from siltline.rules.plan import Ask
from siltline.rules.shapes import Shape
from siltline.rules.sheet.values import OrNone, Typed
from siltline.sentences import say
from siltline.text import visible

FieldKind = str | tuple[str, ...]
YES_OR_NO = "yes-no"
NONE = "none"  # how a sheet says that a house has no such thing
_MEASURES = ("length", "area", "year", "count")  # what a rule can hold against bounds
# Where the last key of a path does not say what is asked.
_TELL_APART: dict[tuple[str, ...], str] = {
    **{(space, key): f"under-{key}" for space in ("crawl-space", "basement")
       for key in ("height", "waterline", "level")},
    **{("loss", f"consent-to-{what}", key): f"consent-to-{what}-{key}"
       for what in ("work", "discard") for key in ("by", "at")},
    ("level",): "site-level",
    ("heating-cooling", "kind"): "conditioning-kind",
    ("loss", "category"): "loss-category",
}  # fmt: skip
# Zones of the tz database that are offered; any other of it can be typed.
ZONES = (
    "America/New_York", "America/Chicago", "America/Denver", "America/Phoenix",
    "America/Los_Angeles", "America/Anchorage", "Pacific/Honolulu", "America/Puerto_Rico",
)  # fmt: skip
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@cache
def fields_of(shape: type[Shape]) -> Mapping[str, tuple[str, Any]]:
    """Return key of the sheet -> (name of the field, its type with what stands beside it)."""
    hints = get_type_hints(shape, include_extras=True)
    return {str(f.alias): (name, hints[name]) for name, f in shape.model_fields.items()}


def unwrapped(hint: Any) -> tuple[Any, tuple[Any, ...]]:
    """Return a type without `None` and without what stands beside it, and what stood there."""
    beside: tuple[Any, ...] = ()
    while True:
        inner = [arg for arg in get_args(hint) if arg is not type(None)]
        if get_origin(hint) is Annotated:
            hint, beside = inner[0], (*beside, *inner[1:])
        elif get_origin(hint) in (Union, UnionType) and len(inner) == 1:
            hint = inner[0]
        else:
            return hint, beside


def is_shape(bare: Any) -> bool:
    """Tell whether a bare type holds keys of its own."""
    return isinstance(bare, type) and issubclass(bare, Shape)


def kind_of(hint: Any) -> FieldKind | None:
    """Return what a field takes, or None where it holds other keys."""
    bare, beside = unwrapped(hint)
    if any(isinstance(one, OrNone) for one in beside):
        return YES_OR_NO
    if is_shape(bare) or get_origin(bare) is dict:
        return None
    if bare is bool:
        return YES_OR_NO
    if get_origin(bare) is Literal:
        return get_args(bare)
    return next((one.kind for one in beside if isinstance(one, Typed)), "words")


@cache
def shape_facts(shape: type[Shape]) -> Mapping[str, FactKind]:
    """Return the facts that a shape holds: its choices, its amounts, its yes or no.

    Free text is no fact, and neither is what somebody saw (`wet`, `cable-wet`): that goes into
    what is computed from it (`wetted`, `cable-wetted`).
    """
    found: dict[str, FactKind] = {}
    for key, (_, hint) in fields_of(shape).items():
        kind = kind_of(hint)
        seen = key == "wet" or key.endswith("-wet")
        if seen or any(isinstance(one, OrNone) for one in unwrapped(hint)[1]):
            continue
        if isinstance(kind, tuple):
            found[key] = FactKind(kind)
        elif kind == YES_OR_NO:
            found[key] = YES_NO
        elif kind in _MEASURES:
            found[key] = amount(kind)
    return found


def _no_key(key: str, known: Sequence[str]) -> WrongUse:
    return WrongUse(say("house.no-key", key=key) + meant(key, known))


def _hint_at(path: Sequence[str]) -> Any:
    """Return the type at a path, with what stands beside it; errors as for `field_kind`."""
    hint: Any = House
    for key in path:
        bare, _ = unwrapped(hint)
        if get_origin(bare) is dict:
            if not _ID.fullmatch(key):
                raise WrongUse(say("shape.id", key=visible(key)))
            hint = get_args(bare)[1]
        elif is_shape(bare):
            fields = fields_of(bare)
            if key not in fields:
                raise _no_key(key, list(fields))
            hint = fields[key][1]
        else:
            raise _no_key(key, ())
    return hint


def field_kind(path: Sequence[str]) -> FieldKind:
    """Return what the key at a path of the house sheet takes.

    Args:
        path: keys from the top of the sheet, as (rooms, kitchen, waterline).

    Returns:
        The words to choose from, or `yes-no`, `length`, `area`, `year`, `count`, `moment`,
        `zone`, `degrees`, `money` or `words`.

    Raises:
        WrongUse: the sheet has no such key, or it holds other keys; says what may be meant.
    """
    hint = _hint_at(path)
    kind = kind_of(hint)
    if kind is None:
        bare, _ = unwrapped(hint)
        known = list(fields_of(bare)) if is_shape(bare) else []
        named = ".".join(path) or "."
        raise WrongUse(say("house.holds-keys", key=named) + meant("", known))
    return kind


def may_be_none(path: Sequence[str]) -> bool:
    """Tell whether `none` at a path says that there is no such thing, and is no word of its own."""
    try:
        hint = _hint_at(path)
    except WrongUse:
        return False
    return any(isinstance(one, OrNone) for one in unwrapped(hint)[1])


def hold(path: Sequence[str], value: str) -> None:
    """Hold a value to the bounds of its key, as reading a whole sheet does.

    Raises:
        WrongUse: it breaks them; says which. Or as for `field_kind`.
    """
    for one in unwrapped(_hint_at(path))[1]:
        if isinstance(one, AfterValidator):
            try:
                one.func(value)  # type: ignore[call-arg]
            except ValueError as fault:
                raise WrongUse(str(fault)) from fault


def ask_key(path: Sequence[str]) -> str:
    """Return the end of the catalogue key (`ask.field...`) of what is asked at a path."""
    return _TELL_APART.get(tuple(path), path[-1])


def ask(path: Sequence[str], name: str) -> Ask:
    """Return the question for the value at a path of the sheet, of a place that people call so."""
    return Ask(tuple(path), say(f"ask.field.{ask_key(path)}", name=name))


def as_typed(path: Sequence[str], text: str, now: datetime | None = None) -> str | bool:
    """Return what somebody typed as the house sheet holds it at a path.

    Yes and no become values, a word to choose its own spelling, a moment its date; `none` says
    that there is no such thing; amounts are held to their unit and stay as they were typed. All
    else is held to the shape of the sheet when it is read with the correction.

    Args:
        path: keys from the top of the sheet.
        text: as typed.
        now: the time at the site, for what is told from it (`yesterday 21:30`); without it a
            moment stays as it was typed.

    Raises:
        WrongUse: neither yes nor no, no such amount, a moment that can be several, or the sheet
            has no such key.
    """
    kind = field_kind(path)
    if kind == YES_OR_NO:
        return _there_or_none(text) if may_be_none(path) else _yes_or_no(text)
    if isinstance(kind, tuple):
        spelt = "-".join(text.lower().replace("-", " ").split())
        return spelt if spelt in kind else text
    if kind == "moment" and now is not None:
        return as_moment(text, now)
    if kind == "zone":
        return _zone(text)
    if kind in _MEASURES:
        measured(text, kind)
    return text


def _there_or_none(text: str) -> str | bool:
    """Return whether a house has something: `none` stays the word by which a sheet says no."""
    if text.lower() == NONE:
        return NONE
    try:
        return _yes_or_no(text)
    except WrongUse as fault:
        raise WrongUse(say("acts.there-or-none", value=text)) from fault


def _zone(text: str) -> str:
    """Return the zone of a city that people name alone; any other text as it is."""
    city = text.casefold().replace(" ", "_")
    return next((zone for zone in ZONES if zone.casefold().endswith(f"/{city}")), text)


def _yes_or_no(text: str) -> bool:
    yes, no = say("fact.yes"), say("fact.no")
    words = {yes: True, yes[0]: True, "true": True, no: False, no[0]: False, "false": False}
    if text.lower() not in words:
        raise WrongUse(say("acts.yes-or-no", value=text))
    return words[text.lower()]


def as_moment(text: str, now: datetime) -> str:
    """Return a moment as the sheet holds it: what is one already stays as it is.

    Raises:
        WrongUse: it is no date, or can be several.
    """
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return read_moment(text, now).written
    return text
