"""Draws the photos of the sample job: plain pictures of an invented house, with EXIF.

Run `python sample_job/draw_photos.py [FOLDER]`; the default is `photos` beside this file. The
same Pillow gives the same bytes: texture is seeded by the picture, nothing asks for the time.

INVENTED, all of it: the house, its people, both cameras and every place and time in the tags.
One camera is right. The other runs ahead, see `CAMERAS`, so that a crew can practise on it.
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

MUD, SILT, SOIL, PUDDLE = "#6b523a", "#8a7053", "#574432", "#8d8778"
DARK, STEEL, PAPER, WOOD = "#23211f", "#9aa0a3", "#f1eee4", "#a67b50"
CREAM, SAGE, SKY, CLAY = "#e4dcc3", "#c3cdbb", "#b9cbd6", "#a5573f"
RUBBER, HI_VIS, SUIT, SKIN = "#3c5a3a", "#f0c22e", "#5d7890", "#c9946f"

Point = tuple[float, float]
Points = Sequence[Point]
Spot = tuple[float, float, float]  # feet: along the room, across it, above its floor


# --- Shapes ---------------------------------------------------------------------------------


def _box(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _oval(x: float, y: float, across: float, down: float, part: Point = (0, 360)) -> list[Point]:
    """Return an ellipse round a centre, or the part of it between two angles (0 is right)."""
    start, stop = (math.radians(angle) for angle in part)
    steps = [start + (stop - start) * n / 48 for n in range(49)]
    return [(x + across * math.cos(a), y + down * math.sin(a)) for a in steps]


def _round(x0: float, y0: float, x1: float, y1: float, r: float) -> list[Point]:
    """Return a box with round corners."""
    corners = ((x1 - r, y1 - r, 0), (x0 + r, y1 - r, 90), (x0 + r, y0 + r, 180), (x1 - r, y0 + r, 270))
    return [p for x, y, a in corners for p in _oval(x, y, r, r, (a, a + 90))[::6]]


def _turn(points: Points, degrees: float, about: Point) -> list[Point]:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [
        (about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
         about[1] + (x - about[0]) * sin + (y - about[1]) * cos)
        for x, y in points
    ]


def _moved(points: Points, x: float, y: float) -> list[Point]:
    return [(px + x, py + y) for px, py in points]


def _tone(colour: str, factor: float) -> tuple[int, ...]:
    """Return a colour made darker or lighter."""
    return tuple(max(0, min(255, round(part * factor))) for part in ImageColor.getrgb(colour)[:3])


class Sheet:
    """A picture being drawn.

    Attributes:
        dice: chance for texture, seeded by the name of the picture.
    """

    def __init__(self, seed: str, ground: str = CREAM) -> None:
        self.dice = random.Random(seed)  # noqa: S311 - texture, no secret
        self._image = Image.new("RGB", (WIDE * FINE, HIGH * FINE), ground)
        self._pen = ImageDraw.Draw(self._image, "RGBA")
        self._at = (0.0, 0.0, 1.0)

    def move(self, x: float = 0, y: float = 0, scale: float = 1) -> None:
        """Draw what follows from another origin and in another size."""
        self._at = (x, y, scale)

    def _px(self, points: Points) -> list[Point]:
        left, top, scale = self._at
        return [((left + x * scale) * FINE, (top + y * scale) * FINE) for x, y in points]

    def _cloud(self, size: tuple[int, int], cell: float) -> Image.Image:
        """Return soft random tones, in lumps of about that size with finer ones on them."""
        layers = []
        for lump in (cell * FINE, cell * FINE / 4):
            small = (max(2, round(size[0] / lump) + 1), max(2, round(size[1] / lump) + 1))
            seed = Image.frombytes("L", small, self.dice.randbytes(small[0] * small[1]))
            layers.append(seed.resize(size, Image.Resampling.BICUBIC))
        return Image.blend(layers[0], layers[1], 0.45)

    def area(
        self,
        points: Points,
        colour: str,
        *,
        rough: float = 0.05,
        cell: float = 30,
        alpha: float = 1,
        soft: float = 0,
        patchy: float = 0,
        down: Point | None = None,
        across: Point | None = None,
    ) -> None:
        """Fill a shape.

        Args:
            points: its outline.
            colour: its middle tone.
            rough: how far light and dark lumps of it differ.
            cell: how large its lumps are.
            alpha: how much it covers.
            soft: how far its edge is blurred.
            patchy: how much of it is worn away by chance, 0 to 1.
            down: how much it covers at its top and at its bottom.
            across: how much it covers at its left and at its right.
        """
        pixels, margin = self._px(points), 3 * soft * FINE + 2
        if len(pixels) < 3:  # noqa: PLR2004 - behind the viewer
            return
        xs, ys = [p[0] for p in pixels], [p[1] for p in pixels]
        x0, y0 = math.floor(max(-400, min(xs) - margin)), math.floor(max(-400, min(ys) - margin))
        x1 = math.ceil(min(WIDE * FINE + 400, max(xs) + margin))
        y1 = math.ceil(min(HIGH * FINE + 400, max(ys) + margin))
        if x1 <= x0 or y1 <= y0:
            return
        size = (x1 - x0, y1 - y0)
        mask = Image.new("L", size, 0)
        ImageDraw.Draw(mask).polygon([(x - x0, y - y0) for x, y in pixels], fill=round(255 * alpha))
        if soft:
            mask = mask.filter(ImageFilter.GaussianBlur(soft * FINE))
        for ends, turn in ((down, False), (across, True)):
            if ends:
                mask = ImageChops.multiply(mask, _ramp(size, ends, sideways=turn))
        cloud = self._cloud(size, cell)
        if patchy:
            worn = self._cloud(size, cell * 1.7)
            mask = ImageChops.multiply(mask, worn.point(lambda v: _worn(v, patchy)))
        light, dark = _tone(colour, 1 + rough), _tone(colour, 1 - rough)
        paint = Image.composite(Image.new("RGB", size, light), Image.new("RGB", size, dark), cloud)
        self._image.paste(paint, (x0, y0), mask)

    def line(self, points: Points, colour: str, wide: float = 2) -> None:
        """Draw a line through points; its colour may carry alpha."""
        width = max(1, round(wide * FINE * self._at[2]))
        self._pen.line(self._px(points), fill=colour, width=width, joint="curve")

    def words(self, x: float, y: float, text: str, size: float, colour: str = DARK) -> None:
        """Write words centred on a point."""
        font = ImageFont.load_default(size=size * FINE * self._at[2])
        self._pen.text(self._px([(x, y)])[0], text, fill=colour, font=font, anchor="mm")

    def shadow(self, points: Points, x: float = 6, y: float = 8, alpha: float = 0.4) -> None:
        """Draw the soft shadow of a shape that is to be drawn over it."""
        self.area(_moved(points, x, y), "#000000", alpha=alpha, soft=6, rough=0)

    def flecks(self, where: Points, count: int, colour: str, large: float = 4) -> None:
        """Scatter small lumps over a box that is given by two of its corners."""
        (x0, y0), (x1, y1) = where
        for _ in range(count):
            x, y = self.dice.uniform(x0, x1), self.dice.uniform(y0, y1)
            r = self.dice.uniform(0.3, 1) * large
            shade = "#%02x%02x%02x" % _tone(colour, self.dice.uniform(0.75, 1.25))
            self._pen.polygon(self._px(_oval(x, y, r, r * 0.7)), fill=shade)

    def blur(self, radius: float) -> None:
        """Blur all that is drawn so far."""
        self._image = self._image.filter(ImageFilter.GaussianBlur(radius * FINE))
        self._pen = ImageDraw.Draw(self._image, "RGBA")

    def finished(self) -> Image.Image:
        """Return the picture in its own size, darker to its corners, with grain and its strip."""
        image = self._image.resize((WIDE, HIGH), Image.Resampling.LANCZOS)
        corners = Image.radial_gradient("L").resize(image.size).point(lambda v: max(0, v - 90) // 2)
        image.paste(Image.new("RGB", image.size, "#14100c"), (0, 0), corners)
        grain = Image.frombytes("L", image.size, self.dice.randbytes(WIDE * HIGH))
        grain = grain.filter(ImageFilter.GaussianBlur(0.7))
        image = Image.blend(image, Image.merge("RGB", (grain, grain, grain)), 0.05)
        pen = ImageDraw.Draw(image)
        pen.rectangle((0, HIGH - 18, WIDE, HIGH), fill="#2b2723")
        font = ImageFont.load_default(size=12)
        pen.text((WIDE / 2, HIGH - 9), "INVENTED SAMPLE", fill="#d8d0c2", font=font, anchor="mm")
        return image


def _ramp(size: tuple[int, int], ends: Point, *, sideways: bool) -> Image.Image:
    """Return tones that run from one share of white to another, down or across."""
    steps = bytes(round(255 * (ends[0] + (ends[1] - ends[0]) * n / 63)) for n in range(64))
    ramp = Image.frombytes("L", (64, 1) if sideways else (1, 64), steps)
    return ramp.resize(size, Image.Resampling.BILINEAR)


def _worn(value: int, patchy: float) -> int:
    return max(0, min(255, round((value - 255 * patchy * 0.6) * 5 + 60)))


# --- Things that several pictures show ------------------------------------------------------


def _ragged(c: Sheet, x0: float, x1: float, y: float, jitter: float) -> list[Point]:
    """Return points from left to right along an uneven level line."""
    return [(x0 + (x1 - x0) * n / 40, y + c.dice.uniform(-jitter, jitter)) for n in range(41)]


def _film(c: Sheet, x0: float, y0: float, x1: float, y1: float, alpha: float = 0.72) -> None:
    """Draw what muddy water left on a wall: a film below its silt line, and the line."""
    edge = _ragged(c, x0, x1, y0, 3)
    c.area([*edge, (x1, y1), (x0, y1)], SILT, rough=0.22, cell=26, alpha=alpha, soft=1)
    c.area([*edge, (x1, y1), (x0, y1)], MUD, rough=0.2, cell=40, alpha=0.6, patchy=0.8)
    c.area([*edge, *_ragged(c, x1, x0, y0 + 13, 4)], MUD, rough=0.25, cell=12, soft=1.2)
    for _ in range(round((x1 - x0) / 40)):
        x, long = c.dice.uniform(x0, x1), c.dice.uniform(30, 110)
        c.line([(x, y0 + 10), (x, min(y1, y0 + long))], "#4e3b2866", c.dice.uniform(1, 3))


def _mud(c: Sheet, points: Points, colour: str = MUD) -> None:
    """Draw wet mud: lumps, gloss and crumbs."""
    c.area(points, colour, rough=0.3, cell=24)
    c.area(points, "#c9bda5", alpha=0.3, cell=12, patchy=1.05)
    c.area(points, "#3a2b1d", alpha=0.4, cell=18, patchy=1.0)


def _siding(c: Sheet, colour: str) -> None:
    c.area(_box(0, 0, WIDE, HIGH), colour, rough=0.05, cell=70)
    for y in range(0, HIGH, 44):
        c.area(_box(0, y, WIDE, y + 14), "#000000", alpha=0.28, down=(1, 0), rough=0)
        c.line([(0, y), (WIDE, y)], "#00000055", 1.5)


def _planks(c: Sheet, colour: str, high: float) -> None:
    """Cover the picture with boards that run across it."""
    for row in range(math.ceil(HIGH / high)):
        shade = "#%02x%02x%02x" % _tone(colour, c.dice.uniform(0.88, 1.08))
        y = row * high
        c.area(_box(0, y, WIDE, y + high), shade, rough=0.1, cell=60)
        for _ in range(9):
            at = y + c.dice.uniform(4, high - 4)
            c.line(_ragged(c, 0, WIDE, at, 1.5), "#3a220f2e", c.dice.uniform(0.8, 2))
        c.line([(0, y), (WIDE, y)], "#2a190bb0", 2.5)


def _person(c: Sheet, x: float, foot: float, scale: float) -> None:
    """Draw a member of the crew from the front, in full gear, 400 units tall."""
    c.move(x, foot, scale)
    c.area(_oval(6, 0, 92, 13), "#000000", alpha=0.5, soft=5, rough=0)
    for side in (-1, 1):
        c.area([(side * 4, -190), (side * 52, -195), (side * 46, -60), (side * 8, -60)], SUIT)
        boot = [(side * 4, -84), (side * 50, -84), (side * 50, -20), (side * 66, -4), (side * 6, -4)]
        c.area(boot, RUBBER, across=(1, 0.85))
        c.area([(side * 6, -10), (side * 68, -10), (side * 68, 0), (side * 6, 0)], DARK)
        c.area(_box(*sorted((side * 6, side * 48))[:1], -80, sorted((side * 6, side * 48))[1], -74), "#e8dfc8")
        c.flecks([(side * 10, -50), (side * 50, -6)], 30, MUD, 4)
        arm = [(side * 50, -318), (side * 74, -300), (side * 98, -182), (side * 70, -176), (side * 44, -270)]
        c.area(arm, "#56708a")
        c.area(_turn(_round(side * 84 - 18, -192, side * 84 + 18, -140, 14), -side * 10, (side * 84, -166)), "#d9772b")
    c.area([(-58, -312), (-30, -330), (30, -330), (58, -312), (54, -180), (-54, -180)], SUIT)
    c.area([(0, -330), (58, -312), (54, -180), (14, -180)], "#000000", alpha=0.14, rough=0)
    for y in (-262, -212):
        c.area(_box(-55, y - 8, 55, y + 8), HI_VIS)
    c.line([(0, -326), (0, -184)], "#22303c99", 2)
    c.area(_box(-15, -345, 15, -322), SKIN)
    c.area(_oval(0, -368, 34, 42), SKIN)
    c.area(_oval(0, -351, 29, 25), "#f3f1ea", rough=0.02)
    c.area(_oval(0, -351, 29, 25, (0, 180)), "#000000", alpha=0.1, rough=0)
    c.line([(-33, -368), (-20, -356), (20, -356), (33, -368)], "#bdb8aaff", 1.5)
    c.area(_round(-36, -389, 36, -367, 9), "#39424a")
    c.area(_round(-29, -386, 29, -370, 7), "#9fd0dd", down=(1, 0.75))
    c.area(_oval(0, -390, 41, 40, (180, 360)), HI_VIS, rough=0.08)
    c.area(_round(-47, -396, 47, -387, 4), "#d6a81d")
    c.area(_box(-5, -430, 5, -398), "#d6a81d")
    c.move()


def _hand(c: Sheet, x: float, y: float, wide: float) -> None:
    """Draw the gloved fingers and thumb that hold a thing of that width from its right."""
    for n in range(4):
        top = y + n * 46
        finger = _round(x + wide * 0.42, top, x + wide + 40, top + 44, 20)
        c.shadow(finger, -3, 5, 0.3)
        c.area(finger, "#d9772b", rough=0.1, cell=16)
        c.line([(x + wide * 0.7, top + 8), (x + wide * 0.7, top + 36)], "#7a3a1080", 2)
    thumb = _turn(_round(x - 26, y + 10, x + 26, y + 120, 25), 14, (x, y + 60))
    c.shadow(thumb, 4, 5, 0.3)
    c.area(thumb, "#d9772b", rough=0.1, cell=16)


def _arm(c: Sheet, points: Points) -> None:
    """Draw the arm and the back of the glove, behind the thing that is held."""
    c.area(points, "#c4681f", rough=0.1, cell=20)


def _tape(c: Sheet, x: float, top: int, high: float, wide: float = 84) -> None:
    """Draw an upright tape measure whose inch `top` is at y 0, `high` pixels an inch."""
    blade = _box(x, -20, x + wide, HIGH + 20)
    c.shadow(blade, 10, 6)
    c.area(blade, "#eec93c", rough=0.04)
    c.area(_box(x, -20, x + wide, HIGH + 20), "#000000", alpha=0.25, across=(0.9, 0), rough=0)
    c.area(_box(x + wide * 0.6, -20, x + wide, HIGH + 20), "#000000", alpha=0.2, across=(0, 1), rough=0)
    for eighth in range(int(HIGH / high + 2) * 8):
        y, inch = eighth * high / 8, top - eighth / 8
        long = {0: 0.62, 4: 0.4, 2: 0.26, 6: 0.26}.get(eighth % 8, 0.16)
        c.line([(x, y), (x + wide * long, y)], "#1c1a16ff", 2.4 if eighth % 8 == 0 else 1.4)
        if eighth % 8 == 0:
            red = inch % 12 == 0
            c.words(x + wide * 0.66, y - high * 0.28, f"{inch:.0f}", high * 0.48, "#b3261e" if red else DARK)


def _outlet(c: Sheet, x: float, y: float, scale: float, muddy: bool) -> None:
    """Draw a wall outlet with two sockets round a centre."""
    c.move(x, y, scale)
    plate = _round(-46, -72, 46, 72, 9)
    c.shadow(plate, 4, 5)
    c.area(plate, "#b9a98b" if muddy else "#faf8f2", rough=0.2 if muddy else 0.02, cell=12)
    c.line([*plate, plate[0]], "#00000050", 1.2)
    for middle in (-35, 35):
        c.area(_round(-27, middle - 24, 27, middle + 24, 16), "#a89777" if muddy else "#e9e6dd", rough=0.03)
        c.area(_box(-13, middle - 14, -8, middle + 4), DARK)
        c.area(_box(8, middle - 12, 13, middle + 4), DARK)
        c.area(_oval(0, middle + 13, 5, 5), DARK)
    c.area(_oval(0, 0, 4, 4), "#8b8b86")
    if muddy:
        _mud(c, [(-46, 30), (-20, 12), (6, 34), (28, 18), (46, 40), (44, 72), (-44, 72)])
        for slot in ((-12, -30), (11, -32), (-10, 24), (0, -20)):
            c.area(_oval(*slot, 8, 9), MUD, rough=0.25, cell=6)
        c.flecks([(-44, -70), (44, 60)], 60, MUD, 3)
    c.move()


def _breaker(c: Sheet, n: int, muddy: bool, new: bool) -> None:
    """Draw breaker n of a row, 130 units apart, 330 tall, its switch down."""
    x = (n - 1) * 130
    body = _round(x + 4, 0, x + 124, 330, 8)
    c.area(body, "#2a2c30" if new else "#47433d", rough=0.04 if new else 0.16, cell=14)
    c.area(_box(x + 4, 0, x + 30, 330), "#ffffff", alpha=0.12, across=(1, 0), rough=0)
    c.line([*body, body[0]], "#000000c0", 2)
    c.area(_round(x + 36, 90, x + 92, 240, 8), "#121315")
    c.area(_round(x + 42, 160, x + 86, 236, 6), "#ececea" if new else "#a9a294", rough=0.05)
    c.area(_box(x + 42, 160, x + 86, 178), "#000000", alpha=0.3, down=(1, 0.2), rough=0)
    for y in (34, 296):
        c.area(_oval(x + 64, y, 17, 17), "#c9ccce" if new else "#8a8272", rough=0.05)
        c.line([(x + 53, y - 6), (x + 75, y + 6)], "#333333ff", 4)
    if muddy:
        _mud(c, [(x + 2, 130), (x + 34, 96), (x + 70, 122), (x + 100, 92), (x + 128, 118), (x + 126, 346),
                 (x + 96, 372), (x + 84, 340), (x + 52, 390), (x + 40, 344), (x + 2, 350)])
        c.area(_round(x + 44, 164, x + 84, 230, 10), "#8a7053", alpha=0.8, soft=2, rough=0.3, cell=10)
        c.flecks([(x + 6, 8), (x + 120, 120)], 70, MUD, 5)


def _row(c: Sheet, four: str) -> None:
    """Draw a row of six breakers with their numbers; the fourth is muddy, old or new."""
    c.area(_box(-14, -96, 796, -22), PAPER, rough=0.06)
    for n in range(1, 7):
        c.words(n * 130 - 66, -58, str(n), 46)
        c.line([(n * 130, -96), (n * 130, -22)], "#00000060", 2)
        _breaker(c, n, four == "muddy" and n == 4, four == "new" and n == 4)  # noqa: PLR2004
        if not (four == "new" and n == 4):  # noqa: PLR2004
            c.flecks([(n * 130 - 120, 180), (n * 130 - 12, 326)], 24, SILT, 3)


# Small invented pictures inside the prints: colour and outline, in hundredths of the print.
PRINTS: tuple[tuple[tuple[str, Points], ...], ...] = (
    (
        ("#8fb4cf", _box(0, 0, 100, 100)),
        ("#5f7f58", [(0, 55), (30, 30), (60, 52), (85, 36), (100, 50), (100, 100), (0, 100)]),
        ("#3f6f94", _box(0, 66, 100, 100)),
        ("#e9e2cf", [(48, 70), (48, 40), (66, 68)]),
        ("#8b4a2f", [(38, 72), (72, 72), (66, 80), (44, 80)]),
    ),
    (
        ("#d9c58f", _box(0, 0, 100, 100)),
        ("#7c9457", _box(0, 62, 100, 100)),
        ("#a84d3b", [(22, 44), (50, 18), (78, 44)]),
        ("#efe6d2", _box(28, 44, 72, 80)),
        ("#5c4633", _box(44, 56, 56, 80)),
    ),
    (
        ("#b7c7a4", _box(0, 0, 100, 100)),
        ("#6f8a4d", _box(0, 70, 100, 100)),
        ("#b0503e", [(24, 95), (30, 48), (44, 48), (50, 95)]),
        ("#4a5f86", [(54, 95), (60, 56), (74, 56), (80, 95)]),
        ("#d2a078", _oval(37, 36, 9, 11)),
        ("#d2a078", _oval(67, 45, 8, 10)),
    ),
    (
        ("#e7b977", _box(0, 0, 100, 100)),
        ("#f6e3a4", _oval(68, 38, 13, 16)),
        ("#7d5a78", [(0, 62), (34, 34), (62, 64), (100, 48), (100, 100), (0, 100)]),
        ("#4d3a50", [(0, 84), (50, 70), (100, 82), (100, 100), (0, 100)]),
    ),
)


def _print(c: Sheet, kind: int, where: tuple[float, float, float], damp: float = 0.5) -> None:
    """Draw a photographic print, 210 by 150, round a centre and turned."""
    x, y, angle = where
    paper = _turn(_box(x - 105, y - 75, x + 105, y + 75), angle, (x, y))
    c.shadow(paper, 3, 5)
    c.area(paper, PAPER, rough=0.05)
    for colour, shape in PRINTS[kind]:
        inside = [(x - 95 + px * 1.9, y - 65 + py * 1.3) for px, py in shape]
        c.area(_turn(inside, angle, (x, y)), colour, rough=0.08, cell=12)
    c.area(paper, "#c4a6a0", alpha=damp, cell=22, patchy=1.0)
    edge = _turn(_box(x - 105, y + 30, x + 105, y + 75), angle, (x, y))
    c.area(edge, SILT, alpha=damp * 1.4, down=(0, 1), cell=16, patchy=0.7)


# --- A room in depth ------------------------------------------------------------------------


@dataclass(frozen=True)
class Eye:
    """Where a picture of a room is taken from, and what it is aimed at."""

    at: Spot
    aim: Spot
    lens: float = 600

    def _turned(self, spot: Spot) -> Spot:
        """Return a spot as right, up and ahead of the viewer."""
        dx, dy, dz = (a - b for a, b in zip(spot, self.at, strict=True))
        ax, ay, az = (a - b for a, b in zip(self.aim, self.at, strict=True))
        level, far = math.hypot(ax, ay), math.hypot(ax, ay, az)
        along = (dx * ax + dy * ay) / level
        return (
            (dx * ay - dy * ax) / level,
            (dz * level - along * az) / far,
            (along * level + dz * az) / far,
        )

    def see(self, spots: Sequence[Spot]) -> list[Point]:
        """Return the outline of a flat shape in the picture, cut off where it is behind."""
        near, seen = 0.3, []
        turned = [self._turned(spot) for spot in spots]
        for one, two in zip(turned, turned[1:] + turned[:1], strict=True):
            if one[2] >= near:
                seen.append(one)
            if (one[2] >= near) != (two[2] >= near):
                t = (near - one[2]) / (two[2] - one[2])
                seen.append((one[0] + (two[0] - one[0]) * t, one[1] + (two[1] - one[1]) * t, near))
        return [(WIDE / 2 + self.lens * r / a, HIGH / 2 - self.lens * u / a) for r, u, a in seen]


@dataclass(frozen=True)
class Block:
    """A box in a room, from its lowest corner to its highest; `look` is plain, doors or brick."""

    low: Spot
    high: Spot
    colour: str
    look: str = "plain"


@dataclass(frozen=True)
class Room:
    """A room: its size in feet, its colours, its silt line, what covers its floor, what is in it."""

    size: Spot
    walls: str
    top: str
    line: float
    floor: Callable[[Sheet, Eye], None]
    blocks: tuple[Block, ...]


def _flat(low: Spot, high: Spot, axis: int, at: float) -> list[Spot]:
    """Return the four corners of a box's side that lies at right angles to an axis."""
    u, v = [n for n in range(3) if n != axis]
    corners = []
    for a, b in ((low[u], low[v]), (high[u], low[v]), (high[u], high[v]), (low[u], high[v])):
        spot = [at, at, at]
        spot[u], spot[v] = a, b
        corners.append((spot[0], spot[1], spot[2]))
    return corners


