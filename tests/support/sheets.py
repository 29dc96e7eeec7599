"""House sheets of every shape, drawn by Hypothesis from the whole invented house."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from typing import Any, get_args

from hypothesis import strategies as st

from siltline.rules.facts import Fact
from siltline.rules.files import house_from
from siltline.rules.places import places
from siltline.rules.sheet.asking import field_kind
from siltline.rules.sheet.building import Cladding, Finish, Insulation, Sheathing
from siltline.rules.sheet.site import LossSource
from siltline.rules.sheet.systems import CableRuns
from siltline.rules.yamltext import load
from support.house import WHOLE

Data = dict[str, Any]
Path = tuple[str, ...]
# What no sheet may leave out.
_NEEDED = ("house", "name", "room", "kind", "latitude", "longitude")
# What somebody saw is evidence of its own: without it, the lines alone may say otherwise.
SEEN = ("wet", "cable-wet", "from-above", "belly-wet", "ducts-wet", "equipment-wet")


@cache
def _whole() -> str:
    return json.dumps(load(WHOLE, "whole.yaml").data)


def leaves(data: Data, path: Path = ()) -> Iterator[Path]:
    """Yield the path of every value of a sheet that may be left out."""
    for key, value in data.items():
        if isinstance(value, dict):
            yield from leaves(value, (*path, key))
        elif key not in _NEEDED:
            yield (*path, key)


def without(data: Data, *paths: Path) -> Data:
    """Return a sheet with some values left out."""
    found = deepcopy(data)
    for path in paths:
        inner = found
        for key in path[:-1]:
            inner = inner[key]
        inner.pop(path[-1], None)
    return found


def with_value(data: Data, path: Path, value: str | bool) -> Data:
    """Return a sheet with a value put in."""
    found = deepcopy(data)
    inner = found
    for key in path[:-1]:
        if not isinstance(inner.get(key), dict):
            inner[key] = {}
        inner = inner[key]
    inner[path[-1]] = value
    return found


def inches(low: int, high: int) -> st.SearchStrategy[str]:
    """Draw a height."""
    return st.integers(low, high).map(lambda n: f"{n} in")


@st.composite
def _lines(draw: st.DrawFn) -> dict[str, str]:
    """Draw three lines that do not contradict each other."""
    silt, water, wet = sorted(draw(st.lists(st.integers(0, 40), min_size=3, max_size=3)))
    return {
        "silt-line": f"{silt} in",
        "waterline": f"{water} in",
        "highest-wet-reading": f"{wet} in",
    }


@st.composite
def sheets(draw: st.DrawFn) -> Data:
    """Draw a sheet: the whole house with other water, other layers, and much left out."""
    data: Data = json.loads(_whole())
    data["loss"]["source"] = draw(st.sampled_from(get_args(LossSource)))
    for room in data["rooms"].values():
        room.update(draw(_lines()), level=draw(inches(-30, 30)))
        room["from-above"] = draw(st.booleans())
    wall = data["walls"]["north"]
    for key, words in (("finish", Finish), ("insulation", Insulation), ("sheathing", Sheathing),
                       ("cladding", Cladding)):  # fmt: skip
        wall[key] = draw(st.sampled_from(get_args(words)))
    wall |= {"finish-from": draw(inches(-4, 44)), "outer": draw(st.booleans())}
    for part in data["electrical"].values():
        part["height"] = draw(inches(0, 60))
        part["cable-lowest"] = draw(inches(-20, 60))
        part["cable-runs"] = draw(st.sampled_from(get_args(CableRuns)))
    flooded = draw(st.booleans())
    data["crawl-space"]["flooded"] = flooded
    if flooded:
        data["crawl-space"]["waterline"] = draw(inches(1, 50))
    for group in ("contents", "walls"):
        for one in data[group].values():
            one.pop("wet", None)
    gone = draw(st.sets(st.sampled_from(sorted(leaves(data))), max_size=25))
    return without(data, *gone)


def known(data: Data) -> dict[tuple[str, str, str], Fact]:
    """Return every fact of every place of a sheet: (kind, place, fact) -> fact."""
    found = places(*house_from(json.dumps(data), "drawn.yaml"))
    return {
        (kind, place.id, name): fact
        for kind, here in found.items()
        for place in here
        for name, fact in place.facts.items()
    }


def answers(path: Path) -> st.SearchStrategy[str | bool]:
    """Draw an answer that fits the key at a path and contradicts nothing."""
    fixed = {
        "waterline": "10 in", "silt-line": "8 in", "highest-wet-reading": "20 in",
        "room": "kitchen", "floor": "carpet",
    }  # fmt: skip
    if path[-1] in fixed:
        return st.just(fixed[path[-1]])
    kind = field_kind(path)
    if isinstance(kind, tuple):
        return st.sampled_from(kind)
    by_kind: dict[str, st.SearchStrategy[str | bool]] = {
        "yes-no": st.booleans(),
        "length": inches(2, 60),
        "area": st.just("120 ft2"),
        "year": st.just("1958"),
        "count": st.just("2"),
        "moment": st.just("2026-03-12 08:00"),
    }
    return by_kind.get(kind, st.just("words"))
