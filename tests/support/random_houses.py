"""Random and incomplete houses, drawn by Hypothesis: any layer, part, machine and water."""

from __future__ import annotations

from typing import get_args

from hypothesis import strategies as st

from siltline.rules.sheet.building import (
    Cladding,
    Finish,
    Floor,
    Insulation,
    Sheathing,
    SheathingMark,
    Structure,
)
from siltline.rules.sheet.site import Foundation, LossSource
from siltline.rules.sheet.systems import (
    AirFrom,
    ApplianceKind,
    BurnerKind,
    Cable,
    CableRuns,
    LiveKind,
    MotorKind,
    PartKind,
)
from support.sheets import Data, inches, leaves, without

ROOMS = ("den", "hall")


def _one(words: object) -> st.SearchStrategy[str]:
    return st.sampled_from(get_args(words))


@st.composite
def _room(draw: st.DrawFn, key: str) -> Data:
    water, wet = sorted(draw(st.lists(st.integers(0, 100), min_size=2, max_size=2)))
    dry = draw(st.booleans())
    return {
        "name": key.title(),
        "level": draw(inches(-90, 100)),
        "floor": draw(_one(Floor)),
        "from-above": draw(st.booleans()),
        "category": draw(st.sampled_from("123")),
        "waterline": "0 in" if dry else f"{water} in",
        "highest-wet-reading": "0 in" if dry else f"{wet} in",
    }


@st.composite
def _wall(draw: st.DrawFn, name: str) -> Data:
    outer = draw(st.booleans())
    found = {
        "name": name,
        "room": draw(st.sampled_from(ROOMS)),
        "outer": outer,
        "structure": draw(_one(Structure)),
        "insulation": draw(_one(Insulation)),
        "finish": draw(_one(Finish)),
        "sheathing": draw(_one(Sheathing)) if outer else "none",
        "sheathing-mark": draw(_one(SheathingMark)),
    }
    if outer:
        found["cladding"] = draw(_one(Cladding))
    if draw(st.booleans()):
        found["wet"] = draw(st.booleans())
    return found


@st.composite
def _standing(draw: st.DrawFn, name: str, kinds: object, **more: st.SearchStrategy[object]) -> Data:
    where: tuple[str, str] = draw(
        st.sampled_from(
            [("room", "den"), ("room", "hall"), ("space", "crawl-space"), ("space", "attic")]
        )
    )
    found: Data = {
        "name": name,
        where[0]: where[1],
        "kind": draw(_one(kinds)),
        "height": draw(inches(0, 96)),
    }
    return {**found, **{key: draw(value) for key, value in more.items()}}


@st.composite
def _group(draw: st.DrawFn, name: str, one: st.SearchStrategy[Data]) -> Data | str | None:
    """Draw a group of things, `none`, or nothing said."""
    how = draw(st.sampled_from(["some", "some", "none", "unsaid"]))
    if how == "some":
        return {f"{name}-{n}": draw(one) for n in range(draw(st.integers(1, 2)))}
    return "none" if how == "none" else None


_CIRCUITS = st.sampled_from(["4", "5"])


@st.composite
def houses(draw: st.DrawFn) -> Data:
    """Draw a house sheet: anything wet or dry, built of anything, with much not said."""
    foundation = draw(_one(Foundation))
    part = _standing(
        "part", PartKind, circuit=_CIRCUITS, cable=_one(Cable), **{"cable-runs": _one(CableRuns)}
    )
    burner = _standing("burner", BurnerKind, **{"draws-air-from": _one(AirFrom)})
    groups = {
        "walls": _group("wall", _wall("wall")),
        "electrical": _group("part", part),
        "motors": _group("motor", _standing("motor", MotorKind)),
        "appliances": _group("appliance", _standing("appliance", ApplianceKind)),
        "burners": _group("burner", burner),
        "live-sources": _group("live", _standing("live", LiveKind)),
    }
    data: Data = {
        "house": "Drawn house (invented)",
        "foundation": foundation,
        "loss": {"source": draw(_one(LossSource)), "salt": draw(st.booleans())},
        "rooms": {key: draw(_room(key)) for key in ROOMS},
        "manufactured-home": draw(st.sampled_from(["none", {"skirting": True, "belly-wet": True}])),
        "heating-cooling": {
            "equipment-wet": draw(st.booleans()),
            "ducts-wet": draw(st.booleans()),
            "duct-material": draw(st.sampled_from(["metal", "flexible", "duct-board"])),
            "ducts-insulated": draw(st.booleans()),
        },
        "year-built": draw(st.sampled_from(["1890", "1979", "1999"])),
        **{key: draw(group) for key, group in groups.items()},
    }
    for under in ("crawl-space", "basement"):
        if foundation == under or draw(st.booleans()):
            data[under] = {
                "flooded": draw(st.booleans()),
                "standing-water": draw(st.booleans()),
                "burners-draw-air": draw(st.booleans()),
            }
    if isinstance(data.get("crawl-space"), dict):
        data["crawl-space"]["ground-cover"] = draw(st.sampled_from(["poly", "none"]))
    data = {key: value for key, value in data.items() if value is not None}
    stays = {"circuit", "kind", "space"}  # where it stands, what it is, what it hangs on
    paths = sorted(path for path in leaves(data) if path[-1] not in stays)
    return without(data, *draw(st.sets(st.sampled_from(paths), max_size=15)))
