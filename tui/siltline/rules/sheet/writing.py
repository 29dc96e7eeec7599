"""Writes answers into the text of a house sheet, and leaves everything else of it as it stands.

Comments, blank lines, the order of keys stay: it is a file that a person edits too.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from typing import Any, get_args, get_origin

from siltline.errors import WrongUse
from siltline.rules.faults import Fault, Faulty
from siltline.rules.house import House, read_house, warnings
from siltline.rules.sheet.asking import fields_of, is_shape, unwrapped
from siltline.rules.yamltext import load
from siltline.sentences import say
from siltline.text import storable, visible

Path = tuple[str, ...]
Answer = str | bool | None
_WIDE = 100_000  # no line is folded: a value stays beside its key
_WORDS = ("true", "false", "null", "~", "")


def faults_of(text: str, name: str = "house.yaml") -> tuple[list[Fault], list[Fault]]:
    """Return what is wrong in a sheet, and what is odd but may be so, each at its line."""
    try:
        source = load(text, name)
        return [], warnings(read_house(source), source)
    except Faulty as fault:
        return fault.faults, []


def put(text: str, answers: Mapping[Path, Answer], typed: Mapping[Path, str] | None = None) -> str:
    """Return the text of a sheet with answers put in.

    Args:
        text: YAML, "" for a new sheet.
        answers: path -> value; None takes the key out. True and False at something that a house
            has or has not say so, and leave what is known of it.
        typed: path -> what somebody typed, where the value is a reading of it; it is kept in a
            comment beside the value.

    Raises:
        Faulty: the text is no YAML.
        WrongUse: an answer cannot be written.
    """
    source = load(text, "house.yaml") if text.strip() else None
    yaml = _yaml()
    from ruamel.yaml.comments import CommentedMap  # noqa: PLC0415 - as the YAML reader is

    data = yaml.load(text) if source and source.data is not None else CommentedMap()
    wanted = source.data if source and source.data is not None else {}
    for path, value in answers.items():
        _set(data, path, value, CommentedMap, _scalar)
        _set(wanted, path, value, dict, lambda one: one)
        if typed and path in typed:
            _note(data, path, typed[path])
    written = io.StringIO()
    if data:
        yaml.dump(data, written)
    new = written.getvalue()
    if new and load(new, "house.yaml").data != wanted:
        raise WrongUse(say("sheet.unwritable"))
    return new


def _yaml() -> Any:
    """Return a writer that keeps comments and takes every plain word for what is typed."""
    from ruamel.yaml import YAML  # noqa: PLC0415 - 80 ms, only where a sheet is written
    from ruamel.yaml.nodes import ScalarNode  # noqa: PLC0415
    from ruamel.yaml.resolver import VersionedResolver  # noqa: PLC0415

    class Plain(VersionedResolver):
        """Numbers, dates and true stay the text that was typed, as in `yamltext`."""

        def resolve(self, kind: Any, value: Any, implicit: Any) -> Any:
            if kind is ScalarNode and implicit[0]:
                return self.DEFAULT_SCALAR_TAG
            return super().resolve(kind, value, implicit)

    yaml = YAML(typ="rt", pure=True)
    yaml.Resolver = Plain
    yaml.preserve_quotes = True
    yaml.width = _WIDE
    yaml.allow_unicode = True
    return yaml


def _scalar(value: Answer) -> Any:
    """Return a value as it is written: a word that YAML takes for something else in quotes."""
    from ruamel.yaml.scalarstring import DoubleQuotedScalarString  # noqa: PLC0415

    if isinstance(value, bool):
        return "true" if value else "false"
    text = storable(value or "")
    return DoubleQuotedScalarString(text) if text in _WORDS else text


def _note(data: Any, path: Path, typed: str) -> None:
    for key in path[:-1]:
        data = data[key]
    data.yaml_add_eol_comment(f"{say('sheet.typed')} {visible(typed)}", path[-1])


def _set(
    data: Any, path: Path, value: Answer, mapping: Any, scalar: Callable[[Answer], Any]
) -> None:
    """Set a value in nested mappings, at its place among its neighbours."""
    for number, key in enumerate(path[:-1]):
        if not isinstance(data.get(key), dict):
            if value is None:
                return
            _insert(data, path[: number + 1], mapping())
        data = data[key]
    key = path[-1]
    if value is None:
        data.pop(key, None)
    elif isinstance(value, bool) and _holds_keys(path):
        if value and not isinstance(data.get(key), dict):
            _insert(data, path, scalar(True))
        elif not value:  # nobody writes `consent-to-work: none`
            _insert(data, path, scalar(False if path[0] == "loss" else "none"))
    else:
        _insert(data, path, scalar(value))


def _order(path: Path) -> list[str]:
    """Return the keys beside the last of a path, in the order of the shapes; [] for places."""
    bare: Any = House
    for key in path[:-1]:
        bare = get_args(bare)[1] if get_origin(bare) is dict else fields_of(bare)[key][1]
        bare, _ = unwrapped(bare)
    return list(fields_of(bare)) if is_shape(bare) else []


def _holds_keys(path: Path) -> bool:
    order, bare = _order(path), House
    if path[-1] not in order:
        return False
    found: Any = bare
    for key in path:
        found = get_args(found)[1] if get_origin(found) is dict else fields_of(found)[key][1]
        found, _ = unwrapped(found)
    return is_shape(found) or get_origin(found) is dict


def _insert(data: Any, path: Path, value: Any) -> None:
    key, order = path[-1], _order(path)
    if key in data or key not in order or not hasattr(data, "insert"):
        data[key] = value
        return
    before = set(order[: order.index(key)])
    data.insert(max((n for n, k in enumerate(data, 1) if k in before), default=0), key, value)
