"""What a section says in words: each height with its key and verdict, then what has no height."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import product
from string import ascii_lowercase

from msgspec import Struct

from siltline.rules.section.glyphs import Pen, mark_of
from siltline.rules.section.shape import Cable, Layer, Line, Opening, Part, Point, Section, Wetted
from siltline.sentences import say
from siltline.units import Quantity, both, quantity

FLOOR = quantity("0 in")
Group = list[str]


class Entry(Struct, frozen=True):
    """One thing of a section that has a height, or would have one.

    Attributes:
        height: above the floor, or None where it is not known.
        thing: the name of its glyph.
        key: the letters that stand beside its mark, or "".
        words: tells it, given its height in words.
        cable: the cable that hangs on it.
        behind: whether it belongs to the room behind the wall.
        across: whether it is drawn as a line across the room, not as a mark.
    """

    height: Quantity | None
    thing: str
    key: str
    words: Callable[[str], str]
    cable: Cable | None = None
    behind: bool = False
    across: bool = False

    def told(self, pen: Pen, *, whole: bool = True) -> str:
        """Return its words with its mark; `whole` gives its height in both systems."""
        shown = "" if self.height is None else both(self.height) if whole else self.height.text
        mark = pen.glyph(self.thing)
        label = f"{mark}{self.key}" if self.key else mark * 2
        return f"{label} {self.words(shown)}".rstrip()


def keys() -> Iterator[str]:
    """Yield a, b, ... z, aa, ab, ... without end."""
    length = 1
    while True:
        yield from ("".join(letters) for letters in product(ascii_lowercase, repeat=length))
        length += 1


def verdict(wetted: Wetted) -> str:
    """Return a verdict in words."""
    return say(f"section.verdict.{mark_of(wetted)}")


def _line(line: Line) -> Entry:
    what = say(f"section.line.{line.kind}")
    if line.room:
        what = say("section.line-behind", line=what, room=line.room)
    if line.carried:
        what = say("section.carried", line=what)
    behind = bool(line.room)
    return Entry(line.height, line.kind, "", lambda at: f"{what} {at}", None, behind, across=True)


def _part(part: Part, key: str) -> Entry:
    found, mark = verdict(part.wetted), mark_of(part.wetted)

    def words(at: str) -> str:
        return " ".join(word for word in (found, at, part.name) if word)

    return Entry(part.height, mark, key, words, part.cable)


def _point(point: Point, key: str) -> Entry:
    def words(at: str) -> str:
        return " ".join(word for word in (at, point.value, point.label) if word)

    return Entry(point.height, "point", key, words)


def _cable(cable: Cable, key: str) -> Entry:
    found = verdict(cable.wetted)
    return Entry(
        cable.lowest,
        mark_of(cable.wetted),
        "",
        lambda at: say("section.cable-lowest", verdict=found, height=at, key=key),
    )


def _ground(section: Section) -> str:
    """Return what the floor is drawn as; of a crawl space its cover, or bare soil."""
    if section.kind != "crawl-space":
        return "floor"
    return {"poly": "poly", "none": "soil"}.get(section.floor or "", "not-known")


def _edges(section: Section) -> Iterator[Entry]:
    """Yield the floor, the ceiling, and where a finish begins."""
    covering = section.floor.replace("-", " ") if section.floor else say("section.unknown")
    under = section.under
    ground = say("section.ground" if under else "section.floor", covering=covering)
    yield Entry(FLOOR, _ground(section), "", lambda _: ground, across=True)
    if section.top is not None and not section.cut:
        yield Entry(
            section.top,
            "joist" if under else "ceiling",
            "",
            lambda at: say("section.joists" if under else "section.ceiling", height=at),
            across=not under,
        )
    for layer in section.layers:
        if layer.bottom is not None:
            yield Entry(
                layer.bottom, "between", "", lambda at: say("section.finish-from", height=at)
            )


def _down(height: Quantity | None) -> tuple[bool, Decimal]:
    """Return what sorts heights from the highest down, with what has none at the end."""
    return (True, Decimal(0)) if height is None else (False, -height.si)


def entries(section: Section) -> list[Entry]:
    """Return all entries, the highest first; those without a height come last."""
    standing: tuple[Part | Point, ...] = (*section.parts, *section.points)
    things = sorted(standing, key=lambda one: _down(one.height))
    found = [*(_line(line) for line in section.lines), *_edges(section)]
    for thing, key in zip(things, keys(), strict=False):
        found.append(_point(thing, key) if isinstance(thing, Point) else _part(thing, key))
        if isinstance(thing, Part) and thing.cable and thing.cable.lowest is not None:
            found.append(_cable(thing.cable, key))
    return sorted(found, key=lambda entry: _down(entry.height))


def _of_layer(layer: Layer, number: int, pen: Pen) -> str:
    made_of = layer.material.replace("-", " ") if layer.material else say("section.unknown")
    mark = pen.glyph(mark_of(layer.wetted))
    told = {"layer": say(f"section.layer.{layer.name}"), "material": made_of, "mark": mark}
    return say("section.layer", number=number, verdict=verdict(layer.wetted), **told)


def _cables(found: list[Entry], pen: Pen) -> Iterator[str]:
    """Yield where each cable runs and whether it was wetted; untraced ones by their verdict."""
    untraced: dict[Wetted, list[str]] = {}
    for entry in found:
        if entry.cable is not None and entry.cable.traced:
            told = {"mark": pen.glyph(mark_of(entry.cable.wetted)), "key": entry.key}
            runs = say(f"section.runs.{entry.cable.runs or 'unknown'}")
            yield say("section.cable", runs=runs, verdict=verdict(entry.cable.wetted), **told)
        elif entry.cable is not None:
            untraced.setdefault(entry.cable.wetted, []).append(entry.key)
    for wetted, without in untraced.items():
        told = {"mark": pen.glyph(mark_of(wetted)), "keys": ", ".join(without)}
        yield say("section.untraced", verdict=verdict(wetted), **told)


def _opening(opening: Opening) -> str:
    parts = [one for one in (opening.kind, opening.side) if one]
    state = {True: say("section.open"), False: say("section.closed"), None: say("section.unknown")}
    name = f"{opening.name} ({', '.join(parts)})" if parts else opening.name
    return say("section.opening", name=name, state=state[opening.open])


def _value(value: str | bool | None) -> str:
    if isinstance(value, str):
        return value.replace("-", " ")
    return {True: say("section.yes"), False: say("section.no"), None: say("section.unknown")}[value]


def groups(section: Section, found: list[Entry], pen: Pen) -> list[Group]:
    """Return what is said below the drawing; the first of a group is its heading, or "".

    The groups stand in the order of their weight: what has no height, the layers, the cables,
    the openings, further facts.
    """
    nowhere = [entry.told(pen) for entry in found if entry.height is None]
    numbered = [_of_layer(layer, n, pen) for n, layer in enumerate(section.layers, 1)]
    stated = [
        say(f"section.stated.{key}", value=_value(value)) for key, value in section.stated.items()
    ]
    made = [
        [say("section.nowhere"), *nowhere],
        [say("section.layers"), *numbered],
        [say("section.cables"), *_cables(found, pen)],
        [say("section.openings"), *map(_opening, section.openings)],
    ]
    if section.top is not None and section.cut:
        stated.insert(0, say("section.ceiling-above", height=both(section.top)))
    return [*(group for group in made if len(group) > 1), *([["", *stated]] if stated else [])]
