"""The desk with its measuring points: set up, read in rounds, the air around them, how dry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import work

from siltline.errors import NotNow, WrongUse
from siltline.job.odd import Odd
from siltline.judge.measured import points_of, readings_at
from siltline.screens.entering import EnteringDesk
from siltline.screens.field import Field, Typed
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.points import Point


YES, NO = ("yes", "y", "sí", "si"), ("no", "n")


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


def _quietly(reads: Callable[[str], object]) -> Callable[[str], str]:
    """Return what reads a field whose words need no echo: a word that is none is refused."""

    def read(typed: str) -> str:
        reads(typed)
        return ""

    return read


def _is_yes(typed: str) -> bool:
    """Tell yes from no.

    Raises:
        WrongUse: it is neither.
    """
    word = typed.strip().casefold()
    if word not in (*YES, *NO):
        raise WrongUse(say("form.not-offered", value=typed, offers="yes, no"))
    return word in YES


def _point_fields() -> list[Field]:
    """Return what is asked of a measuring point that is set up."""
    from siltline.job.points import material_typed  # noqa: PLC0415 - no first paint needs a form
    from siltline.judge.points import MATERIALS  # noqa: PLC0415
    from siltline.screens.facts import amount  # noqa: PLC0415

    return [
        Field("material", say("form.point-material"), needed=False,
              reads=_quietly(material_typed), offers=MATERIALS),
        Field("name", say("form.point-name")),
        Field("where", say("form.point-where"), needed=False),
        Field("height", say("form.point-height"), needed=False,
              reads=lambda typed: amount(typed, "length")),
        Field("reference", say("form.point-reference"), "no", reads=_quietly(_is_yes),
              offers=("no", "yes")),
    ]  # fmt: skip


class ReadingDesk(EnteringDesk):
    """The desk from which points are read."""

    def action_reading(self) -> None:
        """Read the points of the step in hand; where it has none, readings of the step itself."""
        place = self.in_hand.step.place
        here = [
            one for one in points_of(self.job.board.ledger) if one.place == place or one.reference
        ]
        if any(not one.reference for one in here):
            self.read_points(here)
        else:
            self.enter_readings()

    @work
    async def read_points(self, points: Sequence[Point]) -> None:
        """Ask for one number a point, in their order, with the last one beside it."""
        await self.ask_round(points)

    async def ask_round(self, points: Sequence[Point]) -> None:
        """Ask for a round and record it."""
        from siltline.job.rounds import (  # noqa: PLC0415
            meter_typed,
            moisture_typed,
            read_round,
            with_unit,
        )
        from siltline.screens.asking import by_field  # noqa: PLC0415 - no first paint needs a form

        ledger = self.job.board.ledger
        fields = [] if self.person else [by_field(self.job, "")]
        for number, one in enumerate(points):
            read = readings_at(ledger, one.name)
            newest = read[-1].value if read else "-"
            dry = say("dry.reference") if one.reference else ""
            spot = ", ".join(filter(None, (one.name, one.where, dry)))
            told = say("form.round-point", spot=spot, newest=newest)
            fields.append(
                Field(f"value{number}", told, needed=False, reads=moisture_typed,
                      completes=with_unit)
            )  # fmt: skip
        meters = tuple(one.name for there in ledger.meters.values() for one in there[:1])
        used = next((r[-1].meter for one in points if (r := readings_at(ledger, one.name))), "")
        named = _quietly(partial(meter_typed, self.job))
        fields.append(
            Field("meter", say("form.meter"), used, needed=False, reads=named, offers=meters)
        )
        kept: list[int] = []

        def read_all(typed: Typed, sure: bool) -> None:
            values = {one.name: typed[f"value{n}"] for n, one in enumerate(points)}
            self.know(typed.get("by", ""))
            read_round(self.job, values, meter=typed["meter"], by=self.person, sure=sure)
            kept.append(sum(bool(value.strip()) for value in values.values()))

        if await self.ask(
            say("form.round"), fields, say("form.round-hint"), act=_asked_twice(read_all),
            name="round",
        ):  # fmt: skip
            self.changed(say("desk.round-kept", n=kept[0]))

    @work
    async def action_point(self) -> None:
        """Set up a measuring point for the step in hand."""
        from siltline.job.points import add_point, name_for, readable  # noqa: PLC0415
        from siltline.judge.register import key_of  # noqa: PLC0415

        step = self.in_hand.step
        wanted = readable(step)
        if not wanted:
            self.notify(say("desk.no-points-here"), markup=False)
            return
        hint = say("form.point-hint", what=wanted[0], place=step.place_name)

        def name(key: str, typed: Typed) -> Typed:
            """Fill in a name that fits what was typed, until somebody types another."""
            if key not in ("material", "reference"):
                return {}
            dry = typed["reference"].strip().casefold() in YES
            return {"name": name_for(self.job, typed["material"], reference=dry)}

        def put(typed: Typed, sure: bool) -> None:
            if key_of(typed["name"]) in self.job.board.ledger.points and not sure:
                raise Odd([say("form.point-there", name=typed["name"].strip())])
            told = {key: typed[key] for key in ("where", "material", "height")}
            reference = _is_yes(typed["reference"])
            add_point(
                self.job, step.id, typed["name"], reads=wanted[0], reference=reference,
                by=self.person, **told,
            )  # fmt: skip

        typed = await self.ask(
            say("form.point"), _point_fields(), hint, act=_asked_twice(put), fills=name,
            name="point",
        )  # fmt: skip
        if typed is not None:
            self.changed(say("desk.point-kept", name=typed["name"].strip()))

    @work
    async def action_air_of_day(self) -> None:
        """Record the air of the day; say whether outside air dries."""
        from siltline.job.drying import outside_told  # noqa: PLC0415
        from siltline.job.rounds import air_typed, air_understood, read_air  # noqa: PLC0415
        from siltline.judge.points import AIRS  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415

        views = self.job.board.steps.values()
        places = [v.step for v in views if v.step.place_kind in ("room", "crawl-space", "basement")]
        names = tuple(dict.fromkeys(step.place for step in places))
        here = self.in_hand.step
        place = here.place if here.place in names else (names or ("",))[0]
        fields = [] if self.person else [by_field(self.job, "")]
        fields.append(Field("place", say("form.air-place"), place, needed=False, offers=names))
        fields += [
            Field(f"value-{air}", say(f"form.air-{air}"), needed=False, reads=air_understood)
            for air in AIRS
        ]

        def read_all(typed: Typed, sure: bool) -> None:
            airs = [
                air_typed(air, typed[f"value-{air}"], typed["place"])
                for air in AIRS
                if typed[f"value-{air}"].strip()
            ]
            self.know(typed.get("by", ""))
            read_air(self.job, airs, by=self.person, sure=sure)

        typed = await self.ask(
            say("form.air"), fields, say("form.air-hint"), act=_asked_twice(read_all), name="air"
        )
        if typed is not None:
            told = outside_told(self.job, typed["place"].strip())
            self.changed(" ".join([say("desk.air-kept"), *told]))

    @work
    async def action_drying(self) -> None:
        """Show how dry each point is, with its chart; go to the step of the one picked."""
        from siltline.screens.drying import DryingScreen  # noqa: PLC0415 - reckons

        while True:
            picked = await self.app.push_screen_wait(DryingScreen(self.job))
            if picked == DryingScreen.READ:
                await self.ask_round(points_of(self.job.board.ledger))
                continue
            if picked in self.job.board.steps:
                self.go_to(picked)
            self.changed()
            return
