"""Sections of a job: the places that can be drawn, the place of a step, what a section tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from siltline.errors import WrongUse
from siltline.job.desk import Job
from siltline.job.laying import sheet_of
from siltline.judge.measured import points_of, readings_at
from siltline.rules.faults import meant
from siltline.rules.section.shape import Part, Point, Section
from siltline.sentences import say
from siltline.units import Quantity, quantity

if TYPE_CHECKING:
    from siltline.rules.reading import Reader
    from siltline.rules.section.gathering import Drawable

NO_POINTS: Mapping[str, Sequence[Point]] = MappingProxyType({})
_SPACES = ("crawl-space", "basement")


def reader_of(job: Job) -> Reader:
    """Return the house sheet of a job, with what was found out and corrected since.

    Raises:
        Faulty: the stored sheet does not hold to the shapes of this version.
    """
    from siltline.rules.files import house_from  # noqa: PLC0415 - reads YAML, only when asked
    from siltline.rules.reading import Reader  # noqa: PLC0415

    sheet = sheet_of(job)
    return Reader(*house_from(sheet["text"], sheet["name"], job.board.ledger.facts().items()))


def drawable(reader: Reader) -> Sequence[Drawable]:
    """Return the places that a section can be drawn of, walls first."""
    from siltline.rules.section.gathering import drawables  # noqa: PLC0415

    return drawables(reader)


def measured(job: Job) -> dict[str, list[Point]]:
    """Return id of a place -> its measuring points, each with its height and its last value.

    Unaffected wood is left out: it belongs to a step of the place, and lies elsewhere.
    """
    ledger = job.board.ledger
    found: dict[str, list[Point]] = {}
    for one in (point for point in points_of(ledger) if not point.reference):
        read = readings_at(ledger, one.name)
        height = quantity(one.height) if one.height else None
        drawn = Point(one.name, height, read[-1].value if read else "")
        found.setdefault(one.place, []).append(drawn)
    return found


def section_at(
    reader: Reader, place: str, points: Mapping[str, Sequence[Point]] = NO_POINTS
) -> Section:
    """Return the section of a place.

    Args:
        reader: of the house sheet.
        place: id of a wall, a room or a space under the floor; `walls.x` or `rooms.x` where a
            wall and a room have one id.
        points: id of a place -> where something is measured there, as `measured` has it.

    Raises:
        WrongUse: no such place, or two of that id.
    """
    from siltline.rules.section.gathering import gather  # noqa: PLC0415

    paths = [one.path for one in drawable(reader)]
    found = [path for path in paths if place in (path, path.partition(".")[2])]
    if not found:
        known = list(dict.fromkeys(path.partition(".")[2] or path for path in paths))
        raise WrongUse(say("section.no-place", place=place) + meant(place, known))
    if len(found) > 1:
        raise WrongUse(say("section.two-places", place=place, places=", ".join(found)))
    here = points.get(found[0].partition(".")[2] or found[0], ())
    return gather(reader, found[0]).with_points(tuple(here))


def place_of_step(job: Job, reader: Reader, step_id: str) -> str:
    """Return the path of the place whose section shows a step: its wall, its room, its space.

    A step of the whole house, or of a thing outside, gets the first place there is.

    Raises:
        WrongUse: no such step.
    """
    step = job.step(step_id).step
    house, paths = reader.house, [one.path for one in drawable(reader)]
    wanted = {"wall": f"walls.{step.place}", "room": f"rooms.{step.place}"}.get(step.place_kind)
    if step.place_kind in _SPACES:
        wanted = step.place_kind
    elif step.place_kind == "circuit":
        keys = [key for key, (circuit, _) in reader.circuits.items() if circuit == step.place]
        wanted = _standing(house.electrical[keys[0]]) if keys else None
    elif wanted is None:
        wanted = _standing(_thing(reader, step.place_kind, step.place))
    return wanted if wanted in paths else paths[0]


def _thing(reader: Reader, kind: str, key: str) -> Any:
    from siltline.rules.computing import GROUPS  # noqa: PLC0415

    group = next((group for one, group in GROUPS.items() if one == kind), None)
    return getattr(reader.house, group.replace("-", "_")).get(key) if group else None


def _standing(thing: Any) -> str | None:
    """Return the path of the room or the space where something stands."""
    if thing is None:
        return None
    return f"rooms.{thing.room}" if thing.room is not None else thing.space


def _height(height: Quantity | None) -> dict[str, str | None]:
    return {
        "height": height.text if height else None,
        "metres": f"{height.si.normalize():f}" if height else None,
    }


def _part(part: Part) -> dict[str, Any]:
    cable = part.cable and {
        "runs": part.cable.runs,
        "lowest": _height(part.cable.lowest),
        "wetted": part.cable.wetted,
    }
    return {"name": part.name, **_height(part.height), "wetted": part.wetted, "cable": cable}


def told(section: Section) -> dict[str, Any]:
    """Return a section as plain values; yes, no and null stand for wetted, not, not known."""
    return {
        "place": section.place,
        "kind": section.kind,
        "name": section.name,
        "wetted": section.wetted,
        "before": section.before,
        "behind": section.behind,
        "outer": section.outer,
        "top": _height(section.top),
        "floor": section.floor,
        "lines": [
            {"kind": one.kind, **_height(one.height), "room": one.room, "by_level": one.carried}
            for one in section.lines
        ],
        "layers": [
            {"name": one.name, "material": one.material, "wetted": one.wetted,
             "from": _height(one.bottom)}
            for one in section.layers
        ],
        "parts": [_part(part) for part in section.parts],
        "points": [
            {"label": one.label, **_height(one.height), "value": one.value}
            for one in section.points
        ],
        "openings": [
            {"name": one.name, "side": one.side, "kind": one.kind, "open": one.open}
            for one in section.openings
        ],
        "stated": dict(section.stated),
    }  # fmt: skip
