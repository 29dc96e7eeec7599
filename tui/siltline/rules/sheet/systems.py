"""Electrical parts, and the systems of a house: what turns, burns, stores, feeds and drains."""

from __future__ import annotations

from typing import Literal

from siltline.rules.shapes import Id, Name, Shape
from siltline.rules.sheet.values import Height

# Where something stands that stands in no room.
Space = Literal["crawl-space", "basement", "attic", "outside"]
PartKind = Literal[
    "breaker", "outlet", "switch", "light", "panel", "gfci-outlet", "gfci-breaker", "afci-breaker",
    "dimmer", "fuse", "disconnect", "meter", "junction-box", "smoke-alarm",
    "carbon-monoxide-alarm", "surge-protector", "transformer", "heater", "thermostat", "doorbell",
    "fan", "low-voltage", "other",
]  # fmt: skip
Cable = Literal["nm", "uf", "armored", "conduit", "knob-and-tube", "low-voltage", "other"]
CableRuns = Literal["floor", "wall", "ceiling", "attic", "crawl-space", "basement"]
MotorKind = Literal[
    "sump-pump", "well-pump", "sewage-pump", "fan", "blower", "compressor", "circulator",
    "garage-door", "other",
]  # fmt: skip
ApplianceKind = Literal[
    "refrigerator", "freezer", "range", "oven", "cooktop", "dishwasher", "washer", "dryer",
    "disposer", "microwave", "dehumidifier", "air-conditioner", "other",
]  # fmt: skip
BurnerKind = Literal[
    "furnace", "boiler", "water-heater", "room-heater", "fireplace", "range", "dryer", "other"
]  # fmt: skip
Fuel = Literal["gas", "propane", "oil", "wood", "pellets"]
AirFrom = Literal["crawl-space", "basement", "room", "outside"]
LiveKind = Literal["solar", "battery", "generator", "vehicle"]
WellKind = Literal["drilled", "driven", "dug"]
Ducts = Literal["crawl-space", "basement", "attic", "floor", "wall", "ceiling", "none"]


class Standing(Shape):
    """Something that stands in a room or a space; its height is that of its lowest edge.

    `wet` is what somebody saw, and decides over any height.
    """

    name: Name
    room: Id | None = None
    space: Space | None = None
    height: Height | None = None
    wet: bool | None = None


class Part(Standing):
    """An electrical part; its height is that of the bottom of its box above the floor.

    `cable_lowest` is the lowest height of its cable above the floor of its room.
    """

    kind: PartKind
    circuit: Name | None = None
    cable: Cable | None = None
    cable_runs: CableRuns | None = None
    cable_lowest: Height | None = None
    cable_wet: bool | None = None


class Motor(Standing):
    """A motor, built in or standing."""

    kind: MotorKind | None = None


class Appliance(Standing):
    """An appliance of the household; one that burns fuel is a burner too."""

    kind: ApplianceKind | None = None


class Burner(Standing):
    """Whatever burns fuel, and where it draws the air for it."""

    kind: BurnerKind | None = None
    fuel: Fuel | None = None
    draws_air_from: AirFrom | None = None
    sealed: bool | None = None


class FuelStore(Standing):
    """A fuel of the house: its supply, and its tank if it has one."""

    kind: Fuel | None = None
    tank: bool | None = None
    tank_moved: bool | None = None
    shut_off: bool | None = None


class LiveSource(Standing):
    """What stays live when the utility is off."""

    kind: LiveKind | None = None
    off: bool | None = None


class Well(Shape):
    """The well of the house."""

    kind: WellKind | None = None
    flooded: bool | None = None
    tested: bool | None = None


class Septic(Shape):
    """The septic tank and its drain field."""

    flooded: bool | None = None
    tank_moved: bool | None = None
    backs_up: bool | None = None


class HeatingCooling(Shape):
    """Heating and cooling by air: its equipment and its ducts."""

    kind: Literal["furnace", "heat-pump", "air-conditioner", "boiler", "other"] | None = None
    equipment_wet: bool | None = None
    ducts: Ducts | None = None
    duct_material: Literal["metal", "flexible", "duct-board"] | None = None
    ducts_insulated: bool | None = None
    ducts_wet: bool | None = None
    off: bool | None = None
