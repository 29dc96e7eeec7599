"""The desk with its measuring points: set up, read in rounds, the air around them, how dry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual import work

from siltline.errors import NotNow
from siltline.job.odd import Odd
from siltline.judge.measured import points_of
from siltline.screens.field import Typed
from siltline.screens.metering import MeteringDesk
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.points import Point


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


class ReadingDesk(MeteringDesk):
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
        """Ask for a round and record it; say what its numbers count as."""
        from siltline.job.rounds import as_read, corrects_nothing, read_round  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415 - no first paint needs a form
        from siltline.screens.measuring import round_fields  # noqa: PLC0415

        fields = [] if self.person else [by_field(self.job, "")]
        fields += round_fields(self.job, points)
        kept: list[int] = []

        def read_all(typed: Typed, sure: bool) -> None:
            values = {one.name: typed[f"value{n}"] for n, one in enumerate(points)}
            told = {key: typed.get(key, "") for key in ("meter", "temp", "when")}
            self.know(typed.get("by", ""))
            read_round(self.job, values, by=self.person, sure=sure, **told)
            kept.append(sum(bool(value.strip()) for value in values.values()))

        typed = await self.ask(
            say("form.round"), fields, say("form.round-hint"), act=_asked_twice(read_all),
            name="round",
        )  # fmt: skip
        if typed is None:
            return
        self.changed(say("desk.round-kept", n=kept[0]))
        used = typed["meter"], typed.get("temp", "")
        told = as_read(self.job, *used)
        told += [say("desk.uncorrected")] if corrects_nothing(self.job, *used) else []
        for line in told:
            self.notify(line, markup=False, severity="warning", timeout=10)

    @work
    async def action_point(self) -> None:
        """Set up a measuring point for the step in hand."""
        from siltline.job.points import add_point, name_for, readable  # noqa: PLC0415
        from siltline.judge.register import key_of  # noqa: PLC0415
        from siltline.screens.measuring import YES, is_yes, point_fields  # noqa: PLC0415

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
            told = {key: typed[key] for key in ("where", "material", "height", "depth")}
            reference = is_yes(typed["reference"])
            add_point(
                self.job, step.id, typed["name"], reads=wanted[0], reference=reference,
                by=self.person, **told,
            )  # fmt: skip

        typed = await self.ask(
            say("form.point"), point_fields(), hint, act=_asked_twice(put), fills=name,
            name="point",
        )  # fmt: skip
        if typed is not None:
            self.changed(say("desk.point-kept", name=typed["name"].strip()))

    @work
    async def action_air_of_day(self) -> None:
        """Record the air of the day; say whether outside air dries."""
        from siltline.job.drying import outside_told  # noqa: PLC0415
        from siltline.job.rounds import air_typed, read_air  # noqa: PLC0415
        from siltline.judge.points import AIRS  # noqa: PLC0415
        from siltline.screens.asking import by_field  # noqa: PLC0415
        from siltline.screens.measuring import air_fields  # noqa: PLC0415

        fields = [] if self.person else [by_field(self.job, "")]
        fields += air_fields(self.job, self.in_hand.step.place)

        def read_all(typed: Typed, sure: bool) -> None:
            airs = [
                air_typed(air, typed[f"value-{air}"], typed["place"])
                for air in AIRS
                if typed[f"value-{air}"].strip()
            ]
            self.know(typed.get("by", ""))
            read_air(self.job, airs, when=typed["when"], by=self.person, sure=sure)

        typed = await self.ask(
            say("form.air"), fields, say("form.air-hint"), act=_asked_twice(read_all), name="air"
        )
        if typed is not None:
            of = self.job.board.ledger.airs[-1].at  # which may be of yesterday
            told = outside_told(self.job, typed["place"].strip(), of)
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
