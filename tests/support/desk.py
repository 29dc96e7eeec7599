"""Works the screen as a person does: with keys, and text that is typed or pasted."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from textual import events
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from siltline.text import visible

PATIENCE_S = 20


async def stand(pilot: Pilot[Any], step: str = "gear-on/house") -> None:
    """Wait for the first paint, then stand on a step whatever matters most."""
    await pilot.pause()
    pilot.app.screen.stand_on(step)  # type: ignore[attr-defined]
    await pilot.pause()


async def until(pilot: Pilot[Any], found: Callable[[], bool]) -> None:
    """Wait until something is so: what reads a sheet or asks a worker takes its time."""
    end = time.monotonic() + PATIENCE_S
    while not found():
        assert time.monotonic() < end, "it did not come"
        await asyncio.sleep(0.02)
        await pilot.pause()


class Hands:
    """Hands on a keyboard; `presses` counts the keys."""

    def __init__(self, pilot: Pilot[Any]) -> None:
        self.pilot = pilot
        self.presses = 0

    @property
    def app(self) -> Any:
        return self.pilot.app

    async def press(self, *keys: str) -> None:
        self.presses += len(keys)
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def settle(self) -> None:
        """Wait until workers and messages are done."""
        waiting = self.pilot.app.workers.wait_for_complete()
        await asyncio.wait_for(waiting, PATIENCE_S)  # a form that asks would wait for ever
        await self.pilot.pause()

    async def go_to(self, step: str) -> None:
        """Go to a step with the arrow keys."""
        rows = self.app.screen.query_one("#steps", OptionList)
        order = [option.id for option in rows.options if not option.disabled]
        here = order.index(self.app.screen.in_hand.step.id)
        there = order.index(step)
        key = "down" if there > here else "up"
        if there != here:
            await self.press(*[key] * abs(there - here))
        assert self.app.screen.in_hand.step.id == step

    async def fill(self, typed: Mapping[str, str]) -> None:
        """Fill the form on top, field by field, and send it with Enter at the last."""
        await self.pilot.pause()
        fields = list(self.app.screen.query(Input))
        fields[0].focus()
        await self.pilot.pause()
        for field in fields:
            key = str(field.id).removeprefix("field-")
            assert self.app.focused is field, key
            if key in typed:
                field.value = ""
                field.post_message(events.Paste(typed[key]))
                await self.pilot.pause()
                assert field.value == visible(typed[key])
            await self.press("enter")
        await self.settle_form()

    async def settle_form(self) -> None:
        await self.pilot.pause()
        await self.pilot.pause()

    async def pick(self, row: str, choice: str = "") -> None:
        """Pick a row of the list on top, in a role."""
        await self.pilot.pause()
        screen = self.app.screen
        if choice:
            while screen.choices[screen.choice] != choice:
                await self.press("tab")
        rows = screen.query_one("#pick-list", OptionList)
        order = [option.id for option in rows.options]
        there = order.index(row)
        await self.press(*["down"] * (there - (rows.highlighted or 0)), "enter")
        await self.settle_form()


def values_of(keys: Sequence[str], values: Sequence[str]) -> dict[str, str]:
    """Return form fields for values, in the order of the fields."""
    return dict(zip(keys, values, strict=False))


async def refused(hands: Hands, rows: Mapping[str, Any], field: str) -> str:
    """Send the form on top, which stays; return what is said under one of its fields."""
    await hands.pilot.pause()
    await hands.press("ctrl+s")
    fault = rows[field].query_one(".fault", Static)
    await until(hands.pilot, lambda: fault.display)
    return str(fault.content)
