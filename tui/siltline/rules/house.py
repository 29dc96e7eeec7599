"""The house sheet: what a lead knows about one house, as YAML. What is unknown is left out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from siltline.rules.faults import Fault, Faulty
from siltline.rules.shapes import Id, Name, Shape, Words, validated
from siltline.rules.sheet import fitting
from siltline.rules.sheet.belongings import Thing
from siltline.rules.sheet.building import Basement, CrawlSpace, Room, Wall
from siltline.rules.sheet.site import Foundation, Loss, Manufactured, Position
from siltline.rules.sheet.systems import (
    Appliance,
    Burner,
    FuelStore,
    HeatingCooling,
    LiveSource,
    Motor,
    Part,
    Septic,
    Well,
)
from siltline.rules.sheet.values import GROUP, SINGLE, Altitude, Moment, Year, Zone
from siltline.rules.yamltext import Source

__all__ = ["House", "Loss", "Moment", "Room", "read_house", "warnings"]


class House(Shape):
    """A house sheet.

    Of each group and each single thing, a sheet may say `none` (the house has none) or `true`
    (it has, and nothing more is known); one that is left out is not known. `level` names what
    the levels of the rooms are measured from.
    """

    house: Name
    note: Words | None = None
    address: Words | None = None
    owner: Name | None = None
    time_zone: Zone | None = None
    position: Position | None = None
    altitude: Altitude | None = None
    year_built: Year | None = None
    foundation: Foundation | None = None
    level: Words | None = None
    manufactured_home: Annotated[Manufactured | None, *SINGLE] = None
    loss: Loss = Field(default_factory=Loss)
    rooms: dict[Id, Room] = Field(min_length=1)
    walls: Annotated[dict[Id, Wall], *GROUP] = Field(default_factory=dict)
    electrical: Annotated[dict[Id, Part], *GROUP] = Field(default_factory=dict)
    motors: Annotated[dict[Id, Motor], *GROUP] = Field(default_factory=dict)
    appliances: Annotated[dict[Id, Appliance], *GROUP] = Field(default_factory=dict)
    burners: Annotated[dict[Id, Burner], *GROUP] = Field(default_factory=dict)
    fuels: Annotated[dict[Id, FuelStore], *GROUP] = Field(default_factory=dict)
    live_sources: Annotated[dict[Id, LiveSource], *GROUP] = Field(default_factory=dict)
    well: Annotated[Well | None, *SINGLE] = None
    septic: Annotated[Septic | None, *SINGLE] = None
    heating_cooling: Annotated[HeatingCooling | None, *SINGLE] = None
    crawl_space: Annotated[CrawlSpace | None, *SINGLE] = None
    basement: Annotated[Basement | None, *SINGLE] = None
    contents: Annotated[dict[Id, Thing], *GROUP] = Field(default_factory=dict)


def read_house(source: Source) -> House:
    """Return the house of a sheet.

    Raises:
        Faulty: with all faults of the sheet at once.
    """
    faults = fitting.stray(source)
    try:
        house = validated(House, source)
    except Faulty as fault:
        raise Faulty([*fault.faults, *faults]) from fault
    faults += fitting.contradictions(house, source)
    if faults:
        raise Faulty(faults)
    return house


def warnings(house: House, source: Source) -> list[Fault]:
    """Return what is odd in a sheet but may be so, in the order of its lines."""
    return sorted(set(fitting.oddities(house, source)))
