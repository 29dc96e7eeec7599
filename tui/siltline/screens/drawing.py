"""What is done to every line on its way to the terminal, whatever screen drew it.

`Legible` keeps any letter from falling below the contrast that the look promises, `Colourless`
leaves colour out and turns over what had a ground of its own, `Ascii` draws with ASCII alone.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache

from rich.cells import cell_len
from rich.color import Color as Ink
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

HALF = "\u2580"  # the upper half of a cell; a picture has pixels for letters and for their ground
_BLACK, _WHITE = Ink.parse("#000000"), Ink.parse("#ffffff")


def luminance(colour: tuple[int, int, int]) -> float:
    """Return relative luminance, 0 to 1, of sRGB in 0..255.

    Source: WCAG 2.2, definition of relative luminance (with the threshold 0.04045 of sRGB).
    """

    def linear(part: int) -> float:
        share = part / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4  # noqa: PLR2004

    red, green, blue = map(linear, colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Return the contrast of two colours, 1 to 21. Source: WCAG 2.2, contrast ratio."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


class Legible(LineFilter):
    """Letters that would have too little contrast against their ground become black or white.

    So a mark keeps its colour in a list and can still be read in the row that is turned over.
    """

    def __init__(self, floor: float, *, thin_black: bool) -> None:
        """Take the least contrast, and whether black letters are never bold."""
        super().__init__()
        self.floor = floor
        self.thin_black = thin_black
        self._known: dict[Style, Style] = {}

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the line with letters that can be read."""
        del background
        return [
            Segment(text, self._readable(style) if style and text.strip(HALF) else style, control)
            for text, style, control in segments
        ]

    def _readable(self, style: Style) -> Style:
        found = self._known.get(style)
        if found is None:
            found = self._known[style] = self._changed(style)
        return found

    def _changed(self, style: Style) -> Style:
        ink, ground = style.color, style.bgcolor
        if ink is None or ground is None or ink.triplet is None or ground.triplet is None:
            return style
        if contrast(ink.triplet, ground.triplet) < self.floor:
            ink = max((_BLACK, _WHITE), key=lambda one: _against(one, ground))
            style += Style(color=ink)
        if self.thin_black and ink.triplet == _BLACK.triplet and style.bold:
            style += Style(bold=False)
        return style


def _against(one: Ink, other: Ink) -> float:
    return contrast(one.get_truecolor(), other.get_truecolor())


class Colourless(LineFilter):
    """Leaves colour out; what stood on a ground of its own stands out by being turned over."""

    def __init__(self, ground: str) -> None:
        """Take the colour of the page, as `#rrggbb`."""
        super().__init__()
        self.ground = Ink.parse(ground).triplet

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the line without colour."""
        del background
        return [
            Segment(text, _without_colour(style, self._stands_out(style)) if style else style, ctrl)
            for text, style, ctrl in segments
        ]

    def _stands_out(self, style: Style) -> bool:
        ground = style.bgcolor
        own = ground is not None and ground.triplet is not None and ground.triplet != self.ground
        return own or bool(style.reverse)


@lru_cache(2048)
def _without_colour(style: Style, turned: bool) -> Style:
    return style + Style(color="default", bgcolor="default", reverse=turned)


_DRAWN: Mapping[str, str] = {
    **dict.fromkeys("─━═┄┅┈┉╌╍╴╶╸╺╼╾▔⎯", "-"),
    **dict.fromkeys("│┃║┆┇┊┋╎╏╵╷╹╻╽╿▏▕▎▍▌▐", "|"),
    **dict.fromkeys("█▉▊▋▓▒■▪◼", "#"),
    **dict.fromkeys("░▀▖▗▘▙▚▛▜▝▞▟", ":"),
    **dict.fromkeys("▁▂▃▄▅▆▇", "_"),  # the ends of scroll bars
    **dict.fromkeys("←◀◄◂⟵", "<"),
    **dict.fromkeys("→▶►▸⟶", ">"),
    **dict.fromkeys("↑▲△▴", "^"),
    **dict.fromkeys("↓▼▽▾", "v"),
    **dict.fromkeys("–—−‐‑‒", "-"),  # noqa: RUF001 - the dashes that are meant
    **dict.fromkeys("‘’‚′", "'"),  # noqa: RUF001 - and the quotes
    **dict.fromkeys("“”„″«»", '"'),
    **dict.fromkeys("•·●○◦∙", "*"),
    "…": "~",
    "×": "x",  # noqa: RUF001
    "÷": "/",
    "✓": "x",
    "✗": "-",
    "⚠": "!",
    "°": " ",
    "µ": "u",
    "¿": "?",
    "¡": "!",
    "ß": "s",
    "Ø": "O",
    "ø": "o",
    "Æ": "A",
    "æ": "a",
    "Ł": "L",
    "ł": "l",
}
_BOX_CORNERS = range(0x250C, 0x2574)  # corners, tees, crosses and rounded corners


@cache
def _drawn(char: str) -> str:
    """Return ASCII of the same width as a character."""
    width = cell_len(char)
    if char in _DRAWN:
        return _DRAWN[char]
    if ord(char) in _BOX_CORNERS:
        return "+"
    base = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode("ascii")
    return base if base.isprintable() and len(base) == width else "?" * width


@lru_cache(4096)
def in_ascii(text: str) -> str:
    """Return text in printable ASCII that is exactly as wide: é is e, box lines are - | +."""
    return text if text.isascii() else "".join(map(_drawn, text))


class Ascii(LineFilter):
    """Draws with ASCII alone, for terminals that cannot draw more."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the line in ASCII."""
        del background
        return [Segment(in_ascii(text), style, control) for text, style, control in segments]


# Terminals that draw letters and little else, whatever they are told.
_PLAIN_TERMINALS = ("linux", "dumb", "ansi", "cons25", "vt52", "vt100", "vt102", "vt220")


def draws_ascii_only(environ: Mapping[str, str], encoding: str | None) -> bool:
    """Tell whether the terminal draws ASCII alone.

    Args:
        environ: TERM says what terminal it is; SILTLINE_ASCII=1 says so in any case, =0 denies it.
        encoding: of the stream to the terminal; None where there is none.
    """
    said = environ.get("SILTLINE_ASCII", "")
    if said in ("0", "1"):
        return said == "1"
    utf8 = (encoding or "utf-8").lower().replace("-", "").replace("_", "") in ("utf8", "cp65001")
    return not utf8 or environ.get("TERM", "") in _PLAIN_TERMINALS
