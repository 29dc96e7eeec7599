"""Photos that tell where up is, and readers of what was drawn on a terminal."""

from __future__ import annotations

import base64
import io
import os
import re
import shutil
import subprocess
import sys
from functools import cache

import pytest
from PIL import Image

# Corners of a photo, as they are to be seen: left to right, then the lower two.
CORNERS = ((200, 30, 30), (40, 160, 40), (40, 40, 190), (220, 220, 220))


def needed(there: object, name: str) -> None:
    """Skip a test where something is not installed; under CI it fails."""
    if not there:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"{name} is not installed")


@cache
def chafa_runs() -> bool:
    """Tell whether chafa.py is there, and finds the libraries of the system that it wants."""
    ran = subprocess.run([sys.executable, "-c", "import chafa"], capture_output=True, check=False)
    return ran.returncode == 0


def cornered(size: tuple[int, int] = (1200, 900), *, turned: bool = True) -> bytes:
    """Return a JPEG whose corners are CORNERS; turned as a phone held upright writes it."""
    wide, high = size
    image = Image.new("RGB", size)
    for number, colour in enumerate(CORNERS):
        x, y = number % 2 * wide // 2, number // 2 * high // 2
        image.paste(colour, (x, y, x + wide // 2, y + high // 2))
    exif = Image.Exif()
    if turned:
        image = image.transpose(Image.Transpose.ROTATE_90)  # against the clock
        exif[0x0112] = 6  # to be turned by the clock (TIFF 6.0, Orientation)
    written = io.BytesIO()
    image.save(written, "JPEG", quality=92, exif=exif)
    return written.getvalue()


def off(image: Image.Image) -> int:
    """Return how far the corners of a picture are from CORNERS, the worst of all parts."""
    wide, high = image.size
    seen = [image.getpixel((wide * x // 4, high * y // 4)) for y in (1, 3) for x in (1, 3)]
    pairs = zip(seen, CORNERS, strict=True)
    return max(abs(a - b) for one, two in pairs for a, b in zip(one[:3], two, strict=True))  # type: ignore[index]


_KITTY = re.compile(rb"\x1b_G([^;\x1b]*)(?:;([^\x1b]*))?\x1b\\")


def kitty_pictures(seen: bytes) -> list[tuple[dict[str, str], Image.Image]]:
    """Return the pictures that a kitty would show, each with its keys."""
    found: list[tuple[dict[str, str], Image.Image]] = []
    keys: dict[str, str] = {}
    data = b""
    for told, piece in _KITTY.findall(seen):
        new = dict(part.split("=", 1) for part in told.decode().split(","))
        if new.get("a", "T") != "T":
            continue
        keys, data = {**keys, **new}, data + base64.b64decode(piece, validate=True)
        if keys.get("m") != "1":
            assert keys["f"] == "32"
            size = int(keys["s"]), int(keys["v"])
            found.append((keys, Image.frombytes("RGBA", size, data)))
            keys, data = {}, b""
    return found


_SIXEL = re.compile(rb"\x1bP[0-9;]*q[^\x1b]*\x1b\\")


def sixel_pictures(seen: bytes) -> list[Image.Image]:
    """Return the pictures that a sixel terminal would show, as libsixel reads them."""
    needed(shutil.which("sixel2png"), "sixel2png (Debian: libsixel-bin)")
    found = []
    for data in _SIXEL.findall(seen):
        ran = subprocess.run(["sixel2png"], input=data, capture_output=True, check=True)
        found.append(Image.open(io.BytesIO(ran.stdout)).convert("RGB"))
    return found


_PART = re.compile(
    r"\x1b\[([0-9;?<=>]*)[ -/]*([@-~])|\x1b[_P][^\x1b]*\x1b\\|\x1b.|([^\x1b])", re.DOTALL
)


def screen(seen: bytes, size: tuple[int, int]) -> list[str]:
    """Return what stands on a terminal of lines and columns that was sent some bytes."""
    lines, columns = size
    cells = [[" "] * columns for _ in range(lines)]
    y = x = 0
    for match in _PART.finditer(seen.decode("utf-8", "replace")):
        given, act, char = match[1], match[2], match[3]
        if act == "H":
            numbers = [int(n or 1) for n in given.split(";")] if given else [1, 1]
            y, x = numbers[0] - 1, numbers[1] - 1
        elif act == "J" or (act in ("h", "l") and given == "?1049"):
            cells = [[" "] * columns for _ in range(lines)]
        elif char == "\n":
            y += 1
        elif char == "\r":
            x = 0
        elif char and char >= " " and y < lines and x < columns:
            cells[y][x] = char
            x += 1
    return ["".join(line).rstrip() for line in cells]
