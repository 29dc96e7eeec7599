"""What a section shows: heights as they were typed, verdicts as the rules gave them.

Plain values without a reader of sheets behind them, so that whoever draws imports no YAML.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct, field
from msgspec.structs import replace

from siltline.units import Quantity

Wetted = bool | None  # None: not known
_FAR = Decimal("1.5")  # a ceiling so many times higher than all else would only make it small


class Line(Struct, frozen=True):
    """A height that water left.

    Attributes:
        kind: waterline, silt-line or highest-wet-reading.
        height: above the floor; None where it is not known.
        room: what people call the room behind the wall, for a line of that room; else "".
        carried: whether it is the line of the same water in another room, by level.
    """

    kind: str
    height: Quantity | None
    room: str = ""
    carried: bool = False


class Layer(Struct, frozen=True):
    """A layer of a wall: its name, what it is made of (None: not known), from which height up."""

    name: str
    material: str | None
    wetted: Wetted
    bottom: Quantity | None = None


class Cable(Struct, frozen=True):
    """A cable: where it runs and its lowest height, as far as known."""

    runs: str | None
    lowest: Quantity | None
    wetted: Wetted

    @property
    def traced(self) -> bool:
        """Tell whether anything is known of its run."""
        return self.runs is not None or self.lowest is not None


class Part(Struct, frozen=True):
    """Something that stands or hangs there, by its lowest edge; `cable` of an electrical part."""

    name: str
    height: Quantity | None
    wetted: Wetted
    cable: Cable | None = None


class Point(Struct, frozen=True):
    """A point where something is measured: its height, its label, and what was read there last."""

    label: str
    height: Quantity | None
    value: str = ""


class Opening(Struct, frozen=True):
    """An opening of a space under the floor."""

    name: str
    side: str | None
    kind: str | None
    open: bool | None


class Section(Struct, frozen=True):
    """All that a section of one place shows.

    Attributes:
        place: path in the house sheet, as `walls.north` or `crawl-space`.
        kind: wall, room, crawl-space or basement.
        name: what people call it.
        wetted: whether water reached it; of a space under the floor, whether it was flooded.
        before: the room that the finish of a wall looks into; "" elsewhere.
        behind: the room on the other side of an inner wall, or "".
        outer: whether a wall is an outer one.
        top: height of the ceiling, or of the joists above a space.
        floor: covering of the floor, or of the ground.
        layers: of a wall, from outside in.
        lines, parts, points, openings: what stands there.
        stated: further facts: end of their catalogue key -> yes, no, a word, None for not known.
    """

    place: str
    kind: str
    name: str
    wetted: Wetted
    before: str = ""
    behind: str = ""
    outer: bool | None = None
    top: Quantity | None = None
    floor: str | None = None
    layers: tuple[Layer, ...] = ()
    lines: tuple[Line, ...] = ()
    parts: tuple[Part, ...] = ()
    points: tuple[Point, ...] = ()
    openings: tuple[Opening, ...] = ()
    stated: Mapping[str, str | bool | None] = field(default_factory=dict)

    @property
    def under(self) -> bool:
        """Tell whether it is a space under the floor."""
        return self.kind in ("crawl-space", "basement")

    def with_points(self, points: tuple[Point, ...]) -> Section:
        """Return this section with points where something is measured."""
        return replace(self, points=points)

    @property
    def cut(self) -> bool:
        """Tell whether the drawing ends below the ceiling: where all else lies far below it."""
        below = max((one.si for one in self._things()), default=None)
        far = self.top is not None and below is not None and self.top.si > below * _FAR
        return far and not self.under

    def heights(self) -> list[Quantity]:
        """Return every known height that the drawing shows."""
        return [*self._things(), *([self.top] if self.top and not self.cut else [])]

    def _things(self) -> list[Quantity]:
        cables = [part.cable.lowest for part in self.parts if part.cable]
        edges = [layer.bottom for layer in self.layers]
        stand: tuple[Line | Part | Point, ...] = (*self.lines, *self.parts, *self.points)
        things = [one.height for one in stand]
        return [one for one in (*things, *cables, *edges) if one is not None]
