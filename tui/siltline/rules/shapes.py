"""Checks data against a shape and tells every fault at its line, in our own sentences."""

from __future__ import annotations

import re
from typing import Annotated, Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, StringConstraints, ValidationError

from siltline.rules.faults import MOST_TOLD, Fault, Faulty, meant
from siltline.rules.yamltext import Path, Source, as_mapping
from siltline.sentences import say

Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=120)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=2000)]
_QUOTED = re.compile(r"'([^']+)'")


class Shape(BaseModel):
    """A mapping of a YAML file: kebab-case keys, nothing unknown, nothing guessed."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        frozen=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", "-"),
    )


S = TypeVar("S", bound=Shape)

# pydantic's error type -> our sentence; anything else is told in pydantic's words
_SENTENCES = {
    "missing": "shape.missing",
    "string_type": "shape.text",
    "bool_type": "shape.true-or-false",
    "list_type": "shape.list",
    "tuple_type": "shape.list",
    "dict_type": "shape.mapping",
    "model_type": "shape.mapping",
    "model_attributes_type": "shape.mapping",
    "string_too_short": "shape.empty",
    "string_pattern_mismatch": "shape.id",
}


def _models(annotation: Any) -> list[type[Shape]]:
    if isinstance(annotation, type) and issubclass(annotation, Shape):
        return [annotation]
    return [model for inner in get_args(annotation) for model in _models(inner)]


def _keys_at(model: type[Shape], path: Path) -> list[str]:
    """Return the keys that the shape knows at a path, for a suggestion."""
    here = [model]
    for part in path:
        fields = [f for m in here for f in m.model_fields.values() if f.alias == part]
        deeper = [found for f in fields for found in _models(f.annotation)]
        here = deeper or here
    return [str(f.alias) for m in here for f in m.model_fields.values()]


def _clean(loc: tuple[str | int, ...], data: Any) -> Path:
    """Drop from pydantic's location what is not a key or index of the data."""
    path: list[str | int] = []
    for part in loc:
        inside = isinstance(data, dict) and part in data
        if inside or (isinstance(data, list) and isinstance(part, int) and part < len(data)):
            path.append(part)
            data = data[part]
    return tuple(path)


def _key(path: Path) -> str:
    """Return the key that a path stands at, or is in the list of."""
    return next((str(part) for part in reversed(path) if isinstance(part, str)), "")


def _named(source: Source, path: Path, error: Any) -> Fault | None:
    """Return a fault of a kind that wants more than its sentence; None of any other kind."""
    named = _key(path)
    at_key = error["loc"][-1:] == ("[key]",)
    match error["type"]:
        case "literal_error":
            word, known = str(error["input"]), _QUOTED.findall(error["ctx"]["expected"])
            told = say("shape.not-one-of", key=named, value=word)
            text = say("shape.unknown-key", key=word) if at_key else told
            return source.fault(path, text + meant(word, known), key=at_key)
        case "too_short":
            least = error["ctx"]["min_length"]
            return source.fault(path, say("shape.few", key=named, n=least))
        case "value_error":
            return source.fault(path, str(error["ctx"]["error"]))
        case "string_too_long":
            limit = error["ctx"]["max_length"]
            return source.fault(path, say("shape.long", key=named, limit=limit), key=at_key)
    return None


def _fault(source: Source, model: type[Shape], error: Any) -> Fault:
    path = _clean(error["loc"], source.data)
    last = str(error["loc"][-1]) if error["loc"] else ""
    kind = error["type"]
    if kind == "extra_forbidden":
        hint = meant(last, _keys_at(model, path[:-1]))
        return source.fault(path, say("shape.unknown-key", key=last) + hint, key=True)
    told = _named(source, path, error)
    if told is not None:
        return told
    if kind in _SENTENCES:
        named = last if kind == "missing" else _key(path)
        return source.fault(path, say(_SENTENCES[kind], key=named), key=last == "[key]")
    return source.fault(path, say("shape.other", problem=error["msg"]))


def validated(model: type[S], source: Source) -> S:
    """Return the data of a file in its shape.

    Raises:
        Faulty: with all faults of the file at once.
    """
    as_mapping(source)
    try:
        return model.model_validate(source.data)
    except ValidationError as errors:
        most = errors.errors()[: MOST_TOLD + 1]  # what is meant costs time for each
        raise Faulty(_fault(source, model, error) for error in most) from errors
