"""The building: rooms with their three lines, walls with their layers, what lies below."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from siltline.rules.shapes import Id, Name, Shape
from siltline.rules.sheet.site import Category
from siltline.rules.sheet.values import GROUP, Area, Count, Height, Level, Moment, Side

Floor = Literal[
    "carpet", "sheet-vinyl", "vinyl-tile", "vinyl-plank", "laminate", "engineered-wood",
    "solid-wood", "ceramic-tile", "stone", "concrete", "cork", "linoleum",
]  # fmt: skip
Finish = Literal["wallboard", "plaster", "panelling", "tile", "wallpaper", "none"]
Cladding = Literal[
    "brick-veneer", "stone-veneer", "solid-masonry", "block", "stucco", "synthetic-stucco",
    "lap", "vinyl", "steel", "wood-panel", "fibre-cement", "log",
]  # fmt: skip
Structure = Literal["stud", "masonry", "insulated-panels", "insulated-forms", "log"]
Sheathing = Literal["plywood", "osb", "fibreboard", "solid-board", "gypsum", "foam", "none"]
SheathingMark = Literal["exterior", "exposure-1", "interior"]
Insulation = Literal[
    "fibreglass", "cellulose", "loose-fill", "rock-wool", "foam-board", "spray-foam", "none"
]  # fmt: skip
GroundCover = Literal["poly", "none"]
Support = Literal["piers", "posts", "joists", "walls"]
Compass = Literal["north", "east", "south", "west"]


class Room(Shape):
    """A room and its three heights above its finished floor.

    `level` is how far its finished floor lies above the one level of the site; below is negative.
    `floor` is free text; the coverings that rules know are those of `Floor`.
    """

    name: Name
    waterline: Height | None = None
    silt_line: Height | None = None
    highest_wet_reading: Height | None = None
    from_above: bool | None = None
    floor: Name | None = None
    wall_finish: Finish | None = None
    level: Level | None = None
    length: Side | None = None
    width: Side | None = None
    ceiling_height: Side | None = None
    category: Category | None = None
    category_since: Moment | None = None


class Wall(Shape):
    """A wall of a room, or between two; outer walls have a cladding.

    The finish begins at the floor, unless `finish-from` says at which height.
    """

    name: Name
    room: Id
    other_room: Id | None = None
    outer: bool | None = None
    length: Side | None = None
    wet: bool | None = None
    cladding: Cladding | None = None
    sheathing: Sheathing | None = None
    sheathing_mark: SheathingMark | None = None
    structure: Structure | None = None
    insulation: Insulation | None = None
    finish: Finish | None = None
    finish_from: Height | None = None


class Opening(Shape):
    """A vent, a door or a hatch of a space under the house."""

    name: Name | None = None
    side: Compass | None = None
    kind: Literal["vent", "door", "hatch", "window"] | None = None
    open: bool | None = None


class Under(Shape):
    """A space under the floor; its waterline is above its own floor or soil."""

    flooded: bool | None = None
    ground_cover: GroundCover | None = None
    area: Area | None = None
    height: Height | None = None
    level: Level | None = None
    waterline: Height | None = None
    standing_water: bool | None = None
    sewage: bool | None = None
    burners_draw_air: bool | None = None
    structure: Support | None = None
    openings: Annotated[dict[Id, Opening], *GROUP] = Field(default_factory=dict)


class CrawlSpace(Under):
    """The space under the floor that one can only crawl in."""


class Basement(Under):
    """A storey below ground; its finished rooms are rooms of the sheet with a negative level."""

    sump_pits: Count | None = None
