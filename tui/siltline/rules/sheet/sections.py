"""The house sheet section by section: what is asked together, of which place, what is known of it.

Everything is read off the shapes, so a field that is added to one is asked for here too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, get_args, get_origin

from msgspec import Struct

from siltline.rules.house import House
from siltline.rules.shapes import Shape
from siltline.rules.sheet.asking import (
    ask_key,
    fields_of,
    is_shape,
    kind_of,
    may_be_none,
    unwrapped,
)
from siltline.rules.sheet.values import OrNone, said_there
from siltline.sentences import say
from siltline.text import slug

Path = tuple[str, ...]
NEW = "x-to-come-x"  # stands for the key of a place that is not in the sheet yet


class Asked(Struct, frozen=True):
    """One key of the sheet: where it stands, the question for it, whether it may stay empty."""

    path: Path
    words: str
    needed: bool = False


class Section(Struct, frozen=True):
    """What is asked together.

    Attributes:
        path: where it stands; () for the house itself, (group, NEW) for a place to come.
        title: what people call it.
        asked: its keys.
    """

    path: Path
    title: str
    asked: tuple[Asked, ...]

    @property
    def new(self) -> bool:
        """Tell whether this is a place to come."""
        return self.path[-1:] == (NEW,)


def sections(data: Any) -> list[Section]:
    """Return the sections of a sheet, each group with its places and one to come.

    Args:
        data: the data of a sheet, as far as it is there.
    """
    name = text_at(data, ("house",)) or say("sheet.the-house")
    top = tuple(_asked(House, (), name, (*_plain(House), "position")))
    found = [Section((), say("sheet.house"), top)]
    for key, (_, hint) in fields_of(House).items():
        bare, _ = unwrapped(hint)
        if get_origin(bare) is dict:
            found += _group(data, (key,), get_args(bare)[1], name)
        elif is_shape(bare) and key != "position":
            found += _single(data, (key,), bare, name)
    return found


def _plain(shape: type[Shape]) -> list[str]:
    """Return the keys of a shape that hold one value, and nothing below them."""
    return [
        key
        for key, (_, hint) in fields_of(shape).items()
        if not is_shape(unwrapped(hint)[0]) and get_origin(unwrapped(hint)[0]) is not dict
    ]


def _asked(
    shape: type[Shape], path: Path, name: str, keys: Sequence[str] | None = None, *,
    inner: bool = False,
) -> Iterator[Asked]:  # fmt: skip
    """Yield what is asked of a place: its own keys, and those of what it holds one of.

    What is needed within something that may be left out may be left out with it.
    """
    for key, (field, hint) in fields_of(shape).items():
        bare, beside = unwrapped(hint)
        here = (*path, key)
        if get_origin(bare) is dict or (keys is not None and key not in keys):
            continue
        if kind_of(hint) is not None:
            words = say(f"ask.field.{ask_key(here)}", name=name)
            yield Asked(here, words, shape.model_fields[field].is_required() and not inner)
        if is_shape(bare) and (keys is not None or any(isinstance(b, OrNone) for b in beside)):
            yield from _asked(bare, here, name, inner=True)


def _single(data: Any, path: Path, shape: type[Shape], house: str) -> Iterator[Section]:
    """Yield the section of something that a house has one of, or none."""
    title = say(f"field.{path[-1]}") if path != ("loss",) else say("sheet.loss")
    own = [] if path == ("loss",) else [Asked(path, say(f"ask.field.{ask_key(path)}", name=house))]
    name = house if path == ("loss",) else title
    yield Section(path, title, (*own, *_asked(shape, path, name)))
    for key, (_, hint) in fields_of(shape).items():
        bare, _ = unwrapped(hint)
        if get_origin(bare) is dict and isinstance(value_at(data, path), dict):
            yield from _group(data, (*path, key), get_args(bare)[1], title)


def _group(data: Any, path: Path, shape: type[Shape], house: str) -> Iterator[Section]:
    """Yield a section for each place of a group, and one for a place to come."""
    title, there = say(f"field.{path[-1]}"), value_at(data, path)
    for key in there if isinstance(there, dict) else ():
        name = text_at(data, (*path, key, "name")) or key
        own = tuple(_asked(shape, (*path, key), name))
        yield Section((*path, key), say("sheet.place", group=title, name=name), own)
    new = (*path, NEW)
    asked = list(_asked(shape, new, say(f"sheet.this.{path[-1]}")))
    asked.sort(key=lambda one: one.path[-1] != "name")  # its key comes from its name
    if path != ("rooms",) and not isinstance(there, dict):
        asked.insert(0, Asked(path, say(f"ask.field.{ask_key(path)}", name=house)))
    yield Section(new, say("sheet.new", group=title), tuple(asked))


def value_at(data: Any, path: Sequence[str]) -> Any:
    """Return what a sheet holds at a path; None where it holds nothing."""
    for key in path:
        data = data.get(key) if isinstance(data, dict) else None
    return data


def text_at(data: Any, path: Sequence[str]) -> str:
    """Return what a sheet holds at a path, as a person types it; "" where nothing is known."""
    value = value_at(data, path)
    if isinstance(value, dict) or value in (True, False, "none"):
        there = said_there(value, group=False)
        whole = isinstance(value, dict) or value != "none" or may_be_none(path)
        return (say("fact.yes") if there else say("fact.no")) if whole else str(value)
    return "" if value is None or isinstance(value, list) else str(value)


def with_key(section: Section, answers: Mapping[Path, Any], data: Any) -> dict[Path, Any]:
    """Return the answers to a section of a place to come, at the key that it gets from its name.

    Where there is no name, nothing is said of a place: only whether there are any.
    """
    if not section.new:
        return dict(answers)
    group = section.path[:-1]
    name = answers.get((*section.path, "name"))
    side = answers.get((*section.path, "side"))  # an opening may have no name
    if not name and not side:
        return {path: value for path, value in answers.items() if NEW not in path}
    there = value_at(data, group)
    taken = there if isinstance(there, dict) else {}
    first = key = slug(str(name or side))
    count = 2
    while key in taken:
        key, count = f"{first}-{count}", count + 1
    at = len(group)
    return {
        (*path[:at], key, *path[at + 1 :]): value
        for path, value in answers.items()
        if len(path) > at and path[at] == NEW
    }
