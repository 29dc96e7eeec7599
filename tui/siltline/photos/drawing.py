"""Draws a photo smaller and upright, for screens and paper; the original is never touched."""

from __future__ import annotations

import io
import struct
from typing import TYPE_CHECKING

from siltline.photos.headers import open_picture

if TYPE_CHECKING:
    from PIL import Image

QUALITY = 82
SIZE = struct.Struct("<HH")


def _upright(data: bytes, width: int, height: int) -> Image.Image:
    """Return a photo as red, green and blue, upright, fitted into a width and a height."""
    from PIL import ImageOps  # noqa: PLC0415

    side = max(width, height)
    with open_picture(data) as image:
        image.draft("RGB", (side, side))  # JPEG: decode at the nearest smaller scale
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((width, height))
        return upright.convert("RGB")


def draw(data: bytes, pixels: int) -> bytes:
    """Return a JPEG of a photo, upright, its longer side at most `pixels`.

    Raises:
        Exception: whatever a decoder raises on bytes that it cannot draw; the worker catches it.
    """
    drawn = io.BytesIO()
    _upright(data, pixels, pixels).save(drawn, "JPEG", quality=QUALITY)
    return drawn.getvalue()


def cells(data: bytes, width: int, height: int) -> bytes:
    """Return a photo as pixels, upright, fitted into a width and a height.

    Returns:
        Width and height (2 bytes each, the smaller end first), then a red, a green and a blue
        byte a pixel, line by line.

    Raises:
        Exception: as for `draw`.
    """
    image = _upright(data, width, height)
    return SIZE.pack(*image.size) + image.tobytes()
