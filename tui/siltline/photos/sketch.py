"""A photo drawn small, with what its pixels show: likeness, sharpness, light. One decode for all.

Runs inside the worker. The numbers are measured on the upright picture at one size, since
sharpness depends on scale.
"""

from __future__ import annotations

import io
import math
from operator import mul
from statistics import median
from typing import TYPE_CHECKING, Any

from siltline.photos.drawing import QUALITY
from siltline.photos.headers import open_picture
from siltline.photos.whole import scans

if TYPE_CHECKING:
    from PIL import Image

DRAWER = "1"  # changes when photos must be drawn again
MEASURED = 512  # pixels of the longer side when sharpness and light are measured
SMALL = 320  # pixels of the longer side of what is kept
TILES = 4  # a side
MOST_SCANS = 100  # a camera's progressive JPEG has about ten; each costs a pass over the picture
# A large JPEG is decoded at a part of its size, anything else whole: that many take about 1 GB.
LARGEST_WHOLE = 220_000_000

_SIDE, _KEPT = 32, 8  # of the cosine transform
_COSINES = [
    [math.cos(math.pi * k * (2 * n + 1) / (2 * _SIDE)) for n in range(_SIDE)] for k in range(_KEPT)
]
_BRIGHTEST = 250

Looks = dict[str, Any]


def likeness(image: Image.Image) -> str:
    """Return 64 bits, in hex, that stay nearly the same when a picture is saved or scaled anew.

    The lowest 8 by 8 terms of the cosine transform (DCT-II) of 32 by 32 greys, each against
    their median: pHash, as the package ImageHash computes it, bit for bit.
    """
    from PIL import Image  # noqa: PLC0415

    grey = image.convert("L").resize((_SIDE, _SIDE), Image.Resampling.LANCZOS).tobytes()
    columns = [grey[x::_SIDE] for x in range(_SIDE)]
    down = [[sum(map(mul, cosine, column)) for column in columns] for cosine in _COSINES]
    low = [sum(map(mul, cosine, row)) for row in down for cosine in _COSINES]
    middle = median(low)
    return f"{int(''.join('01'[term > middle] for term in low), 2):016x}"


def sharpness(grey: Image.Image) -> float:
    """Return the largest variance of the Laplacian among 4 by 4 tiles of a grey picture.

    The best tile counts: a photo may have an empty wall for most of its area.
    """
    from PIL import Image, ImageMath  # noqa: PLC0415

    width, height = grey.size
    if min(width, height) < TILES + 2:
        return 0.0

    def moved(x: int, y: int) -> Image.Image:
        return grey.crop((1 + x, 1 + y, width - 1 + x, height - 1 + y))

    def laplacian(args: dict[str, Any]) -> Any:
        convert = args["float"]
        around = (convert(args[side]) for side in "nesw")
        return sum(around, convert(args["c"]) * -4)

    edges = ImageMath.lambda_eval(
        laplacian, n=moved(0, -1), e=moved(1, 0), s=moved(0, 1), w=moved(-1, 0), c=moved(0, 0)
    )
    squares = ImageMath.lambda_eval(lambda args: args["edges"] * args["edges"], edges=edges)
    means, mean_squares = (
        _floats(part.resize((TILES, TILES), Image.Resampling.BOX)) for part in (edges, squares)
    )
    return max(sq - mean * mean for mean, sq in zip(means, mean_squares, strict=True))


def _floats(image: Image.Image) -> list[float]:
    return list(memoryview(image.tobytes()).cast("f"))


def light(grey: Image.Image) -> tuple[int, float]:
    """Return the 95th percentile of the greys (0 to 255), and the share of those above 250."""
    counts = grey.histogram()
    total = sum(counts)
    below, level = 0, 0
    for level, count in enumerate(counts):  # noqa: B007 - the level where it is reached counts
        below += count
        if below * 100 >= total * 95:
            break
    return level, sum(counts[_BRIGHTEST + 1 :]) / total


def sketch(data: bytes) -> tuple[Looks, bytes]:
    """Return what a photo's pixels show, and a small upright JPEG of it.

    Returns:
        `likeness` (16 hex digits), `sharpness` (variance of the Laplacian), `bright` (95th
        percentile of the greys), `burnt` (share of greys above 250); and the JPEG.

    Raises:
        ValueError: too many scans or pixels to be decoded.
        Exception: whatever a decoder raises on bytes that it cannot draw; the worker catches it.
    """
    from PIL import ImageOps  # noqa: PLC0415

    if scans(data) > MOST_SCANS:
        raise ValueError("scans")
    with open_picture(data) as image:
        image.draft("RGB", (MEASURED, MEASURED))
        if image.width * image.height > LARGEST_WHOLE:
            raise ValueError("pixels")
        image.thumbnail((MEASURED, MEASURED))
        small = ImageOps.exif_transpose(image).convert("RGB")
    grey = small.convert("L")
    bright, burnt = light(grey)
    looks = {
        "likeness": likeness(small),
        "sharpness": round(sharpness(grey), 1),
        "bright": bright,
        "burnt": round(burnt, 4),
    }
    small.thumbnail((SMALL, SMALL))
    drawn = io.BytesIO()
    small.save(drawn, "JPEG", quality=QUALITY)
    return looks, drawn.getvalue()
