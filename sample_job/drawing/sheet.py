"""The sheet that a picture is drawn on: areas, lines, words, shadows, and the finished photo."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from drawing.colours import BLACK, DARK, FAINT, tone
from drawing.shapes import Point, Points, box, move, oval

WIDE, HIGH = 1024, 768  # pixels of a finished picture; all coordinates below are in these
FINE = 2  # drawn this much larger, then made smaller, for smooth edges
WHOLE = box(0, 0, WIDE, HIGH)  # the outline of all of it


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
        ImageDraw.Draw(mask).polygon(move(pixels, -x0, -y0), fill=round(255 * alpha))
        if soft:
            mask = mask.filter(ImageFilter.GaussianBlur(soft * FINE))
        for ends, sideways in ((down, False), (across, True)):
            if ends != (1, 1):
                mask = ImageChops.multiply(mask, _ramp(size, ends, sideways=sideways))
        if patchy:
            worn = self._cloud(size, cell * 1.7)
            mask = ImageChops.multiply(mask, worn.point([_worn(v, patchy) for v in range(256)]))
        light, dark = (Image.new("RGB", size, tone(colour, 1 + way * rough)) for way in (1, -1))
        self._image.paste(Image.composite(light, dark, self._cloud(size, cell)), (x0, y0), mask)

    def line(self, points: Points, colour: str, wide: float = 2) -> None:
        """Draw a line through points; its colour may carry alpha."""
        width = max(1, round(wide * FINE * self._from[2]))
        self._pen.line(self._pixels(points), fill=colour, width=width, joint="curve")

    def shadow(self, points: Points, x: float = 7, y: float = 9, alpha: float = 0.42) -> None:
        """Draw the soft shadow of a shape that is to be drawn over it."""
        self.area(move(points, x, y), BLACK, alpha, soft=6, rough=0)

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
            self._pen.polygon(self._pixels(oval(x, y, r, r * 0.7)), fill=tone(colour, shade))

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
