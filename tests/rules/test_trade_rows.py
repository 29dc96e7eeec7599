"""Each row of the published tables drives a small house to its verdict, its source beside it.

The rows are data in `trade/*.yaml`. What no row can drive stands below, with why.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from siltline.rules.plan import Plan, Step
from siltline.rules.yamltext import load
from support.trade import Data, before, merged, plan_of

FOLDER = Path(__file__).parent / "trade"
FILES = {path.stem: load(path.read_text("utf-8"), path.name).data for path in FOLDER.glob("*.yaml")}
ROWS = [
    pytest.param(FILES[name]["base"], row, id=f"{name}: {row['row']}")
    for name in sorted(FILES)
    for row in FILES[name]["rows"]
]
# A thing in short: the group of the sheet, and what it is unless the row says more.
SHORT: dict[str, tuple[str, Data]] = {
    "part": ("electrical", {"name": "the part", "room": "den", "height": "14 in", "circuit": "4"}),
    "wall": ("walls", {"name": "the wall", "room": "den", "outer": True}),
    "motor": ("motors", {"name": "the motor", "room": "den", "height": "4 in"}),
    "appliance": ("appliances", {"name": "the appliance", "room": "den", "height": "2 in"}),
    "burner": ("burners", {"name": "the burner", "room": "den", "height": "4 in"}),
    "live": ("live-sources", {"name": "the source", "space": "outside", "height": "60 in"}),
}
# Rows of the tables that a checklist cannot be driven to, and why.
NOT_DRIVEN = {
    "switchboards, switchgear, low-voltage power breakers, relays, current transformers":
        "none stands in a home, so the house sheet has no word for them",
    "busway, epoxy or film": "none stands in a home",
    "motor controllers, starters, contactors, drives": "no such part; `other` is strict",
    "surge devices, switches, luminaires, motors, transfer switches, 2023 reconditioning rules":
        "their text was not read; the stricter list is driven instead",
    "stock that got wet is not to be sold on": "not work on a house",
    "insulation resistance of windings, kV + 1 megohm":
        "a test of a motor shop, never the crew's; an old edition in a summary",
    "part on which the code is silent": "a licence to recondition is no step; homes replace",
    "water source, duration, contaminants, nameplate, maker, permit": "inputs, no verdict",
    "keys 16 ft away, chocked wheels of a hybrid": "for trained responders only",
    "scooters, e-bikes, toys": "the sheet has no such thing yet; debris-hauled names batteries",
    "NESHAP amounts 260 ft, 160 ft2, 35 ft3": "one home is outside of them; amounts are recorded",
    "several homes of one owner in one project": "one sheet is one house",
    "homeowner is not a building owner": "a duty of the employer, no step",
    "asbestos under 1 percent": "the inspector's report says what follows",
    "mould tiers 10 / 30 / 100 of a city": "differ from the federal 10 / 100, which are driven",
    "framing limits of 18, 19 and 20 percent": "laxer than 15, which is driven",
    "wicking of board, 15 cm in 3 h": "a figure of a laboratory, no verdict",
    "a moisture meter cannot show board too wet": "no bound on board: test_trade_holds",
    "UK experiment on how long a flood stands": "no verdict",
    "synthetic stucco 6 in above grade, drained kinds": "a rule for building, not for drying",
    "drill drainage holes at the floor line": "sources differ, the later one drops it; not advised",
    "48 in cut for the economy of sheets": "an economy; 12 in above the reading is the floor",
    "vent ratios 1/150, 1/300, 1/1500, exhaust 1 cfm per 50 ft2": "arithmetic: `calc crawl`",
    "access openings 18 x 24 in": "a rule for building",
    "suction limits of other burners, 3 to 50 Pa": "stricter here: off, or air from outdoors",
    "sealed crawl spaces where the water table is high": "not offered; poly may stay out by a name",
    "one sheet test per 500 ft2": "from memory; a step is laid a room",
    "in-situ humidity and dish tests of slabs": "the maker of the floor decides; the way `maker`",
    "classes 1 to 4, dehumidifier divisors, air mover counts":
        "not to be shipped before somebody with the standard signs them",
    "TB-2 classes of materials": "rows of its table were not obtained",
    "rinse mud off old masonry while it is wet": "cleaning comes with a later phase",
    "mattresses, upholstery, books": "belongings come with a later phase",
    "basement pumped all at once under 3 ft": "overruled; never shown: test_trade_holds",
    "bleach of any strength": "the label decides; no dose stands in any step: test_trade_holds",
}  # fmt: skip


def house_of(base: Data, row: Data) -> Data:
    """Return the sheet of a row: the base, what the row says more, and its thing in short."""
    house = merged(base, row.get("house", {}))
    if "room" in row:
        house = merged(house, {"rooms": {"den": row["room"]}})
    for key in SHORT.keys() & row.keys():
        group, default = SHORT[key]
        listed = house.get(group)
        found = {**default, **row[key]}
        house[group] = {**(listed if isinstance(listed, dict) else {}), key: found}
    if row.get("no-manufactured-home"):
        house["manufactured-home"] = "none"
    return house


def _has(wanted: str, *texts: str) -> bool:
    return any(wanted.casefold() in " ".join(text.split()).casefold() for text in texts)


def _proof(step: Step, kind: str) -> list[str]:
    return [proof.name for proof in step.proof if proof.kind == kind]


def _reading(step: Step, field: str) -> list[str]:
    return [str(getattr(proof, field)) for proof in step.proof if proof.kind == "reading"]


# what a row may ask of a step -> whether the step has it
Says = Callable[[Step, Any, Plan], bool]
SAYS: dict[str, Says] = {
    "do": lambda s, want, _: _has(want.replace("{place}", s.place_name), s.do),
    "why": lambda s, want, _: _has(want, s.reason),
    "caution": lambda s, want, _: _has(want, *(c.text for c in s.cautions)),
    "never": lambda s, want, _: _has(want, *(n.act for n in s.nevers)),
    "source": lambda s, want, _: _has(want, *s.sources),
    "licence": lambda s, want, _: _proof(s, "licence") == [want],
    "photo": lambda s, want, _: want in _proof(s, "photo"),
    "reading": lambda s, want, _: want in _proof(s, "reading"),
    "quantity": lambda s, want, _: want in _proof(s, "quantity"),
    "ways": lambda s, want, _: [way.id for way in s.ways] == want,
    "way": lambda s, want, _: all(
        any(w.id == way and _has(text, w.do) for w in s.ways) for way, text in want.items()
    ),
    "who": lambda s, want, _: all(
        any(w.id == way and w.who == who for w in s.ways) for way, who in want.items()
    ),
    "override": lambda s, want, _: s.override == want,
    "hold": lambda s, want, _: bool(s.hold_point) is want,
    "takes-out": lambda s, want, _: bool(s.takes_out) is want,
    "may-stay-out": lambda s, want, _: want in s.may_stay_out,
    "every": lambda s, want, _: s.every == want,
    "at-most": lambda s, want, _: _reading(s, "at_most") == [want],
    "count": lambda s, want, _: _reading(s, "count") == [want],
    "hours-apart": lambda s, want, _: _reading(s, "hours_apart") == [want],
    "asks": lambda s, want, _: want in {ask.path[-1] for ask in s.asks},
    "measure-after": lambda s, want, _: _has(want, s.measure_after),
    "before": lambda s, want, plan: set(want) <= before(plan)[s.id],
}


@pytest.mark.parametrize(("base", "row"), ROWS)
def test_a_row_drives_its_house_to_its_verdict(base: Data, row: Data) -> None:
    plan = plan_of(house_of(base, row), row.get("checklist", "river-flood"))
    steps = {step.id: step for step in plan.steps}
    rules = {step.rule for step in plan.steps}
    assert row["must"]
    assert set(row["must"]) <= steps.keys()
    assert not set(row.get("must-not", [])) & (rules | steps.keys())
    for name, wanted in row.get("says", {}).items():
        for key, value in wanted.items():
            assert SAYS[key](steps[name], value, plan), (name, key, value, steps[name])


@pytest.mark.parametrize(("base", "row"), ROWS)
def test_a_row_names_its_source_and_how_well_it_was_seen(base: Data, row: Data) -> None:
    assert row["source"]["title"]
    assert row["source"]["seen"] in ("read", "summary", "memory")
    assert {"row", "source", "must"} <= row.keys()
    assert base["house"].endswith("(invented)")


@pytest.mark.parametrize(("base", "row"), ROWS)
def test_a_verdict_of_a_row_is_certain_and_asks_for_nothing_else(base: Data, row: Data) -> None:
    """A row that must ask says so; any other one tells its house well enough."""
    plan = plan_of(house_of(base, row), row.get("checklist", "river-flood"))
    asked = {name for name, wanted in row.get("says", {}).items() if "asks" in wanted}
    year = {"asbestos-surveyed/house", "lead-safe/house"}
    always = {"nothing-stays-live/house"}  # laid for what nobody listed
    for step in plan.steps:
        if step.id in set(row["must"]) - asked - year - always:
            assert not step.asks, (step.id, step.measure)


def test_the_rows_are_counted(figure: Callable[[str], None]) -> None:
    told: Counter[str] = Counter()
    for name, file in FILES.items():
        told.update({f"{name} {len(file['rows'])}": 1})
    seen = Counter(row["source"]["seen"] for file in FILES.values() for row in file["rows"])
    assert sum(seen.values()) == len(ROWS) >= 140
    figure(
        f"rows of the trade driven: {len(ROWS)} ({', '.join(sorted(told))}; sources read"
        f" {seen['read']}, in a summary {seen['summary']}, memory or practice {seen['memory']});"
        f" rows that cannot be driven: {len(NOT_DRIVEN)}"
    )


def test_every_row_that_is_not_driven_says_why_and_is_driven_nowhere() -> None:
    driven = {row["row"] for file in FILES.values() for row in file["rows"]}
    assert not driven & NOT_DRIVEN.keys()
    assert all(why.strip() for why in NOT_DRIVEN.values())
