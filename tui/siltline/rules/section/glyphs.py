"""What things look like in a section: a character for a terminal that draws, one in ASCII."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from siltline.rules.section.shape import Wetted
from siltline.text import fit, in_ascii, visible

# thing -> (drawn, in ASCII); each is one column wide, and all but the two circles are of the
# code pages 437 and 1252, so that the fonts of old consoles have them
GLYPHS: Mapping[str, tuple[str, str]] = {
    "wetted": ("\u25cf", "*"),
    "not-wetted": ("\u25cb", "o"),
    "not-known": ("?", "?"),
    "point": ("\u25a0", "+"),
    "waterline": ("\u2248", "~"),
    "silt-line": ("\u2500", "-"),
    "highest-wet-reading": ("\u2219", "."),
    "floor": ("\u2550", "="),
    "ceiling": ("\u2550", "="),
    "axis": ("\u2502", "|"),
    "tick": ("\u2524", "+"),
    "between": ("\u2502", "|"),
    "cable": ("\u2502", "|"),
    "cable-end": ("\u2534", "'"),
    "joist": ("\u2588", "H"),
    "soil": ("\u2591", ":"),
    "poly": ("\u2584", "="),
    "foundation": ("\u2593", "#"),
    "more": ("\u00bb", ">"),
}
_MASONRY, _RENDER, _WOOD = ("\u2592", "#"), ("\u2591", ":"), ("/", "/")
_SHEET, _BOARD, _BATT = ("\u2502", "|"), ("\u2593", "%"), ("\u00d7", "x")
# What a layer is made of -> its hatch. The hatches are our own; a key beside them names each.
HATCHES: Mapping[str, tuple[str, str]] = {
    **dict.fromkeys(
        ("brick-veneer", "stone-veneer", "solid-masonry", "block", "masonry", "tile"), _MASONRY
    ),
    **dict.fromkeys(("stucco", "synthetic-stucco", "fibre-cement", "insulated-forms"), _RENDER),
    **dict.fromkeys(
        ("lap", "wood-panel", "log", "stud", "plywood", "osb", "fibreboard", "solid-board",
         "panelling"), _WOOD),
    **dict.fromkeys(("vinyl", "steel", "wallpaper"), _SHEET),
    **dict.fromkeys(("wallboard", "plaster", "gypsum"), _BOARD),
    **dict.fromkeys(
        ("fibreglass", "cellulose", "loose-fill", "rock-wool", "foam-board", "spray-foam", "foam",
         "insulated-panels"), _BATT),
}  # fmt: skip
_UNKNOWN = ("?", "?")
# Variation selectors: terminals differ in how wide a character becomes by them.
_NO_SELECTORS = dict.fromkeys(range(0xFE00, 0xFE10))


def mark_of(wetted: Wetted) -> str:
    """Return the name of the glyph of a verdict."""
    return {True: "wetted", False: "not-wetted", None: "not-known"}[wetted]


class Pen(Struct, frozen=True):
    """Draws with all characters or with ASCII alone."""

    ascii_only: bool = False

    def glyph(self, thing: str) -> str:
        """Return the character of a thing."""
        return GLYPHS[thing][self.ascii_only]

    def hatch(self, material: str | None) -> str:
        """Return the character that a material is hatched with; ? where it is not known."""
        return HATCHES.get(material or "", _UNKNOWN)[self.ascii_only]

    def text(self, text: str) -> str:
        """Return text that this pen may write: visible, and in ASCII if it draws no other."""
        shown = visible(text).translate(_NO_SELECTORS)
        return in_ascii(shown) if self.ascii_only else shown

    def fit(self, text: str, width: int) -> str:
        """Return text in at most `width` columns; what is cut ends in an ellipsis."""
        return fit(self.text(text), width, "..." if self.ascii_only else "\u2026")
