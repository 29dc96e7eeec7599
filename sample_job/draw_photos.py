"""Draws the photos of the sample job: plain pictures of an invented house, with EXIF.

Run `python sample_job/draw_photos.py [FOLDER]`; the default is `photos` beside this file. The
same Pillow gives the same bytes: texture is seeded by the picture, nothing asks for the time.

INVENTED, all of it: the house, its people, both cameras and every place and time in the tags.
One camera is right. The other runs ahead, see `CAMERAS`, so that a crew can practise on it.

The file runs from shapes, over things and rooms, to the pictures; `SHOTS`, near its end, says
which photo shows what.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import partial
from pathlib import Path

from PIL import Image, ImageChops, ImageColor, ImageDraw, ImageFilter, ImageFont
from PIL.ExifTags import GPS, IFD, Base
from PIL.TiffImagePlugin import IFDRational

WIDE, HIGH = 1024, 768  # pixels of a finished picture; all coordinates below are in these
FINE = 2  # drawn this much larger, then made smaller, for smooth edges
SITE = timezone(timedelta(hours=-5))  # the invented house, in March

MUD, SILT, SOIL, WATER = "#6b523a", "#8f7656", "#574432", "#7c7261"
DARK, STEEL, PAPER, WOOD, BLACK = "#23211f", "#a0a8ab", "#f1eee4", "#a67b50", "#000000"
PLASTER, GLASS, SUIT, GLOVE, YELLOW = "#dcd9b4", "#b9cbd6", "#5d7890", "#d9772b", "#f0c22e"
FAINT = "#00000050"  # the outline of a thing

Point = tuple[float, float]
Points = Sequence[Point]
Spot = tuple[float, float, float]  # feet: along the room, across it, above its floor


# --- Shapes ---------------------------------------------------------------------------------


def _at(text: str) -> list[Point]:
    """Return the points of a text such as `10,20 30,40`."""
    pairs = (pair.split(",") for pair in text.split())
    return [(float(x), float(y)) for x, y in pairs]


def _box(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _oval(x: float, y: float, across: float, down: float, part: Point = (0, 360)) -> list[Point]:
    """Return an ellipse round a centre, or the part of it between two angles (0 is right)."""
    angles = (math.radians(part[0] + (part[1] - part[0]) * n / 48) for n in range(49))
    return [(x + across * math.cos(a), y + down * math.sin(a)) for a in angles]


def _round(x0: float, y0: float, x1: float, y1: float, r: float) -> list[Point]:
    """Return a box with round corners."""
    middles = ((x1 - r, y1 - r), (x0 + r, y1 - r), (x0 + r, y0 + r), (x1 - r, y0 + r))
    arcs = (_oval(x, y, r, r, (n * 90, n * 90 + 90)) for n, (x, y) in enumerate(middles))
    return [point for arc in arcs for point in arc[::6]]


def _turn(points: Points, degrees: float, about: Point) -> list[Point]:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    apart = [(x - about[0], y - about[1]) for x, y in points]
    return [(about[0] + x * cos - y * sin, about[1] + x * sin + y * cos) for x, y in apart]


def _move(points: Points, x: float, y: float) -> list[Point]:
    return [(px + x, py + y) for px, py in points]


def _smooth(points: Points) -> list[Point]:
    """Return an outline with its corners cut twice."""
    for _ in range(2):
        pairs = list(zip(points, [*points[1:], points[0]], strict=True))
        shares = [(a, b, t) for a, b in pairs for t in (0.25, 0.75)]
        points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b, t in shares]
    return list(points)


def _tone(colour: str, factor: float) -> str:
    """Return a colour made darker or lighter."""
    parts = ImageColor.getrgb(colour)[:3]
    return "#" + "".join(f"{max(0, min(255, round(part * factor))):02x}" for part in parts)


def _worn(value: int, patchy: float) -> int:
    return max(0, min(255, round((value - 153 * patchy) * 2.6 + 50)))


def _ramp(size: tuple[int, int], ends: Point, *, sideways: bool) -> Image.Image:
    """Return tones that run from one share of white to another, down or across."""
    steps = bytes(round(255 * (ends[0] + (ends[1] - ends[0]) * n / 63)) for n in range(64))
    ramp = Image.frombytes("L", (64, 1) if sideways else (1, 64), steps)
    return ramp.resize(size, Image.Resampling.BILINEAR)


class Sheet:
    """A picture being drawn.

    Attributes:
        dice: chance for texture, seeded by the kind of the picture.
    """

    def __init__(self, seed: str) -> None:
        self.dice = random.Random(seed)  # noqa: S311 - texture, no secret
        self._image = Image.new("RGB", (WIDE * FINE, HIGH * FINE))
        self._pen = ImageDraw.Draw(self._image, "RGBA")
        self._from = (0.0, 0.0, 1.0)

    def origin(self, x: float = 0, y: float = 0, scale: float = 1) -> None:
        """Draw what follows from another origin and in another size."""
        self._from = (x, y, scale)

    def _pixels(self, points: Points) -> list[Point]:
        left, top, scale = self._from
        return [((left + x * scale) * FINE, (top + y * scale) * FINE) for x, y in points]

    def _cloud(self, size: tuple[int, int], cell: float) -> Image.Image:
        """Return soft random tones, in lumps of about that size with finer ones on them."""
        layers = []
        for lump in (cell * FINE, cell * FINE / 4):
            small = (max(2, round(size[0] / lump) + 1), max(2, round(size[1] / lump) + 1))
            seed = Image.frombytes("L", small, self.dice.randbytes(small[0] * small[1]))
            layers.append(seed.resize(size, Image.Resampling.BICUBIC))
        return Image.blend(layers[0], layers[1], 0.4)

    def area(
        self,
        points: Points,
        colour: str,
        alpha: float = 1,
        *,
        rough: float = 0.05,
        cell: float = 30,
        soft: float = 0,
        patchy: float = 0,
        down: Point = (1, 1),
        across: Point = (1, 1),
    ) -> None:
        """Fill a shape.

        Args:
            points: its outline.
            colour: its middle tone.
            alpha: how much it covers.
            rough: how far its light and dark lumps differ.
            cell: how large they are.
            soft: how far its edge is blurred.
            patchy: how much of it is worn away by chance, from 0.
            down: share of the cover at its top and at its bottom.
            across: share of the cover at its left and at its right.
        """
        pixels, margin = self._pixels(points), 3 * soft * FINE + 2
        xs, ys = [p[0] for p in pixels] or [0], [p[1] for p in pixels] or [0]
        x0, y0 = (math.floor(max(-400, min(part) - margin)) for part in (xs, ys))
        size = (
            math.ceil(min(WIDE * FINE + 400, max(xs) + margin)) - x0,
            math.ceil(min(HIGH * FINE + 400, max(ys) + margin)) - y0,
        )
        if len(pixels) < 3 or min(size) < 1:  # noqa: PLR2004 - outside the picture
            return
        mask = Image.new("L", size)
        ImageDraw.Draw(mask).polygon(_move(pixels, -x0, -y0), fill=round(255 * alpha))
        if soft:
            mask = mask.filter(ImageFilter.GaussianBlur(soft * FINE))
        for ends, sideways in ((down, False), (across, True)):
            if ends != (1, 1):
                mask = ImageChops.multiply(mask, _ramp(size, ends, sideways=sideways))
        if patchy:
            worn = self._cloud(size, cell * 1.7)
            mask = ImageChops.multiply(mask, worn.point([_worn(v, patchy) for v in range(256)]))
        light, dark = (Image.new("RGB", size, _tone(colour, 1 + way * rough)) for way in (1, -1))
        self._image.paste(Image.composite(light, dark, self._cloud(size, cell)), (x0, y0), mask)

    def line(self, points: Points, colour: str, wide: float = 2) -> None:
        """Draw a line through points; its colour may carry alpha."""
        width = max(1, round(wide * FINE * self._from[2]))
        self._pen.line(self._pixels(points), fill=colour, width=width, joint="curve")

    def shadow(self, points: Points, x: float = 7, y: float = 9, alpha: float = 0.42) -> None:
        """Draw the soft shadow of a shape that is to be drawn over it."""
        self.area(_move(points, x, y), BLACK, alpha, soft=6, rough=0)

    def thing(self, points: Points, colour: str, rough: float = 0.05, cell: float = 30) -> None:
        """Draw a solid thing: its shadow, itself, its outline."""
        self.shadow(points)
        self.area(points, colour, rough=rough, cell=cell)
        self.line([*points, *points[:2]], FAINT)

    def words(self, x: float, y: float, text: str, size: float, colour: str = DARK) -> None:
        """Write words centred on a point."""
        font = ImageFont.load_default(size=size * FINE * self._from[2])
        self._pen.text(self._pixels([(x, y)])[0], text, fill=colour, font=font, anchor="mm")

    def flecks(self, where: Points, count: int, colour: str, large: float = 4) -> None:
        """Scatter small lumps over a box that is given by two of its corners."""
        (x0, y0), (x1, y1) = where
        for _ in range(count):
            x, y = self.dice.uniform(x0, x1), self.dice.uniform(y0, y1)
            r, shade = self.dice.uniform(0.3, 1) * large, self.dice.uniform(0.75, 1.25)
            self._pen.polygon(self._pixels(_oval(x, y, r, r * 0.7)), fill=_tone(colour, shade))

    def blur(self, radius: float) -> None:
        """Blur all that is drawn so far."""
        self._image.paste(self._image.filter(ImageFilter.GaussianBlur(radius * FINE)))

    def finished(self) -> Image.Image:
        """Return the picture in its own size, darker to its corners, with grain and its strip."""
        image = self._image.resize((WIDE, HIGH), Image.Resampling.BOX)
        image = image.filter(ImageFilter.GaussianBlur(0.5))
        corners = Image.radial_gradient("L").point([max(0, v - 100) // 2 for v in range(256)])
        image.paste("#14100c", (0, 0, WIDE, HIGH), corners.resize(image.size))
        self.dice.seed("grain")
        grain = Image.frombytes("L", image.size, self.dice.randbytes(WIDE * HIGH))
        grain = grain.filter(ImageFilter.GaussianBlur(0.8))
        image = Image.blend(image, Image.merge("RGB", (grain, grain, grain)), 0.014)
        pen = ImageDraw.Draw(image)
        pen.rectangle((0, HIGH - 18, WIDE, HIGH), fill="#2b2723")
        font = ImageFont.load_default(size=12)
        pen.text((WIDE / 2, HIGH - 9), "INVENTED SAMPLE", fill="#d8d0c2", font=font, anchor="mm")
        return image


# --- Things that several pictures show ------------------------------------------------------

ALL = _box(0, 0, WIDE, HIGH)


def _ragged(c: Sheet, x0: float, x1: float, y: float, jitter: float) -> list[Point]:
    """Return points from one side to the other along an uneven level line."""
    return [(x0 + (x1 - x0) * n / 40, y + c.dice.uniform(-jitter, jitter)) for n in range(41)]


def _film(c: Sheet, y0: float, y1: float, alpha: float = 0.75) -> None:
    """Draw what muddy water left on a wall: a film below its silt line, and the line."""
    edge = _ragged(c, 0, WIDE, y0, 3)
    c.area([*edge, (WIDE, y1), (0, y1)], SILT, alpha, rough=0.12, cell=50, soft=1)
    c.area([*edge, (WIDE, y1), (0, y1)], MUD, alpha, rough=0.15, cell=30, down=(0, 0.9))
    for _ in range(34):
        x, long = c.dice.uniform(0, WIDE), c.dice.uniform(30, 120)
        c.line([(x, y0 + 8), (x, min(y1, y0 + long))], "#4e3b2844", c.dice.uniform(1, 4))
    band = [*edge, *_ragged(c, WIDE, 0, y0 + 14, 4)]
    c.area(band, MUD, min(1, alpha + 0.2), rough=0.25, cell=12, soft=1.2)


def _mud(c: Sheet, points: Points, colour: str = MUD) -> None:
    """Draw wet mud: lumps, gloss and hollows."""
    c.area(points, colour, rough=0.24, cell=26, soft=1)
    c.area(points, "#d3c8b2", 0.26, cell=13, patchy=1.0, soft=2)
    c.area(points, "#33261a", 0.4, cell=20, patchy=0.95, soft=2)


def _siding(c: Sheet, colour: str) -> None:
    c.area(ALL, colour, rough=0.04, cell=70)
    for y in range(0, HIGH, 44):
        c.area(_box(0, y, WIDE, y + 14), BLACK, 0.28, down=(1, 0), rough=0)
        c.line([(0, y), (WIDE, y)], FAINT, 1.5)


def _planks(c: Sheet, high: int) -> None:
    """Cover the picture with boards that run across it."""
    for y in range(0, HIGH, high):
        colour = _tone("#8a6340", c.dice.uniform(0.88, 1.08))
        c.area(_box(0, y, WIDE, y + high), colour, rough=0.08, cell=60)
        for _ in range(4):
            grain = _ragged(c, 0, WIDE, y + c.dice.uniform(4, high - 4), 1.5)
            c.line(grain, "#3a220f28", c.dice.uniform(0.8, 2))
        c.line([(0, y), (WIDE, y)], "#2a190bb0", 2.5)


def _bricks(c: Sheet, colour: str, foot: float, wide: float, high: float) -> None:
    """Draw courses of bricks from the top of the picture down to a level."""
    c.area(_box(0, 0, WIDE, foot), "#b9ae9c", rough=0.06, cell=24)
    for row in range(math.ceil(foot / high)):
        y = foot - (row + 1) * high
        for n in range(-1, math.ceil(WIDE / wide) + 1):
            x = n * wide + (row % 2) * wide / 2
            brick = _round(x + 5, y + 5, x + wide - 5, y + high - 5, 4)
            c.area(brick, _tone(colour, c.dice.uniform(0.84, 1.14)), rough=0.08, cell=24)
            c.line([(x + 6, y + high - 5), (x + wide - 6, y + high - 5)], FAINT)


def _person(c: Sheet, x: float, foot: float, scale: float) -> None:
    """Draw a member of the crew from the front, in full gear, 430 units tall."""
    c.origin(x, foot, scale)
    c.area(_oval(6, 0, 92, 13), BLACK, 0.5, soft=5, rough=0)
    for way in (-1, 1):
        for shape, colour in (
            ("4,-190 52,-195 46,-60 8,-60", SUIT),
            ("4,-84 50,-84 50,-20 66,-4 6,-4", "#3c5a3a"),
            ("6,-10 68,-10 68,0 6,0", DARK),
            ("6,-80 48,-80 48,-73 6,-73", "#e8dfc8"),
            ("50,-318 74,-300 98,-182 70,-176 44,-270", "#56708a"),
        ):
            c.area([(px * way, py) for px, py in _at(shape)], colour)
        c.flecks([(way * 10, -50), (way * 48, -6)], 30, MUD)
        glove = _round(way * 84 - 18, -192, way * 84 + 18, -138, 15)
        c.area(_turn(glove, -way * 10, (way * 84, -166)), GLOVE)
    c.area(_at("-58,-312 -30,-330 30,-330 58,-312 54,-180 -54,-180"), SUIT)
    c.area(_at("0,-330 58,-312 54,-180 14,-180"), BLACK, 0.14, rough=0)
    for y in (-262, -212):
        c.area(_box(-55, y - 8, 55, y + 8), YELLOW)
    c.line([(0, -326), (0, -184)], "#22303c99")
    _head(c)
    c.origin()


def _head(c: Sheet) -> None:
    """Draw the head of a person: mask, goggles, hard hat."""
    for shape, colour in (
        (_box(-15, -345, 15, -322), "#c9946f"),
        (_oval(0, -368, 34, 42), "#c9946f"),
        (_oval(0, -351, 29, 25), "#f3f1ea"),
        (_oval(0, -351, 29, 25, (0, 180)), "#dedbd2"),
        (_round(-36, -389, 36, -367, 9), "#39424a"),
        (_round(-29, -386, 29, -370, 7), "#9fd0dd"),
        (_oval(0, -390, 41, 40, (180, 360)), YELLOW),
        (_round(-47, -396, 47, -387, 4), "#d6a81d"),
        (_box(-5, -430, 5, -398), "#d6a81d"),
    ):
        c.area(shape, colour, rough=0.04)
    c.line(_at("-33,-368 -20,-356 20,-356 33,-368"), "#bdb8aa", 1.5)


def _hand(c: Sheet, x: float, y: float, wide: float) -> None:
    """Draw the gloved fingers and thumb that hold a thing of that width from its right."""
    for top in range(0, 184, 46):
        finger = _round(x + wide * 0.42, y + top, x + wide + 40, y + top + 44, 20)
        c.thing(finger, GLOVE, 0.1, 16)
    c.thing(_turn(_round(x - 26, y + 10, x + 26, y + 120, 25), 14, (x, y + 60)), GLOVE, 0.1, 16)


def _tape(c: Sheet, x: float, top: int, wide: float) -> None:
    """Draw an upright tape measure, 74 pixels an inch, with the inch `top` at the very top."""
    blade = _box(x, -20, x + wide, HIGH + 20)
    c.thing(blade, "#eec93c", 0.03)
    c.area(blade, BLACK, 0.22, across=(0.9, 0), rough=0)
    c.area(_box(x + wide * 0.6, -20, x + wide, HIGH + 20), BLACK, 0.2, across=(0, 1), rough=0)
    for eighth in range(1, 84):
        y, part = eighth * 74 / 8, eighth % 8
        long = {0: 0.44, 4: 0.34, 2: 0.24, 6: 0.24}.get(part, 0.15)
        c.line([(x, y), (x + wide * long, y)], "#1c1a16", 1.5 if part else 3)
        if not part:
            c.words(x + wide * 0.72, y, str(top - eighth // 8), 38)


def _outlet(c: Sheet, x: float, y: float, *, muddy: bool = False) -> None:
    """Draw a wall outlet with two sockets round a centre."""
    c.origin(x, y)
    c.thing(_round(-46, -72, 46, 72, 9), "#cbbd9f" if muddy else "#faf8f2", 0.1 * muddy, 12)
    for y0 in (-35, 35):
        c.area(_round(-27, y0 - 24, 27, y0 + 24, 16), "#a08c68" if muddy else "#e4e1d8")
        slots = (_box(-13, y0 - 14, -8, y0 + 4), _box(8, y0 - 12, 13, y0 + 4))
        for slot in (*slots, _oval(0, y0 + 13, 5, 5)):
            c.area(slot, DARK)
    c.area(_oval(0, 0, 4, 4), "#8b8b86")
    if muddy:
        for mud in (
            "-46,30 -20,14 6,34 28,22 46,40 44,72 -44,72",
            "-27,-24 -4,-40 14,-22 8,4 -20,2",
        ):
            _mud(c, _smooth(_at(mud)))
        c.flecks([(-44, -70), (44, 40)], 50, MUD, 3)
    c.origin()


def _breaker(c: Sheet, x: float, *, new: bool = False) -> None:
    """Draw a breaker, 120 units wide and 330 tall, its switch down."""
    body, metal = ("#2a2c30", "#d3d6d8") if new else ("#4a4640", "#8f8878")
    c.thing(_round(x, 0, x + 120, 330, 8), body, 0.1, 14)
    c.area(_box(x, 4, x + 26, 326), "#ffffff", 0.12, across=(1, 0), rough=0)
    c.area(_round(x + 32, 90, x + 88, 240, 8), "#121315")
    c.area(_round(x + 38, 160, x + 82, 236, 6), "#f0f0ee" if new else "#a9a294")
    c.area(_box(x + 38, 160, x + 82, 180), BLACK, 0.3, down=(1, 0.2), rough=0)
    for y in (34, 296):
        c.area(_oval(x + 60, y, 17, 17), metal)
        c.line([(x + 49, y - 6), (x + 71, y + 6)], "#333333", 4)
    if not new:
        c.flecks([(x + 6, 170), (x + 114, 324)], 24, SILT, 3)


def _row(c: Sheet, *, four_is_new: bool) -> None:
    """Draw a row of six breakers with their numbers; the fourth is muddy or new."""
    c.thing(_box(-6, -96, 776, -22), PAPER, 0.04)
    for n in range(6):
        c.words(n * 130 + 60, -58, str(n + 1), 46)
        if n < 5:  # noqa: PLR2004
            c.line([(n * 130 + 125, -96), (n * 130 + 125, -22)], FAINT)
        _breaker(c, n * 130)
    if four_is_new:
        _breaker(c, 390, new=True)
        return
    mud = "382,128 418,98 452,122 486,92 514,120 516,340 494,352 484,420 470,352 440,344 "
    c.shadow(_smooth(_at(mud + "428,392 386,346")), 4, 6)
    _mud(c, _smooth(_at(mud + "428,392 386,346")))
    c.area(_round(430, 164, 470, 230, 10), "#a08767", 0.4, soft=3, rough=0.1)
    c.flecks([(392, 8), (508, 120)], 70, MUD, 5)


# Small invented pictures on the prints: colour and outline, in hundredths of the print.
PRINTS = (
    (
        "#8fb4cf 0,0 100,0 100,100 0,100",
        "#5f7f58 0,55 30,30 60,52 85,36 100,50 100,100 0,100",
        "#3f6f94 0,66 100,66 100,100 0,100",
        "#e9e2cf 48,70 48,40 66,68",
        "#8b4a2f 38,72 72,72 66,80 44,80",
    ),
    (
        "#d9c58f 0,0 100,0 100,100 0,100",
        "#7c9457 0,62 100,62 100,100 0,100",
        "#a84d3b 22,44 50,18 78,44",
        "#efe6d2 28,44 72,44 72,80 28,80",
        "#5c4633 44,56 56,56 56,80 44,80",
    ),
    (
        "#b7c7a4 0,0 100,0 100,100 0,100",
        "#6f8a4d 0,70 100,70 100,100 0,100",
        "#b0503e 24,95 30,48 44,48 50,95",
        "#4a5f86 54,95 60,56 74,56 80,95",
        "#d2a078 37,25 45,30 45,42 37,47 29,42 29,30",
        "#d2a078 67,35 74,39 74,51 67,55 60,51 60,39",
    ),
    (
        "#e7b977 0,0 100,0 100,100 0,100",
        "#f6e3a4 68,22 79,27 82,38 79,49 68,54 57,49 54,38 57,27",
        "#7d5a78 0,62 34,34 62,64 100,48 100,100 0,100",
        "#4d3a50 0,84 50,70 100,82 100,100 0,100",
    ),
)


def _print(c: Sheet, kind: int, x: float, y: float, angle: float) -> None:
    """Draw a wet photographic print, 210 by 150, round a centre and turned."""
    paper = _turn(_box(x - 105, y - 75, x + 105, y + 75), angle, (x, y))
    c.thing(paper, PAPER)
    for row in PRINTS[kind]:
        colour, outline = row.split(" ", 1)
        inside = [(x - 95 + px * 1.9, y - 65 + py * 1.3) for px, py in _at(outline)]
        c.area(_turn(inside, angle, (x, y)), colour, rough=0.06, cell=16)
    c.area(paper, "#c4a6a0", 0.6, cell=26, patchy=1.0)
    c.area(paper, SILT, 0.9, down=(0, 1), cell=18, patchy=0.8)


# --- A room in depth ------------------------------------------------------------------------


@dataclass(frozen=True)
class Eye:
    """Where a picture of a room is taken from, and what it is aimed at."""

    at: Spot
    aim: Spot

    def _turned(self, spot: Spot) -> Spot:
        """Return a spot as right, up and ahead of the viewer."""
        dx, dy, dz = (a - b for a, b in zip(spot, self.at, strict=True))
        ax, ay, az = (a - b for a, b in zip(self.aim, self.at, strict=True))
        level, far = math.hypot(ax, ay), math.hypot(ax, ay, az)
        right, along = (dx * ay - dy * ax) / level, (dx * ax + dy * ay) / level
        return right, (dz * level - along * az) / far, (along * level + dz * az) / far

    def see(self, spots: Sequence[Spot]) -> list[Point]:
        """Return the outline of a flat shape in the picture, cut off where it is behind."""
        near, seen = 0.3, []
        turned = [self._turned(spot) for spot in spots]
        for a, b in zip(turned, [*turned[1:], turned[0]], strict=True):
            if a[2] >= near:
                seen.append(a)
            if (a[2] >= near) != (b[2] >= near):
                t = (near - a[2]) / (b[2] - a[2])
                seen.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, near))
        return [(WIDE / 2 + 610 * r / a, HIGH / 2 - 610 * u / a) for r, u, a in seen]


@dataclass(frozen=True)
class Block:
    """A box in a room, from its lowest corner to its highest; `look` is a key of `LOOKS`."""

    low: Spot
    high: Spot
    colour: str
    look: str = ""


@dataclass(frozen=True)
class Room:
    """A room: its size in feet, its colours, its silt line, what is on its floor and in it."""

    size: Spot
    walls: str
    top: str
    line: float
    floor: Callable[[Sheet, Eye], None]
    blocks: tuple[Block, ...]


def _flat(low: Spot, high: Spot, axis: int, at: float) -> list[Spot]:
    """Return the four corners of a box's side that lies at right angles to an axis."""
    u, v = (n for n in range(3) if n != axis)
    corners = []
    for a, b in ((low[u], low[v]), (high[u], low[v]), (high[u], high[v]), (low[u], high[v])):
        spot = {axis: at, u: a, v: b}
        corners.append((spot[0], spot[1], spot[2]))
    return corners


