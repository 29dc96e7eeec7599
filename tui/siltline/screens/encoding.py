"""Pixels as the bytes that a terminal draws them from, by the optional package chafa.py.

It runs in a process of its own that ends with the picture: its binding frees nothing of what it
made (15 MB a picture), and what it hands back is let through only if it is one whole picture.
"""

from __future__ import annotations

import re
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from threading import Thread

WANTED = "chafa.py>=1.2,<2"  # as the extra `pixels` has it
PATIENCE_S = 10.0  # 4 million pixels take 0.3 s; a key need not wait
GLANCE_S = 0.1  # how often it is looked whether that is still wanted
_BAND = 6  # pixels: the height of a row of sixels
_OPAQUE = b"\xff"
_PARENT = str(Path(__file__).parents[2])
_START = (
    f"import sys; sys.path.insert(0, {_PARENT!r}); "
    "from siltline.screens.encoding import main; main()"
)
# One picture and nothing else: a terminal obeys much more that begins in the same way.
_WHOLE = {
    "kitty": re.compile(
        rb"\x1b_Ga=T,f=32,s=\d+,v=\d+,c=\d+,r=\d+,m=1\x1b\\"
        rb"(?:\x1b_Gm=1;[A-Za-z0-9+/=]*\x1b\\)*\x1b_Gm=0\x1b\\"
    ),
    "sixel": re.compile(rb"\x1bP[0-9;]*q[!-~]*\x1b\\"),
}


def is_there() -> bool:
    """Tell whether the package is installed; nothing of it is imported."""
    return find_spec("chafa") is not None


def installing() -> str:
    """Return the command that installs the package for this very Python."""
    return f'{sys.executable} -m pip install "{WANTED}"'


def whole(data: bytes, way: str) -> bool:
    """Tell whether bytes are one whole picture of that way, and nothing besides."""
    return _WHOLE[way].fullmatch(data) is not None


def encoded(
    data: bytes,
    size: tuple[int, int],
    way: str,
    cell: tuple[int, int],
    given_up: Callable[[], bool] = lambda: False,
) -> bytes:
    """Return a picture as a terminal takes it; b"" where it cannot be made.

    Args:
        data: three bytes a pixel, line by line.
        size: its width and height in pixels.
        way: "kitty" or "sixel".
        cell: width and height of a cell of the terminal, in pixels.
        given_up: tells whether nobody waits for it any more; asked a few times a second.
    """
    numbers = map(str, (*size, *cell))
    nothing, pipe = subprocess.DEVNULL, subprocess.PIPE
    command = [sys.executable, "-c", _START, way, *numbers]
    try:
        with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=nothing) as process:
            made = _made(process, data, given_up)
    except OSError:
        return b""
    return made if process.returncode == 0 and whole(made, way) else b""


def _made(process: subprocess.Popen[bytes], data: bytes, given_up: Callable[[], bool]) -> bytes:
    """Return what a process makes of some bytes; it is killed where it takes too long."""
    made: list[bytes] = []
    # In a thread, for Python 3.11 sends no more once a wait for the answer was too short.
    feeder = Thread(target=lambda: made.append(process.communicate(data)[0]), daemon=True)
    feeder.start()
    until = time.monotonic() + PATIENCE_S
    while feeder.is_alive():
        feeder.join(GLANCE_S)
        if given_up() or time.monotonic() > until:
            process.kill()
    return b"".join(made)


def up_to(number: int, step: int) -> int:
    """Return the next multiple of a step."""
    return -(-number // step) * step


def padded(data: bytes, size: tuple[int, int], wanted: tuple[int, int]) -> bytes:
    """Return a picture with what cannot be seen at its right and below, four bytes a pixel."""
    (wide, high), (across, down) = size, wanted
    found = bytearray(across * down * 4)
    for y in range(high):
        line = data[y * wide * 3 : (y + 1) * wide * 3]
        begin = y * across * 4
        end = begin + wide * 4
        for part in range(3):
            found[begin + part : end : 4] = line[part::3]
        found[begin + 3 : end : 4] = _OPAQUE * wide
    return bytes(found)


def _drawn(data: bytes, size: tuple[int, int], way: str, cell: tuple[int, int]) -> bytes:
    """Return what chafa makes of a picture whose pixels stay as they are: none is stretched."""
    import chafa  # noqa: PLC0415 - optional, and never in the process of the screen

    sixel = way == "sixel"
    cell = (size[0], up_to(size[1], _BAND)) if sixel else cell  # sixels know no cells
    across, down = up_to(size[0], cell[0]), up_to(size[1], cell[1])
    config = chafa.CanvasConfig()
    config.width, config.height = across // cell[0], down // cell[1]
    config.cell_width, config.cell_height = cell
    modes = chafa.PixelMode
    config.pixel_mode = modes.CHAFA_PIXEL_MODE_SIXELS if sixel else modes.CHAFA_PIXEL_MODE_KITTY
    config.canvas_mode = chafa.CanvasMode.CHAFA_CANVAS_MODE_TRUECOLOR
    canvas = chafa.Canvas(config)
    pixels = padded(data, size, (across, down))
    kind = chafa.PixelType.CHAFA_PIXEL_RGBA8_UNASSOCIATED
    canvas.draw_all_pixels(kind, pixels, across, down, across * 4)
    # Not what the environment says of the terminal: we asked it ourselves.
    return bytes(canvas.print(chafa.TermDb().get_fallback_info()))


def main() -> None:
    """Read pixels from the standard input, write what a terminal takes to the standard output."""
    way, *numbers = sys.argv[1:]
    wide, high, cell_wide, cell_high = map(int, numbers)
    data = sys.stdin.buffer.read()
    made = _drawn(data, (wide, high), way, (cell_wide, cell_high))
    sys.stdout.buffer.write(made)
