"""Draws a photo smaller and upright, for screens and paper; the original is never touched."""

from __future__ import annotations

import io

from siltline.photos.headers import open_picture

QUALITY = 82


def draw(data: bytes, pixels: int) -> bytes:
    """Return a JPEG of a photo, upright, its longer side at most `pixels`.

    Raises:
        Exception: whatever a decoder raises on bytes that it cannot draw; the worker catches it.
    """
    from PIL import ImageOps  # noqa: PLC0415

    with open_picture(data) as image:
        image.draft("RGB", (pixels, pixels))  # JPEG: decode at the nearest smaller scale
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((pixels, pixels))
        drawn = io.BytesIO()
        upright.convert("RGB").save(drawn, "JPEG", quality=QUALITY)
    return drawn.getvalue()