def _part(side: Sequence[Spot], u: Point, v: Point) -> list[Spot]:
    """Return a part of a side: from one share of its width and height to another."""
    def at(across: float, up: float) -> Spot:
        a, b, _, d = side
        x, y, z = (p + (q - p) * across + (r - p) * up for p, q, r in zip(a, b, d, strict=True))
        return (x, y, z)

    return [at(u[0], v[0]), at(u[1], v[0]), at(u[1], v[1]), at(u[0], v[1])]


def _doors(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw cupboard doors on a side, about as wide as doors are."""
    count = max(1, round(math.dist(side[0], side[1]) / 1.4))
    for n in range(count):
        span = ((n + 0.1) / count, (n + 0.9) / count)
        door = eye.see(_part(side, span, (0.07, 0.93)))
        c.area(door, "#000000", alpha=0.13, rough=0)
        c.line([*door, *door[:1]], "#00000066", 1.5)
        knob = eye.see(_part(side, (span[1] - 0.16 / count, span[1] - 0.08 / count), (0.45, 0.6)))
        c.area(knob, DARK, rough=0)


def _courses(c: Sheet, eye: Eye, side: Sequence[Spot]) -> None:
    """Draw the joints of bricks on a side."""
    wide, high = math.dist(side[0], side[1]), math.dist(side[0], side[3])
    rows, columns = max(1, round(high / 0.3)), max(1, round(wide / 0.8))
    for row in range(rows):
        level = row / rows
        c.line(eye.see(_part(side, (0, 1), (level, level)))[:2], "#d8cdbb90", 1.6)
        for n in range(columns):
            u = min(1, (n + (row % 2) / 2) / columns)
            c.line(eye.see(_part(side, (u, u), (level, level + 1 / rows)))[1:3], "#d8cdbb90", 1.6)


LOOKS: dict[str, Callable[[Sheet, Eye, Sequence[Spot]], None]] = {"doors": _doors, "brick": _courses}


def _side(c: Sheet, eye: Eye, side: Sequence[Spot], axis: int, colour: str, line: float, look: str) -> None:
    """Draw one side of a block or a wall, with the mud on it up to the silt line."""
    shade = "#%02x%02x%02x" % _tone(colour, (0.9, 0.78, 1.06)[axis])
    outline = eye.see(side)
    c.area(outline, shade, rough=0.06, cell=34)
    if look in LOOKS and axis != 2:  # noqa: PLR2004
        LOOKS[look](c, eye, side)
    low, high = side[0][2], side[2][2]
    if axis != 2 and low < line:  # noqa: PLR2004
        share = min(1, (line - low) / (high - low))
        c.area(eye.see(_part(side, (0, 1), (0, share))), SILT, rough=0.25, cell=22, alpha=0.66)
        if share < 1:
            band = _part(side, (0, 1), (share - 0.14 / (high - low), share))
            c.area(eye.see(band), MUD, rough=0.25, cell=14, soft=0.8)
    if outline:
        c.line([*outline, outline[0]], "#0000003a", 1.2)


def _hides(eye: Eye, front: Block, back: Block) -> bool:
    """Tell whether a block may hide a part of another from the viewer."""
    return not any(
        (front.high[n] <= back.low[n] and eye.at[n] >= front.high[n])
        or (front.low[n] >= back.high[n] and eye.at[n] <= front.low[n])
        for n in range(3)
    )


def _room(c: Sheet, room: Room, eye: Eye) -> None:
    """Draw a room: walls, floor, then its blocks from the farthest to the nearest."""
    zero = (0.0, 0.0, 0.0)
    c.area(eye.see(_flat(zero, room.size, 2, room.size[2])), room.top, rough=0.04, cell=80)
    for axis in (0, 1):
        for at in (0.0, room.size[axis]):
            wall = _flat(zero, room.size, axis, at)
            _side(c, eye, wall, axis, room.walls, room.line, "plain")
            c.area(eye.see(_part(wall, (0, 1), (0, 0.06))), "#000000", alpha=0.3, soft=3, rough=0)
    room.floor(c, eye)
    left = list(room.blocks)
    while left:
        free = (b for b in left if not any(_hides(eye, b, other) for other in left if other != b))
        block = next(free, left[0])
        left.remove(block)
        for axis in (2, 0, 1):
            ends = ((block.low[axis], -1), (block.high[axis], 1))
            for at, way in ends:
                if (eye.at[axis] - at) * way > 0:
                    side = _flat(block.low, block.high, axis, at)
                    _side(c, eye, side, axis, block.colour, room.line, block.look)
