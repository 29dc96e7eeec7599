"""The computations of a job, on the step that they decide: what is known already, kept, told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from siltline.errors import WrongUse
from siltline.job import said
from siltline.job.acts import must_apply
from siltline.job.desk import Job
from siltline.job.laying import sheet_as_it_stands
from siltline.judge import StepView
from siltline.judge.measured import newest_air
from siltline.judge.points import AirReading
from siltline.judge.reckoned import Reckoned
from siltline.reckon import RECKONINGS, Told, works_out
from siltline.rules.faults import meant
from siltline.rules.plan import Step
from siltline.sentences import say
from siltline.units import quantity

_SPACE = ("area", "height", "rooms")  # what is of the place, whichever fan it is
# computation -> what of it stands on the card of its step: of what was given, of what comes out
_BRIEF: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "fan": (
        ("which", "blows", "airflow", "fans", "inside", "outside"),
        ("verdict", "removal", "changes"),
    ),
    "dose": (("product", "strength", "label"), ("batch", "parts", "ppm")),
    "machines": ((), ("movers", "placed-movers", "placed-dehumidifiers")),
}


def named(what: str) -> str:
    """Return the name of a computation as it was typed.

    Raises:
        WrongUse: there is none of that name.
    """
    word, known = what.strip().casefold(), list(RECKONINGS)
    if word not in RECKONINGS:
        told = say("reckon.unknown", what=what, known=", ".join(known))
        raise WrongUse(told + (meant(word, known) or "."))
    return word


def on_hand(job: Job, step: Step, what: str, which: str | None = None) -> dict[str, str]:
    """Return what the job knows of what a computation asks: name of it -> text.

    Args:
        job: the open job.
        step: where it is reckoned.
        what: name of the computation.
        which: of which fan or product it is; None for whichever was reckoned last. What was given
            for it comes first, of another one only the space; the airs are those read last.
    """
    before = [one for one in job.board.ledger.reckoned.get(step.id, []) if one.what == what]
    same = [one for one in before if which is None or one.which == which.strip().casefold()]
    if same:
        known = dict(same[-1].given)
    elif what == "dose":
        known = {}  # the floor of a place is not what is treated
    else:
        last = before[-1].given if before else {}
        known = _of_house(job, step) | {key: last[key] for key in _SPACE if key in last}
    known |= _airs(job, step)
    return {one.name: known[one.name] for one in RECKONINGS[what].asks if known.get(one.name)}


def _of_house(job: Job, step: Step) -> dict[str, str]:
    """Return floor and height of the place of a step, as far as the sheet says them."""
    sheet, here = sheet_as_it_stands(job), step.place
    if step.place_kind != "room":  # air movers are reckoned by rooms, and this is none
        size = {"area": sheet.get(f"{here}.area", ""), "height": sheet.get(f"{here}.height", "")}
        return size | ({"rooms": "0"} if size["area"] or size["height"] else {})
    length, width, height = (
        sheet.get(f"rooms.{here}.{side}", "") for side in ("length", "width", "ceiling-height")
    )
    return {"area": _floor(length, width), "height": height}


def _floor(length: str, width: str) -> str:
    """Return the floor of a room in the unit of its length; "" where a side is not known."""
    try:
        sides = [quantity(side, "length") for side in (length, width)]
    except WrongUse:
        return ""
    unit = "ft2" if sides[0].unit in ("ft", "in") else "m2"
    one, other = (side.in_unit(unit[:-1], 3) for side in sides)
    return f"{one * other:.1f} {unit}"


def _airs(job: Job, step: Step) -> dict[str, str]:
    """Return the airs that were read last: of the place, and outdoors."""
    ledger = job.board.ledger
    found: dict[str, AirReading | None] = {
        "inside": newest_air(ledger, "affected", step.place),
        "outside": newest_air(ledger, "outside"),
    }
    return {name: air.typed for name, air in found.items() if air is not None}


def waits(job: Job, view: StepView) -> list[str]:
    """Return what comes before a step and is not done: a burner, say, before any fan."""
    if not view.waiting:
        return []
    return [say("reckon.waits", needs="; ".join(map(job.called, view.waiting)))]


def settings(typed: Sequence[str]) -> dict[str, str]:
    """Return `airflow=300cfm` and the like as name -> text.

    Raises:
        WrongUse: one has no = or no name before it.
    """
    found = {}
    for one in typed:
        name, equals, value = one.partition("=")
        if not equals or not name.strip():
            raise WrongUse(say("reckon.no-setting", setting=one))
        found[name.strip()] = value.strip()
    return found


def asks_told(what: str, known: Mapping[str, str]) -> list[str]:
    """Return a line for each thing that a computation asks: what is known, or how to type it."""
    return [
        say(
            "reckon.ask-line" if one.needed else "reckon.ask-line-more",
            name=one.name,
            field=one.label,
            value=known.get(one.name) or one.example or "|".join(one.choices),
            known=say("reckon.known") if known.get(one.name) else "",
        )
        for one in RECKONINGS[what].asks
    ]


def reckon(job: Job, step: str, what: str, typed: Mapping[str, str], *, by: str) -> Told:
    """Keep what was reckoned on a step, and return what came out.

    Args:
        job: the open job.
        step: id of the step.
        what: name of the computation.
        typed: name of what it asks -> text as typed; what is empty is not kept.
        by: who reckoned.

    Raises:
        WrongUse: no such step or computation, no name, something lacking, or it cannot be: a mix
            that is not what the label says is refused.
        NotNow: the step applies no more.
    """
    name, which = said.person(by), named(what)
    given = {
        key: said.text(key, text, said.LONGEST_NAME) for key, text in typed.items() if text.strip()
    }
    told = works_out(which, given)
    with job.acting(changes_states=False):
        view = job.step(step)
        must_apply(job, view)
        job.append("reckoned", {"step": view.step.id, "what": which, "given": given}, name)
    return told


def told(one: Reckoned) -> list[str]:
    """Return what was reckoned and what comes out, in sentences: the verdict first."""
    names = [asked.name for asked in RECKONINGS[one.what].asks if asked.name in one.given]
    given = ", ".join(f"{name} {one.given[name]}" for name in names)
    head = say(f"reckon.told.{one.what}", given=given)
    try:
        found = works_out(one.what, one.given)
    except WrongUse as fault:  # kept by a version that took it
        return [head, str(fault)]
    return [head, *found.warnings, *(line.told for line in found.lines)]


def briefly(job: Job, one: Reckoned) -> list[str]:
    """Return what was reckoned in a line, for its step and the claim, and what it warns of."""
    asked, wanted = _BRIEF[one.what]
    given = ", ".join(one.given[name] for name in asked if name in one.given)
    try:
        found = works_out(one.what, one.given)
    except WrongUse as fault:  # kept by a version that took it
        return [say(f"reckon.brief.{one.what}", given=given, told=str(fault))]
    lines = "; ".join(line.told for line in found.lines if line.name in wanted)
    told = [say(f"reckon.brief.{one.what}", given=given, told=lines), *found.warnings]
    view = job.board.steps.get(one.step)
    airs = _airs(job, view.step) if view is not None else {}
    since = any(one.given.get(name, air) != air for name, air in airs.items())
    return [*told, say("reckon.airs-since")] if since else told


def sums(what: str, typed: Mapping[str, str]) -> tuple[list[str], list[str]]:
    """Return what is warned of in what is typed so far, and what comes out of it or stops it.

    What matters most comes first.
    """
    given = {key: text for key, text in typed.items() if key != "by"}
    try:
        found = works_out(what, given)
    except WrongUse as fault:
        return [], [str(fault)]
    first = sorted(found.lines, key=lambda line: line.name not in _BRIEF[what][1])
    return list(found.warnings), [line.told for line in first]


def plainly(one: Reckoned) -> dict[str, Any]:
    """Return what was reckoned as plain values, SI and flat under `found`."""
    try:
        found: dict[str, Any] | None = works_out(one.what, one.given).flat
    except WrongUse:
        found = None
    return {
        "step": one.step,
        "what": one.what,
        "given": dict(one.given),
        "found": found,
        "at": one.at,
        "by": one.by,
    }