def _part(side: Sequence[Spot], u: Point, v: Point) -> list[Spot]:
    """Return a part of a side: from one share of its width and height to another."""
    found, (a, b, _, d) = [], side
    for across, up in ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])):
        x, y, z = (p + (q - p) * across + (r - p) * up for p, q, r in zip(a, b, d, strict=True))
        found.append((x, y, z))
    return found


def _doors(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw cupboard doors on a side, about as wide as doors are; a tall side is one door."""
    wide, high = math.dist(side[0], side[1]), math.dist(side[0], side[3])
    count, tall = max(1, round(wide / 1.4)), high > 5  # noqa: PLR2004
    count = 1 if tall else count
    for n in range(count):
        ends = ((n + 0.1) / count, (n + 0.9) / count)
        for v in ((0.07, 0.43), (0.53, 0.93)) if tall else ((0.07, 0.93),):
            door = eye.see(_part(side, ends, v))
            c.area(door, BLACK, 0.13, rough=0)
            c.line([*door, *door[:1]], FAINT, 1.5)
        knob = (ends[1] - 0.1 / wide, ends[1])
        c.area(eye.see(_part(side, knob, (0.45, 0.5) if tall else (0.5, 0.62))), DARK)


def _courses(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw the joints of bricks on a side."""
    wide, high = math.dist(side[0], side[1]), math.dist(side[0], side[3])
    rows, columns = max(1, round(high / 0.3)), max(1, round(wide / 0.8))
    for row in range(rows):
        low, up = row / rows, (row + 1) / rows
        c.line(eye.see(_part(side, (0, 1), (low, low)))[:2], "#d8cdbb90", 1.6)
        for n in range(columns):
            u = (n + (row % 2) / 2) / columns
            c.line(eye.see(_part(side, (u, u), (low, up)))[1:3], "#d8cdbb90", 1.6)


LOOKS = {"doors": _doors, "brick": _courses}


def _side(c: Sheet, eye: Eye, side: Sequence[Spot], axis: int, of: Block, line: float) -> None:
    """Draw one side of a block or a room, with the mud on it up to the silt line."""
    outline = eye.see(side)
    c.area(outline, _tone(of.colour, (0.9, 0.78, 1.06)[axis]), rough=0.04, cell=40)
    low, high = side[0][2], side[2][2]
    if axis == 2 and 0 < low < line:  # noqa: PLR2004 - the top of a block that was under water
        c.area(outline, SILT, 0.8, rough=0.14, cell=26)
    if high > low:
        if of.look:
            LOOKS[of.look](c, eye, side)
        share, thin = min(1, (line - low) / (high - low)), 0.14 / (high - low)
        if share > 0:
            film = eye.see(_part(side, (0, 1), (0, share)))
            c.area(film, SILT, 0.72, rough=0.14, cell=26)
            c.area(film, MUD, 0.5, down=(0, 1))
        if 0 < share < 1:
            band = eye.see(_part(side, (0, 1), (share - thin, share)))
            c.area(band, MUD, rough=0.25, cell=14, soft=0.8)
    c.line([*outline, *outline[:1]], "#0000003a", 1.2)


def _hides(eye: Eye, front: Block, back: Block) -> bool:
    """Tell whether a block may hide a part of another from the viewer."""
    return not any(
        (front.high[n] <= back.low[n] and eye.at[n] >= front.high[n])
        or (front.low[n] >= back.high[n] and eye.at[n] <= front.low[n])
        for n in range(3)
    )


def room(c: Sheet, which: Room, eye: Eye) -> None:
    """Draw a room: walls, floor, then its blocks from the farthest to the nearest."""
    zero, shell = (0.0, 0.0, 0.0), Block((0, 0, 0), which.size, which.walls)
    c.area(eye.see(_flat(zero, which.size, 2, which.size[2])), which.top, rough=0.03, cell=80)
    for axis, at in ((0, 0), (0, which.size[0]), (1, 0), (1, which.size[1])):
        wall = _flat(zero, which.size, axis, at)
        _side(c, eye, wall, axis, shell, which.line)
        c.area(eye.see(_part(wall, (0, 1), (0, 0.06))), BLACK, 0.3, soft=3, rough=0)
    which.floor(c, eye)
    c.dice.seed("blocks")  # the same whatever the floor is
    left = list(which.blocks)
    while left:
        clear = (a for a in left if not any(_hides(eye, a, b) for b in left if b is not a))
        block = next(clear, left[0])
        left.remove(block)
        for axis in (2, 0, 1):
            for at, way in ((block.low[axis], -1), (block.high[axis], 1)):
                if (eye.at[axis] - at) * way > 0:
                    side = _flat(block.low, block.high, axis, at)
                    _side(c, eye, side, axis, block, which.line)


def _puddle(c: Sheet, eye: Eye, x: float, y: float, size: float) -> None:
    """Draw standing water on a floor."""
    angles = [math.tau * n / 48 for n in range(48)]
    ring = [(a, size * (1 + 0.2 * math.sin(2 * a + y) + 0.1 * math.sin(5 * a + x))) for a in angles]
    outline = eye.see([(x + r * math.cos(a), y + r * math.sin(a), 0) for a, r in ring])
    c.area(outline, "#2e2419", 0.6, soft=4, rough=0)
    c.area(outline, WATER, 0.85, rough=0.05, cell=40, soft=2)
    c.area(outline, "#dfe3e0", 0.5, down=(1, 0), patchy=0.6, cell=70, soft=4)


def _steps(c: Sheet, eye: Eye, start: Point, stride: Point) -> None:
    """Draw footprints in mud."""
    for n in range(7):
        x, y = start[0] + stride[0] * n + 0.5 * (n % 2), start[1] + stride[1] * n
        sole = eye.see([(px, py, 0) for px, py in _oval(x, y, 0.18, 0.4)])
        c.area(sole, "#2d2116", 0.6, soft=1, rough=0.2)


def _mud_floor(c: Sheet, eye: Eye, size: Point) -> None:
    long, broad = size
    _mud(c, eye.see(_flat((0, 0, 0), (long, broad, 0), 2, 0)))
    for x, y, wide in ((0.4, 0.62, 1.0), (0.66, 0.5, 0.8), (0.72, 0.22, 0.8), (0.24, 0.5, 0.7)):
        _puddle(c, eye, long * x, broad * y, wide)
    _steps(c, eye, (long * 0.3, broad * 0.2), (0.5, 0.7))


def _soil(c: Sheet, eye: Eye) -> None:
    """Draw the bare wet soil of a crawl space."""
    ground = eye.see(_flat((0, 0, 0), (22, 18, 0), 2, 0))
    _mud(c, ground, SOIL)
    c.area(ground, "#2c2017", 0.4, rough=0.2)
    for x, y, wide in ((8.2, 3.4, 0.7), (13.6, 5, 0.8)):
        _puddle(c, eye, x, y, wide)
    _steps(c, eye, (11, 2.2), (0.15, 0.9))


def _poly(c: Sheet, eye: Eye) -> None:
    """Draw plastic sheet on the soil of a crawl space, with mud and water on it."""
    _soil(c, eye)
    for left, right, tint in ((0.3, 9, "#b7c0c3"), (13, 21.7, "#aeb8bb"), (8.2, 13.8, "#c4ccce")):
        sheet = eye.see([(left, 0.3, 0), (right, 0.3, 0), (right - 0.3, 17.5, 0), (left, 17.5, 0)])
        c.shadow(sheet, 0, 8, 0.6)
        c.area(sheet, tint, 0.86, rough=0.08, cell=40)
        c.line([*sheet, sheet[0]], "#ffffffb0", 3)
        for _ in range(40):
            x, y = c.dice.uniform(left, right - 1.2), 1 + 15 * c.dice.random() ** 2
            slant, bump = c.dice.uniform(-0.3, 0.3), partial(c.dice.uniform, -0.07, 0.07)
            bends = [(x + n * 0.2, y + n * slant + bump(), 0.0) for n in range(7)]
            fold = eye.see(bends)[:7]
            c.line(fold, "#ffffff90", 2.2)
            c.line(_move(fold, 0, 3), "#5f6a6e70")
    for _ in range(46):
        x, y, r = c.dice.uniform(2, 20), 1 + 13 * c.dice.random() ** 1.6, c.dice.uniform(0.2, 0.9)
        lump = [
            (px + c.dice.uniform(-r, r) * 0.4, py, 0.0) for px, py in _oval(x, y, r, r * 0.8)[::5]
        ]
        _mud(c, _smooth(eye.see(lump)))
    for x, y, wide in ((8.6, 3.4, 1.0), (13.4, 4.6, 1.2), (11, 8.4, 1.5), (18, 7.5, 1.4)):
        _puddle(c, eye, x, y, wide)


def _books() -> tuple[Block, ...]:
    """Return a bookcase against the wall at the start of a room."""
    tints = ("#8c3f34", "#4a6274", "#b58b3c", "#5c7350", "#d6c9ab", "#6a4f6b")
    found = [Block((0, 3, 0), (1, 7, 6.6), "#7d5836")]
    for shelf in range(4):
        z = 0.3 + shelf * 1.56
        found.append(Block((1, 3.15, z), (1.02, 6.85, z + 1.4), "#3a281a"))
        for n in range(9 if shelf % 2 else 7):
            y, high = 3.25 + n * 0.38, 0.85 + 0.13 * ((n * 5 + shelf * 3) % 4)
            found.append(Block((1.02, y, z), (1.08, y + 0.3, z + high), tints[(n * 7 + shelf) % 6]))
    return tuple(found)


def _table(x0: float, y0: float, x1: float, y1: float, high: float) -> tuple[Block, ...]:
    """Return a table: its four legs and its top."""
    feet = [(x, y) for x in (x0 + 0.1, x1 - 0.3) for y in (y0 + 0.1, y1 - 0.3)]
    legs = (Block((x, y, 0), (x + 0.2, y + 0.2, high - 0.15), WOOD) for x, y in feet)
    return (*legs, Block((x0, y0, high - 0.15), (x1, y1, high), WOOD))


KITCHEN = Room(
    size=(12, 10, 8),
    walls=PLASTER,
    top="#efece2",
    line=28 / 12,
    floor=partial(_mud_floor, size=(12, 10)),
    blocks=(
        Block((0, 8.3, 0), (8.5, 10, 0.3), DARK),
        Block((0, 8, 0.3), (8.5, 10, 2.9), "#f0ece0", "doors"),
        Block((0, 7.9, 2.9), (8.6, 10, 3.05), "#5f5c58"),
        Block((4, 8.3, 3.05), (5.8, 9.5, 3.08), "#b9c1c4"),
        Block((4.84, 9.6, 3.05), (5, 9.7, 4.2), "#c6cdd0"),
        Block((4.84, 9.0, 4.06), (5, 9.6, 4.2), "#c6cdd0"),
        Block((0, 8.9, 4.9), (3.2, 10, 7.2), "#f0ece0", "doors"),
        Block((6.6, 8.9, 4.9), (8.5, 10, 7.2), "#f0ece0", "doors"),
        Block((3.7, 9.95, 4.5), (6.1, 10, 7.1), "#f8f6f0"),
        Block((3.85, 9.93, 4.65), (4.82, 9.95, 6.95), GLASS),
        Block((4.98, 9.93, 4.65), (5.95, 9.95, 6.95), GLASS),
        Block((9.8, 3.3, 0), (12, 5.8, 3), "#e4e4e0"),
        Block((9.77, 3.6, 0.8), (9.8, 5.5, 2.1), "#2b2c2e"),
        Block((9.7, 3.6, 2.45), (9.8, 5.5, 2.55), STEEL),
        *(Block((x, y, 3), (x + 0.6, y + 0.8, 3.03), DARK) for x in (10, 10.9) for y in (3.5, 4.8)),
        Block((11.7, 3.3, 3), (12, 5.8, 3.9), "#d8d8d4"),
        Block((10.6, 3.3, 5.6), (12, 5.8, 6.2), STEEL),
        Block((9.5, 0.2, 0), (12, 3, 5.9), "#c9d2d4"),
        Block((9.42, 0.22, 0.15), (9.5, 2.98, 3.8), "#d3dbdd"),
        Block((9.42, 0.22, 3.9), (9.5, 2.98, 5.85), "#d3dbdd"),
        Block((9.3, 2.65, 2.6), (9.42, 2.78, 3.6), "#7b8488"),
        Block((9.3, 2.65, 4.1), (9.42, 2.78, 5), "#7b8488"),
        *_table(4.2, 3, 6.4, 5, 2.5),
        Block((5, 0, 0), (7.8, 0.06, 6.9), "#f8f6f0"),
        Block((5.2, 0.06, 0), (7.6, 0.1, 6.7), "#9c7a55", "doors"),
        Block((0, 2.6, 4), (0.06, 4.6, 5.6), WOOD),
        Block((0.06, 2.8, 4.2), (0.08, 4.4, 5.4), "#cfd8c8"),
    ),
)
COUCH, CUSHION = "#55704f", "#6d8a64"
DEN = Room(
    size=(14, 12, 8),
    walls="#a9bcc0",
    top="#ece9e0",
    line=27 / 12,
    floor=partial(_mud_floor, size=(14, 12)),
    blocks=(
        Block((12.6, 4, 0), (14, 9, 8), "#a5573f", "brick"),
        Block((12.56, 5.3, 0.4), (12.6, 7.7, 3.2), "#1b1715"),
        Block((12.2, 4.3, 4.2), (12.6, 8.7, 4.5), "#6f4a2c"),
        Block((11.5, 4.6, 0), (12.56, 8.4, 0.4), "#a5573f", "brick"),
        Block((12.3, 5.9, 4.5), (12.4, 7.1, 5.6), "#d9c48a"),
        Block((3, 9, 0.25), (9.5, 11.9, 1.4), COUCH),
        Block((3, 11.2, 1.4), (9.5, 11.9, 3.2), COUCH),
        Block((3, 9, 1.4), (3.6, 11.2, 2.2), COUCH),
        Block((8.9, 9, 1.4), (9.5, 11.2, 2.2), COUCH),
        Block((3.65, 9.05, 1.4), (6.2, 11.2, 1.8), CUSHION),
        Block((6.3, 9.05, 1.4), (8.85, 11.2, 1.8), CUSHION),
        Block((3.7, 10.8, 1.8), (6.2, 11.2, 2.9), CUSHION),
        Block((6.3, 10.8, 1.8), (8.8, 11.2, 2.9), CUSHION),
        Block((4.2, 11.94, 3.9), (8.2, 12, 7), "#f8f6f0"),
        Block((4.35, 11.92, 4.05), (6.15, 11.94, 6.85), GLASS),
        Block((6.25, 11.92, 4.05), (8.05, 11.94, 6.85), GLASS),
        *_table(5.4, 5, 8.6, 7, 1.5),
        *_books(),
        Block((6.6, 0, 0), (9.4, 0.06, 6.9), "#f8f6f0"),
        Block((6.8, 0.06, 0), (9.2, 0.1, 6.7), "#9c7a55", "doors"),
        Block((2, 0, 3.8), (5.2, 0.06, 6.4), WOOD),
        Block((2.2, 0.06, 4), (5, 0.08, 6.2), "#d8caa2"),
    ),
)
_STAIR = tuple((3.2 + n * 0.8, 0.64 * (n + 1)) for n in range(8))
HALL = Room(
    size=(10, 9, 8.4),
    walls="#d3bfa2",
    top="#efece2",
    line=27.5 / 12,
    floor=partial(_mud_floor, size=(10, 9)),
    blocks=(
        *(Block((x, 6, 0), (x + 0.8, 9, z), "#b58a5c") for x, z in _STAIR),
        *(Block((x + 0.3, 6.05, z), (x + 0.4, 6.15, z + 2.6), "#f4f0e4") for x, z in _STAIR[:-1]),
        Block((2.8, 5.95, 0), (3.1, 6.25, 3.7), "#6f4a2c"),
        Block((0.3, 8.94, 0), (2.7, 9, 6.9), "#f8f6f0"),
        Block((0.5, 8.9, 0), (2.5, 8.94, 6.7), "#9c7a55", "doors"),
        Block((9.75, 2.3, 2.1), (10, 3.9, 4.7), "#8b9296"),
        Block((9.68, 2.42, 2.2), (9.75, 3.78, 4.6), "#a9b0b3"),
        Block((9.62, 3.5, 3.3), (9.68, 3.62, 3.6), DARK),
        Block((9.85, 3, 4.7), (10, 3.15, 8.4), "#7d8386"),
    ),
)
_PIERS = [(x, y) for x in (2.6, 8.2, 14.6, 19) for y in (6, 12)]
CRAWL = Room(
    size=(22, 18, 3),
    walls="#8b8983",
    top="#6d5238",
    line=1.2,
    floor=_soil,
    blocks=(
        *(Block((n * 1.4, 0, 2.5), (n * 1.4 + 0.18, 18, 3), "#8f6a45") for n in range(1, 16)),
        *(Block((0, y + 0.3, 2.05), (22, y + 1, 2.5), "#7d5b3b") for y in (6, 12)),
        *(Block((x, y, 0), (x + 1.3, y + 1.3, 2.05), "#a3a099", "brick") for x, y in _PIERS),
    ),
)


# --- The pictures ---------------------------------------------------------------------------


def crew(c: Sheet) -> None:
    """Draw one of the crew in full gear at a door."""
    _siding(c, "#cfd3cd")
    c.thing(_box(250, 60, 560, 690), "#f4f1e8")
    c.area(_box(274, 84, 536, 690), "#4d6b5a", rough=0.06)
    for x, y0, y1 in ((300, 110, 330), (415, 110, 330), (300, 360, 640), (415, 360, 640)):
        c.area(_box(x, y0, x + 95, y1), BLACK, 0.18, rough=0)
        c.line([(x, y1), (x + 95, y1), (x + 95, y0)], "#ffffff50", 2.5)
    c.area(_oval(296, 400, 11, 11), "#d8b75c", rough=0.2)
    c.thing(_round(800, 150, 850, 230, 8), "#3a3a3a")
    c.area(_round(808, 165, 842, 222, 6), "#efe3b8")
    _film(c, 478, 700)
    _mud(c, _box(0, 690, WIDE, HIGH))
    c.area(_box(0, 684, WIDE, 702), BLACK, 0.4, soft=3, rough=0)
    _person(c, 610, 742, 1.5)


def meter(c: Sheet) -> None:
    """Draw an outdoor meter box without its meter, its main off and tagged."""
    _siding(c, "#bcc9cf")
    _film(c, 650, HIGH)
    for y0, y1 in ((0, 130), (640, HIGH)):
        c.thing(_box(455, y0, 501, y1), STEEL)
        c.area(_box(455, y0, 501, y1), BLACK, 0.4, across=(0, 1), rough=0)
    c.thing(_round(350, 100, 606, 390, 12), "#a4acaf")
    c.thing(_round(366, 400, 590, 660, 8), "#a4acaf")
    for r, tint in ((112, "#c5cccf"), (98, "#7a8184"), (92, "#1f2326")):
        c.area(_oval(478, 246, r, r), tint)
    for x, y in ((430, 200), (510, 200), (430, 270), (510, 270)):
        c.area(_round(x, y, x + 18, y + 38, 4), "#b98f4a", rough=0.15)
        c.line([(x + 9, y + 4), (x + 9, y + 34)], "#3a2a12", 3)
    c.thing(_at("366,404 366,656 196,694 196,426"), "#8f989c", 0.07)
    c.area(_box(384, 418, 574, 644), "#2c3033")
    c.area(_round(420, 448, 538, 616, 8), "#17181a")
    c.area(_round(444, 540, 514, 606, 6), "#cf4a34")
    c.area(_round(444, 462, 514, 536, 6), "#0b0c0d")
    tag = _turn(_at("630,520 710,520 745,550 745,716 595,716 595,550"), 5, (670, 530))
    c.thing(tag, "#f6f2e6", 0.03)
    c.line([*tag, *tag[:2]], "#b3261e", 8)
    c.area(_oval(670, 544, 10, 10), "#3a3a3a")
    wire = _oval(575, 545, 95, 70, (165, 0))
    c.line(wire, "#3a3a3a", 6)
    c.line(wire, "#e4e0d4", 3)
    c.words(664, 638, "OFF", 60, "#b3261e")


def album(c: Sheet) -> None:
    """Draw a wet album with prints that stick together."""
    _planks(c, 128)
    c.thing(_round(84, 76, 940, 690, 14), "#6f2f2b", 0.12)
    for left, fall in ((104, (0, 1)), (514, (1, 0))):
        page = _round(left, 92, left + 406, 672, 8)
        c.area(page, "#ddd0b2", rough=0.08, cell=40)
        c.area(page, "#4a3722", 0.55, across=fall, rough=0)
        c.area(page, SILT, 0.7, down=(0, 1), cell=60, patchy=0.6)
    places = _at("300,220 345,342 280,500 695,216 742,340 690,500")
    for n, (angle, place) in enumerate(zip((-6, 5, -3, 4, -7, 3), places, strict=True)):
        _print(c, n % 4, *place, angle)
    for px, py, wide, high in ((270, 664, 190, 46), (760, 672, 190, 38), (100, 300, 36, 170)):
        ring = [(a + c.dice.uniform(-16, 16), b) for a, b in _oval(px, py, wide, high)[::2]]
        _mud(c, _smooth([(a, b + c.dice.uniform(-12, 12)) for a, b in ring]))
    for _ in range(90):
        x, y, r = c.dice.uniform(120, 910), c.dice.uniform(110, 650), c.dice.uniform(3, 11)
        c.area(_oval(x, y + r * 0.3, r, r * 0.9), BLACK, 0.35, rough=0)
        c.area(_oval(x, y, r, r * 0.85), "#dfe8ea", 0.6, rough=0)
        c.area(_oval(x - r * 0.3, y - r * 0.3, r * 0.3, r * 0.22), "#ffffff", rough=0)


def bagged(c: Sheet) -> None:
    """Draw the same prints in flat clear bags with paper between, and a blank label."""
    _planks(c, 128)
    spots = ((190, 195, -4), (515, 185, 2), (835, 200, 5), (195, 535, 3), (520, 540, -3))
    for n, (x, y, angle) in enumerate(spots):
        middle = (x, y)
        for by in (12, 0):
            sheet = _box(x - 140 + by, y - 112 + by, x + 140 + by, y + 128 + by)
            c.thing(_turn(sheet, angle + by / 2, middle), "#f6f4ec", 0.03)
        _print(c, n % 4, x, y + 14, angle)
        bag = _turn(_round(x - 130, y - 128, x + 130, y + 120, 10), angle, middle)
        c.area(bag, "#dcebf0", 0.25)
        c.line([*bag, *bag[:2]], "#ffffff", 3)
        c.line(_move([*bag, *bag[:2]], 2, 3), "#3f5a6a70", 1.5)
        zipper = _turn(_box(x - 128, y - 116, x + 128, y - 100), angle, middle)
        c.area(zipper, "#4f8fb5", 0.9)
        for gap in (-84, 40):
            glint = _turn(_box(x + gap, y - 90, x + gap + 16, y + 100), angle + 14, middle)
            c.area(glint, "#ffffff", 0.45, soft=3, rough=0)
    c.thing(_turn(_round(715, 440, 955, 620, 10), 4, (835, 530)), "#fbfaf5", 0.02)
    c.area(_turn(_box(717, 450, 953, 482), 4, (835, 530)), "#b3433a")
    for y in (520, 554, 588):
        c.line(_turn([(740, y), (930, y)], 4, (835, 530)), "#7f8a92")


def freezer(c: Sheet) -> None:
    """Draw a freezer drawer with flat bags, and a dial thermometer among them."""
    c.area(ALL, "#dfe9ee", rough=0.03, cell=80)
    c.area(_box(0, 0, WIDE, 140), "#7f9cad", down=(1, 0))
    c.area(_box(0, 30, WIDE, 150), "#ffffff", 0.9, cell=26, patchy=0.7, down=(0, 1))
    c.thing(_at("110,120 914,120 1010,640 14,640"), "#c3d6e0")
    c.area(_at("140,140 884,140 966,620 58,620"), "#7693a3")
    for n in range(12):
        row, column = divmod(n, 4)
        wide, y = 172 + row * 22, 160 + row * 148
        x = 512 + (column - 1.5) * (wide + 6) - wide / 2
        c.thing(
            _turn(_round(x, y, x + wide, y + 136, 16), c.dice.uniform(-4, 4), (x, y)), "#e9f1f4"
        )
        for line in PRINTS[(column + row) % 4]:
            colour, outline = line.split(" ", 1)
            scaled = [(x + wide * (0.16 + a * 0.0068), y + 30 + b * 0.88) for a, b in _at(outline)]
            c.area(scaled, colour, 0.75)
        c.area(_box(x + 8, y + 10, x + wide - 8, y + 20), "#4f8fb5", 0.8)
        c.area(_round(x, y, x + wide, y + 136, 16), "#ffffff", 0.6, cell=22, patchy=0.9)
    c.thing(_round(-10, 640, WIDE + 10, 800, 10), "#eef3f5", 0.02)
    c.area(_box(0, 640, WIDE, 668), BLACK, 0.2, down=(1, 0), rough=0)
    c.area(_round(352, 684, 672, 720, 16), "#a9bac4")
    _dial(c, 690, 350, reading=-2)


def _dial(c: Sheet, x: float, y: float, reading: float) -> None:
    """Draw a dial thermometer from -20 to 20 F."""
    c.thing(_oval(x, y, 172, 172), "#8c9599")
    c.area(_oval(x, y, 160, 160), "#d5dbdd")
    c.area(_oval(x, y, 150, 150), "#fbfbf8", rough=0.01)
    c.line(_oval(x, y, 132, 132, (135, 270)), "#4f8fb5", 12)
    c.line(_oval(x, y, 132, 132, (270, 405)), "#c9503c", 12)
    for degrees in range(-20, 21, 2):
        tens, angle = degrees % 10 == 0, degrees * 6.75
        tick = [(x, y - 124), (x, y - (98 if tens else 112))]
        c.line(_turn(tick, angle, (x, y)), "#1c1a16", 5 if tens else 2.5)
        if tens:
            c.words(*_turn([(x, y - 76)], angle, (x, y))[0], str(degrees), 30)
    c.words(x, y + 74, "°F", 40)
    needle = _turn([(x - 6, y + 34), (x, y - 118), (x + 6, y + 34)], reading * 6.75, (x, y))
    c.thing(needle, "#b3261e", 0)
    c.area(_oval(x, y, 14, 14), DARK)


def tester(c: Sheet) -> None:
    """Draw a two-prong tester at breakers of an open panel, its lamp dark."""
    c.area(ALL, "#d3bfa2", rough=0.04, cell=70)
    _film(c, 600, HIGH)
    c.thing(_at("250,40 250,640 30,690 30,0"), "#9aa2a5")
    c.area(_at("222,300 222,360 206,362 206,298"), DARK)
    c.thing(_box(250, 40, 950, 640), "#8b9396")
    c.area(_box(272, 62, 928, 618), "#3d4245", rough=0.06)
    for n, tint in enumerate(("#1f1f1f", "#a3312a", "#1f1f1f", "#e8e6df", "#a3312a", "#3f7a4a")):
        x, bend = 340 + n * 104, 84 + abs(n - 2.5) * 16
        c.line([(570 + n * 12, 62), (570 + n * 12, bend), (x, bend), (x, 250)], tint, 8)
    c.origin(290, 262, 0.8)
    _row(c, four_is_new=False)
    c.origin()
    c.area(_at("758,600 860,566 1040,680 1040,800 728,800"), "#c4681f", rough=0.1, cell=20)
    for x in (650, 754):
        c.line([(680 + (x - 650) * 0.4, 480), (x, 430), (x, 320)], "#1c1c1c", 16)
        c.line([(x, 326), (x, 290)], "#e3e6e8", 8)
    c.thing(_round(642, 440, 762, 720, 30), "#e5b32b")
    for r, tint in ((36, "#3a352b"), (28, "#451512"), (20, "#2a0c0b")):
        c.area(_oval(702, 494, r, r), tint)
    c.area(_oval(692, 484, 7, 5), "#8d6a66")
    _hand(c, 642, 545, 120)


def breakers(c: Sheet, *, new: bool) -> None:
    """Draw a row of breakers of which the fourth is muddy or new."""
    c.area(ALL, "#868e91", rough=0.05, cell=60)
    c.area(_box(70, 90, 954, 700), "#565c5f", rough=0.06)
    c.line(_at("70,700 70,90 954,90"), "#00000090", 6)
    for x, y in ((36, 50), (988, 50), (36, 720), (988, 720)):
        c.area(_oval(x, y, 14, 14), "#c2c7c9", rough=0.1)
        c.line([(x - 9, y - 5), (x + 9, y + 5)], "#333333", 4)
    c.area(_box(70, 600, 954, 700), SILT, 0.8, down=(0, 1), cell=30)
    c.origin(100, 236, 1.07)
    _row(c, four_is_new=new)
    c.origin()


def sink_outlet(c: Sheet, *, muddy: bool) -> None:
    """Draw the outlet beside the sink, muddy as found or new in a cleaned wall."""
    c.area(ALL, PLASTER, rough=0.04, cell=80)
    if muddy:
        _film(c, 300, HIGH)
    c.dice.seed("sink")  # the same whatever is behind it
    c.area(_box(560, 300, WIDE, 420), BLACK, 0.4, down=(1, 0), soft=6, rough=0)
    for pipe in (_box(872, 440, WIDE + 9, 478), _box(752, 320, 792, 520), _box(872, 440, 912, 520)):
        c.thing(pipe, "#b4bbbe")
    c.thing(_round(752, 480, 912, 560, 40), "#b4bbbe")
    c.thing(_round(560, 120, WIDE + 60, 340, 26), "#f5f4ef", 0.02)
    c.area(_round(560, 120, WIDE + 60, 340, 26), "#5b6670", 0.3, down=(0, 1), rough=0)
    for spout in (
        _round(800, 20, 830, 112, 6),
        _round(690, 14, 830, 42, 14),
        _round(690, 20, 716, 76, 8),
    ):
        c.area(spout, "#a4adb1", rough=0.03)
    for x in (742, 866):
        c.area(_round(x, 80, x + 22, 112, 4), "#a4adb1")
        c.area(_round(x - 14, 66, x + 36, 84, 8), "#8d979b")
    c.thing(_round(546, 108, WIDE + 60, 146, 12), "#fdfcf8", 0.01)
    _outlet(c, 300, 530, muddy=muddy)


def range_outlet(c: Sheet) -> None:
    """Draw the outlet behind a pulled-out range, a tape beside it at 44 in."""
    c.area(ALL, PLASTER, rough=0.04, cell=80)
    c.area(_box(300, 330, WIDE, HIGH), "#8d7748", 0.5, soft=8, rough=0.2, cell=50)
    _tape(c, 130, 47, 96)
    _outlet(c, 420, 222)
    for x0, x1 in ((130, 172), (232, 364)):
        c.line([(x0, 222), (x1, 222)], "#b3261e", 5)
    c.area(_at("374,222 350,211 350,233"), "#b3261e")
    c.line(_smooth(_at("422,210 424,420 560,660 700,600 560,660 424,420")), "#2a2a2a", 13)
    c.thing(_round(398, 236, 444, 284, 8), "#2a2a2a")
    c.thing(_at("600,300 600,190 1100,190 1100,300"), "#e6e7e3")
    c.thing(_at("600,300 730,410 730,800 600,690"), "#c3c6c2")
    c.thing(_at("600,300 1060,300 1190,410 730,410"), "#f4f4f0", 0.02)
    for x, y in ((710, 328), (890, 328), (775, 382), (965, 382)):
        c.area(_oval(x, y, 66, 18), "#2e3032")
        c.line(_oval(x, y, 40, 10), "#6a6e70", 3)
    c.thing(_at("730,410 1190,410 1190,800 730,800"), "#ecece8", 0.02)
    c.area(_round(790, 520, 1190, 800, 14), "#2b2c2e")
    c.thing(_round(780, 466, 1190, 486, 9), STEEL)
    for x in (690, 770, 930, 1000):
        c.thing(_oval(x, 246, 22, 22), "#2a2a2a")
        c.line([(x, 246), (x, 228)], "#f0f0ec", 4)


def hatch(c: Sheet) -> None:
    """Draw a crawl-space hatch, a second person outside, a gas tester that reads 0 in front."""
    _bricks(c, "#a8624a", 330, 98, 41)
    c.area(_box(0, 330, WIDE, 640), "#a3a19b", rough=0.06)
    for row in range(3):
        y = 330 + row * 97
        c.line([(0, y), (WIDE, y)], FAINT, 3)
        for x in range(row % 2 * 115, WIDE, 230):
            c.line([(x, y), (x, y + 97)], FAINT, 3)
    _film(c, 420, 640, 0.5)
    c.thing(_box(350, 372, 720, 624), "#6f4a2c", 0.12)
    c.area(_box(372, 392, 698, 624), "#14110f", rough=0.2)
    for x in range(372, 698, 92):
        c.area(_box(x, 392, x + 24, 440), "#4a3422", 0.8)
    c.area(_at("372,624 698,624 620,560 450,560"), "#3d3024", rough=0.2)
    _mud(c, [*_ragged(c, 0, WIDE, 624, 5), (WIDE, HIGH), (0, HIGH)])
    c.flecks([(0, 634), (WIDE, 745)], 160, "#5f7a3f", 7)
    _person(c, 190, 700, 1.32)
    arm = _at("850,610 960,560 1044,620 1044,800 820,800")
    c.area(arm, "#c4681f", rough=0.1, cell=20)
    c.thing(_round(770, 390, 950, 800, 24), YELLOW)
    c.thing(_round(825, 364, 895, 398, 8), "#2b2d2f")
    c.area(_round(782, 402, 938, 800, 18), "#3a3d40")
    c.area(_round(796, 428, 924, 536, 8), "#b9c7a5", rough=0.02)
    c.words(860, 482, "0", 92, "#1d261a")
    _hand(c, 770, 566, 180)


def thumb(c: Sheet) -> None:
    """Draw a useless picture: a blurred floor and a thumb over the lens."""
    _planks(c, 150)
    c.area(ALL, MUD, 0.8, patchy=0.8, cell=90, rough=0.3)
    c.area(_oval(300, 260, 190, 70), WATER)
    c.blur(16)
    for less, soft, tint in ((0, 22, "#b97e5c"), (50, 36, "#d79b77"), (130, 50, "#e4b292")):
        tip = _turn(_round(560 + less, 130 + less, 1500, 720 - less, 150), 24, (1024, 500))
        c.area(tip, tint, soft=soft)
    c.area(_oval(980, 640, 260, 200), "#8c3f2c", 0.5, soft=60, rough=0)


def tape(c: Sheet, wall: str, inch: int, *, boards: bool) -> None:
    """Draw a silt line on a wall and an upright tape with a mark at its inch."""
    c.area(ALL, wall, rough=0.04, cell=80)
    y = 5.0 * 74
    for x in range(60, WIDE, 168) if boards else ():
        c.area(_box(x, 0, x + 10, HIGH), BLACK, 0.25, across=(1, 0), rough=0)
        c.line([(x, 0), (x, HIGH)], "#00000060")
    if not boards:
        c.thing(_box(-20, -20, 170, HIGH + 20), "#f0ece0", 0.03)
        c.line(_box(-30, -10, 130, HIGH + 10), FAINT, 4)
    _film(c, y, HIGH)
    _film(c, y + 190, HIGH, 0.2)
    _tape(c, 480, inch + 5, 130)
    c.line([(330, y), (460, y)], "#b3261e", 8)
    c.area([(474, y), (438, y - 20), (438, y + 20)], "#b3261e")
    c.line([(480, y), (540, y)], "#b3261e", 5)


def weep(c: Sheet, colour: str, *, clear: bool) -> None:
    """Draw the foot of a brick wall, its weep holes plugged with mud or clear."""
    c.dice.seed(colour)  # another wall, other bricks
    _bricks(c, colour, 500, 170, 66)
    _film(c, 70, 500, 0.4)
    c.area(_box(0, 500, WIDE, 640), "#9b9892", rough=0.1, cell=20)
    c.area(_box(0, 500, WIDE, 640), SILT, 0.6, down=(0.3, 1), cell=40)
    c.area(_box(0, 500, WIDE, 522), BLACK, 0.4, down=(1, 0), rough=0)
    _mud(c, [*_ragged(c, 0, WIDE, 630, 7), (WIDE, HIGH), (0, HIGH)], SOIL)
    c.flecks([(0, 640), (WIDE, 745)], 160, "#6c7f45", 6)
    for x in (170, 510, 850):
        c.origin(x, 500)
        c.area(_box(-19, -64, 19, 0), "#0d0b0a", rough=0)
        if clear:
            c.area(_at("-14,-4 14,-4 36,136 -32,140"), "#2e2218", 0.7, soft=4, rough=0.2)
            c.line(_at("0,-2 3,60 1,134"), "#dfe6e680", 4)
            c.area(_oval(2, 150, 70, 14), WATER, rough=0.1, soft=1)
        else:
            plug = _smooth(_at("-17,-62 2,-50 17,-60 16,-24 36,12 16,30 -24,28 -34,10 -16,-26"))
            c.shadow(plug, 3, 5)
            _mud(c, plug, "#866a4a")
    c.origin()


def hall(c: Sheet) -> None:
    """Draw the hall from one corner: stairs with their rail, the panel's door on the wall."""
    eye = Eye((0.5, 0.5, 5.2), (9.6, 6.8, 2.4))
    room(c, HALL, eye)
    rail = eye.see([(_STAIR[n][0] + 0.35, 6.1, _STAIR[n][1] + 2.65) for n in (0, -2)])
    c.line(rail[:2], "#6f4a2c", 12)


def crawl(c: Sheet, *, cover: bool) -> None:
    """Draw the crawl space, its soil under poly or bare."""
    parts = {**vars(CRAWL), "floor": _poly if cover else _soil}
    room(c, Room(**parts), Eye((11.1, 0.3, 1.5), (11.6, 18, 0.1)))
    c.area(_box(0, 0, WIDE / 2, HIGH), "#0b0806", 0.6, across=(1, 0), rough=0)
    c.area(_box(WIDE / 2, 0, WIDE, HIGH), "#0b0806", 0.6, across=(0, 1), rough=0)


# --- Cameras and shots ----------------------------------------------------------------------


@dataclass(frozen=True)
class Camera:
    """An invented camera.

    Attributes:
        make: who is said to have made it.
        model: its name.
        ahead: how far its clock runs ahead of the true local time.
        phone: whether it also writes its offset from UTC, parts of a second and its position.
    """

    make: str
    model: str
    ahead: timedelta
    phone: bool


CAMERAS = {
    "M2": Camera("Mosslight", "M2", timedelta(0), phone=True),
    # The error of the sample job: somebody set this clock wrong long ago.
    "TB-7": Camera("Tarnbeck", "TB-7", timedelta(hours=9, minutes=16), phone=False),
}


@dataclass(frozen=True)
class Shot:
    """A photo of the sample job: its file, its camera, the true local time, what it shows."""

    name: str
    camera: str
    clock: str
    draw: Callable[[Sheet], None]


KITCHEN_1, KITCHEN_2 = Eye((0.6, 0.6, 5.4), (12, 9.4, 1.6)), Eye((11.4, 9.4, 5.4), (0, 0.8, 1.6))
DEN_1, DEN_2 = Eye((1.7, 0.6, 5.4), (13.6, 11, 1.8)), Eye((13.2, 11.2, 5.4), (0, 2.6, 1.8))
SHOTS = (
    Shot("M2_0101.JPG", "M2", "08:02", crew),
    Shot("M2_0102.JPG", "M2", "08:14", meter),
    Shot("M2_0103.JPG", "M2", "09:31", album),
    Shot("M2_0104.JPG", "M2", "09:52", bagged),
    Shot("M2_0105.JPG", "M2", "10:20", freezer),
    Shot("M2_0106.JPG", "M2", "10:41", tester),
    Shot("M2_0107.JPG", "M2", "10:55", partial(breakers, new=False)),
    Shot("M2_0108.JPG", "M2", "11:24", partial(breakers, new=True)),
    Shot("M2_0109.JPG", "M2", "11:02", partial(sink_outlet, muddy=True)),
    Shot("M2_0110.JPG", "M2", "11:37", partial(sink_outlet, muddy=False)),
    Shot("M2_0111.JPG", "M2", "14:05", hatch),
    Shot("M2_0112.JPG", "M2", "14:50", thumb),
    Shot("M2_0113.JPG", "M2", "11:48", range_outlet),
    Shot("TB7_0201.JPG", "TB-7", "08:40", partial(room, which=KITCHEN, eye=KITCHEN_1)),
    Shot("TB7_0202.JPG", "TB-7", "08:42", partial(room, which=KITCHEN, eye=KITCHEN_2)),
    Shot("TB7_0203.JPG", "TB-7", "08:45", partial(tape, wall=PLASTER, inch=28, boards=False)),
    Shot("TB7_0204.JPG", "TB-7", "08:52", partial(room, which=DEN, eye=DEN_1)),
    Shot("TB7_0205.JPG", "TB-7", "08:54", partial(room, which=DEN, eye=DEN_2)),
    Shot("TB7_0206.JPG", "TB-7", "08:57", partial(tape, wall="#a9bcc0", inch=27, boards=True)),
    Shot("TB7_0207.JPG", "TB-7", "09:05", hall),
    Shot("TB7_0208.JPG", "TB-7", "13:10", partial(weep, colour="#a8573f", clear=False)),
    Shot("TB7_0209.JPG", "TB-7", "13:42", partial(weep, colour="#a8573f", clear=True)),
    Shot("TB7_0210.JPG", "TB-7", "13:50", partial(weep, colour="#755a52", clear=False)),
    Shot("TB7_0211.JPG", "TB-7", "14:15", partial(crawl, cover=True)),
    Shot("TB7_0212.JPG", "TB-7", "15:30", partial(crawl, cover=False)),
)


def taken(shot: Shot) -> datetime:
    """Return the true moment of a shot."""
    hour, minute = shot.clock.split(":")
    return datetime(2026, 3, 12, int(hour), int(minute), tzinfo=SITE)


def _degrees(dice: random.Random, whole: int) -> tuple[IFDRational, IFDRational, IFDRational]:
    """Return degrees, minutes and seconds: a whole degree and a few 1e-5 of one."""
    hundredths = dice.randint(3, 18)
    return IFDRational(whole, 1), IFDRational(0, 1), IFDRational(hundredths, 100)


def tags(shot: Shot) -> Image.Exif:
    """Return what the camera of a shot writes into its file."""
    camera, moment, exif = CAMERAS[shot.camera], taken(shot), Image.Exif()
    stamp = f"{moment + camera.ahead:%Y:%m:%d %H:%M:%S}"
    exif[Base.Make], exif[Base.Model] = camera.make, camera.model
    exif[Base.Orientation], exif[Base.DateTime] = 1, stamp
    inner = exif.get_ifd(IFD.Exif)
    inner[Base.ExifVersion] = b"0232"
    inner[Base.DateTimeOriginal] = inner[Base.DateTimeDigitized] = stamp
    inner[Base.ExifImageWidth], inner[Base.ExifImageHeight] = WIDE, HIGH
    if camera.phone:
        dice = random.Random(shot.name)  # noqa: S311 - jitter, no secret
        inner[Base.OffsetTime] = inner[Base.OffsetTimeOriginal] = moment.isoformat()[-6:]
        inner[Base.SubsecTimeOriginal] = f"{dice.randint(0, 999):03d}"
        place, utc = exif.get_ifd(IFD.GPSInfo), moment.astimezone(UTC)
        place[GPS.GPSVersionID] = b"\2\3\0\0"
        place[GPS.GPSLatitudeRef], place[GPS.GPSLatitude] = "N", _degrees(dice, 41)
        place[GPS.GPSLongitudeRef], place[GPS.GPSLongitude] = "W", _degrees(dice, 91)
        clock = (utc.hour, utc.minute, utc.second)
        place[GPS.GPSTimeStamp] = tuple(IFDRational(part, 1) for part in clock)
        place[GPS.GPSDateStamp] = f"{utc:%Y:%m:%d}"
    return exif


def draw(shot: Shot, folder: Path) -> Path:
    """Draw one photo into a folder.

    Before and after of a thing are seeded alike, so that only what changed differs.

    Returns:
        the path of its file.
    """
    picture = shot.draw.func if isinstance(shot.draw, partial) else shot.draw
    sheet = Sheet(picture.__name__)
    shot.draw(sheet)
    path = folder / shot.name
    sheet.finished().save(path, "JPEG", quality=76, optimize=True, exif=tags(shot))
    return path


def draw_all(folder: Path) -> list[Path]:
    """Draw all photos into a folder, which is made where it is missing.

    Returns:
        the paths of their files, in the order of `SHOTS`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    return [draw(shot, folder) for shot in SHOTS]


def main(words: Sequence[str]) -> int:
    """Draw all photos and say which."""
    folder = Path(words[0]) if words else Path(__file__).parent / "photos"
    for path in draw_all(folder):
        sys.stdout.write(f"{path.name}  {path.stat().st_size / 1000:.0f} kB\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
