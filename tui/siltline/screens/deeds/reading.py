"""Measuring points: set up, read in rounds, the air around them, how dry they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from siltline.errors import NotNow
from siltline.job.odd import Odd
from siltline.job.points import add_point, name_for, readable
from siltline.job.rounds import air_typed, as_read, corrects_nothing, read_air, read_round
from siltline.judge.measured import points_of
from siltline.judge.points import AIRS, Point
from siltline.judge.register import key_of
from siltline.screens.asking import by_field
from siltline.screens.deeds.entering import enter_readings
from siltline.screens.field import Typed
from siltline.screens.measuring import YES, air_fields, is_yes, point_fields, round_fields
from siltline.screens.working import WorkingDesk
from siltline.sentences import say


def _asked_twice(act: Callable[[Typed, bool], object]) -> Callable[[Typed], object]:
    """Return an act that takes numbers which surprise when they are sent a second time."""
    refused: list[Typed] = []

    def once_more(typed: Typed) -> None:
        try:
            act(typed, typed in refused)
        except Odd as fault:
            refused.append(dict(typed))
            raise NotNow(f"{fault} {say('form.odd-sure')}") from fault

    return once_more


async def read_here(desk: WorkingDesk) -> None:
    """Read the points of the step in hand; where it has none, readings of the step itself."""
    place = desk.in_hand.step.place
    here = [one for one in points_of(desk.job.board.ledger) if one.place == place or one.reference]
    if any(not one.reference for one in here):
        await _ask_round(desk, here)
    else:
        await enter_readings(desk)


async def _ask_round(desk: WorkingDesk, points: Sequence[Point]) -> None:
    """Ask for one number a point, in their order, and record them; say what they count as."""
    fields = [] if desk.person else [by_field(desk.job, "")]
    fields += round_fields(desk.job, points)
    kept: list[int] = []

    def read_all(typed: Typed, sure: bool) -> None:
        values = {one.name: typed[f"value{n}"] for n, one in enumerate(points)}
        told = {key: typed.get(key, "") for key in ("meter", "temp", "when")}
        desk.know(typed.get("by", ""))
        read_round(desk.job, values, by=desk.person, sure=sure, **told)
        kept.append(sum(bool(value.strip()) for value in values.values()))

    typed = await desk.ask(
        say("form.round"), fields, say("form.round-hint"), act=_asked_twice(read_all),
        name="round",
    )  # fmt: skip
    if typed is None:
        return
    desk.changed(say("desk.round-kept", n=kept[0]))
    used = typed["meter"], typed.get("temp", "")
    told = as_read(desk.job, *used)
    told += [say("desk.uncorrected")] if corrects_nothing(desk.job, *used) else []
    for line in told:
        desk.notify(line, markup=False, severity="warning", timeout=10)


async def set_up_point(desk: WorkingDesk) -> None:
    """Set up a measuring point for the step in hand."""
    step = desk.in_hand.step
    wanted = readable(step)
    if not wanted:
        desk.notify(say("desk.no-points-here"), markup=False)
        return
    hint = say("form.point-hint", what=wanted[0], place=step.place_name)

    def name(key: str, typed: Typed) -> Typed:
        """Fill in a name that fits what was typed, until somebody types another."""
        if key not in ("material", "reference"):
            return {}
        dry = typed["reference"].strip().casefold() in YES
        return {"name": name_for(desk.job, typed["material"], reference=dry)}

    def put(typed: Typed, sure: bool) -> None:
        if key_of(typed["name"]) in desk.job.board.ledger.points and not sure:
            raise Odd([say("form.point-there", name=typed["name"].strip())])
        told = {key: typed[key] for key in ("where", "material", "height", "depth")}
        reference = is_yes(typed["reference"])
        add_point(
            desk.job, step.id, typed["name"], reads=wanted[0], reference=reference,
            by=desk.person, **told,
        )  # fmt: skip

    typed = await desk.ask(
        say("form.point"), point_fields(), hint, act=_asked_twice(put), fills=name,
        name="point",
    )  # fmt: skip
    if typed is not None:
        desk.changed(say("desk.point-kept", name=typed["name"].strip()))


async def read_air_of_day(desk: WorkingDesk) -> None:
    """Record the air of the day; say whether outside air dries."""
    from siltline.job.drying import outside_told  # noqa: PLC0415

    fields = [] if desk.person else [by_field(desk.job, "")]
    fields += air_fields(desk.job, desk.in_hand.step.place)

    def read_all(typed: Typed, sure: bool) -> None:
        airs = [
            air_typed(air, typed[f"value-{air}"], typed["place"])
            for air in AIRS
            if typed[f"value-{air}"].strip()
        ]
        desk.know(typed.get("by", ""))
        read_air(desk.job, airs, when=typed["when"], by=desk.person, sure=sure)

    typed = await desk.ask(
        say("form.air"), fields, say("form.air-hint"), act=_asked_twice(read_all), name="air"
    )
    if typed is not None:
        of = desk.job.board.ledger.airs[-1].at  # which may be of yesterday
        told = outside_told(desk.job, typed["place"].strip(), of)
        desk.changed(" ".join([say("desk.air-kept"), *told]))


async def show_drying(desk: WorkingDesk) -> None:
    """Show how dry each point is, with its chart; go to the step of the one picked."""
    from siltline.screens.drying import DryingScreen  # noqa: PLC0415 - reckons

    while True:
        picked = await desk.app.push_screen_wait(DryingScreen(desk.job))
        if picked == DryingScreen.READ:
            await _ask_round(desk, points_of(desk.job.board.ledger))
            continue
        if picked in desk.job.board.steps:
            desk.go_to(picked)
        desk.changed()
        return
