"""Three looks: for night, for sunlight, and for terminals of sixteen colours. Data, and a choice.

Every colour of a look stands in its `Palette`; style sheet and content only name them, so that
a look changes at once and `pairs` can list all that is ever written on what.

Signal words: ANSI Z535.4 gives DANGER safety red, WARNING safety orange, CAUTION safety yellow
and NOTICE safety blue, with white letters on red and blue and black ones on orange and yellow.
The word always stands there too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from textual.theme import Theme


class Palette(Struct, frozen=True):
    """The colours of a look as `#rrggbb`, and how much contrast it promises.

    Attributes:
        ground, panel: what is written on: the page, head and foot.
        blank, field: a field to fill, and the one in focus.
        text, lesser: what is written; the lesser is said in passing.
        lead: headings, borders, keys.
        good, attention, wrong: proved, missing, must not be.
        selected: letters and ground of the row in hand.
        row: text style of the row in hand.
        signals: signal word -> letters and ground.
        floor: the least contrast of any letter against its ground, as WCAG 2.x counts it.
    """

    ground: str
    panel: str
    blank: str
    field: str
    text: str
    lesser: str
    lead: str
    good: str
    attention: str
    wrong: str
    selected: tuple[str, str]
    row: str
    signals: Mapping[str, tuple[str, str]]
    floor: float
    dark: bool = True


# Silt and lamp light: nothing dazzles eyes that must see in a dark crawl space afterwards.
_NIGHT = Palette(
    ground="#12171b",
    panel="#232c33",
    blank="#232c33",
    field="#3a3220",
    text="#f2efe8",
    lesser="#9fb2bc",
    lead="#d9a441",
    good="#8fd18f",
    attention="#ffb84d",
    wrong="#ff8b80",
    selected=("#f2efe8", "#463a22"),
    row="bold",
    signals={
        "DANGER": ("#ffffff", "#b3121d"),
        "WARNING": ("#000000", "#ff8c1a"),
        "CAUTION": ("#000000", "#ffd21f"),
        "NOTICE": ("#ffffff", "#1c57a5"),
    },
    floor=4.5,
)
# Glare lifts every dark to grey: black on white, the row in hand turned over, no pale hues.
_SUNLIGHT = Palette(
    ground="#ffffff",
    panel="#e6e1d6",
    blank="#e6e1d6",
    field="#fff0b8",
    text="#000000",
    lesser="#333333",
    lead="#0a1f5c",
    good="#0a4519",
    attention="#6e2900",
    wrong="#8a0d12",
    selected=("#ffffff", "#000000"),
    row="bold",
    signals={
        "DANGER": ("#ffffff", "#9c0b15"),
        "WARNING": ("#000000", "#ff8c1a"),
        "CAUTION": ("#000000", "#ffd21f"),
        "NOTICE": ("#ffffff", "#0d4388"),
    },
    floor=7.0,
    dark=False,
)
# The sixteen of a PC's text mode, exactly, so that a terminal of sixteen colours takes each for
# itself. There is no orange among them: WARNING has yellow letters on red. Nothing is blended,
# and black letters are never bold: many terminals draw bold black as grey.
_SIXTEEN = Palette(
    ground="#000000",
    panel="#000000",
    blank="#0000aa",
    field="#aaaaaa",
    text="#ffffff",
    lesser="#aaaaaa",
    lead="#55ffff",
    good="#55ff55",
    attention="#ffff55",
    wrong="#ffff55",
    selected=("#000000", "#aaaaaa"),
    row="none",
    signals={
        "DANGER": ("#ffffff", "#aa0000"),
        "WARNING": ("#ffff55", "#aa0000"),
        "CAUTION": ("#000000", "#ffff55"),
        "NOTICE": ("#ffffff", "#0000aa"),
    },
    floor=4.5,
)
PALETTES: Mapping[str, Palette] = {"night": _NIGHT, "sunlight": _SUNLIGHT, "sixteen": _SIXTEEN}


def pairs(palette: Palette) -> Iterator[tuple[str, str, str]]:
    """Yield every pair that a screen writes: what it is, the letters, the ground."""
    for name in ("text", "lesser", "lead", "good", "attention", "wrong"):
        yield name, getattr(palette, name), palette.ground
    for name in ("text", "lead"):
        yield f"{name} in head and foot", getattr(palette, name), palette.panel
    letters = palette.selected[0] if palette.field == palette.selected[1] else palette.text
    yield "a field to fill", palette.text, palette.blank
    yield "a field in focus", letters, palette.field
    yield "the row in hand", *palette.selected
    for word, (text, ground) in palette.signals.items():
        yield word, text, ground


def _variables(palette: Palette) -> dict[str, str]:
    """Return what the style sheet, content and Textual's own widgets call the colours."""
    letters, ground = palette.selected
    in_field = next(text for what, text, _ in pairs(palette) if what == "a field in focus")
    signals = {
        f"{word.lower()}{end}": colour
        for word, pair in palette.signals.items()
        for end, colour in zip(("-letters", "-ground"), pair, strict=True)
    }
    # Textual would make these by way of another colour space, one step beside what was asked for.
    exact = {
        "primary": palette.lead,
        "secondary": palette.lesser,
        "accent": palette.lead,
        "foreground": palette.text,
        "background": palette.ground,
        "surface": palette.ground,
        "panel": palette.panel,
        "success": palette.good,
        "warning": palette.attention,
        "error": palette.wrong,
    }
    return {
        **signals,
        **exact,
        "blank": palette.blank,
        "field": palette.field,
        "in-field": in_field,
        "text": palette.text,
        "text-muted": palette.lesser,
        "text-disabled": palette.lesser,
        "text-success": palette.good,
        "text-warning": palette.attention,
        "text-error": palette.wrong,
        "border": palette.lead,
        "border-blurred": palette.lesser,
        "block-cursor-foreground": letters,
        "block-cursor-background": ground,
        "block-cursor-text-style": palette.row,
        "block-cursor-blurred-foreground": letters,
        "block-cursor-blurred-background": ground,
        "block-cursor-blurred-text-style": palette.row,
        "block-hover-background": palette.panel,
        "input-cursor-foreground": palette.ground,
        "input-cursor-background": palette.text,
        "input-selection-foreground": letters,
        "input-selection-background": ground,
        "screen-selection-foreground": letters,
        "screen-selection-background": ground,
        "scrollbar": palette.lesser,
        "scrollbar-hover": palette.text,
        "scrollbar-active": palette.text,
        "scrollbar-background": palette.panel,
        "scrollbar-background-hover": palette.panel,
        "scrollbar-background-active": palette.panel,
        "scrollbar-corner-color": palette.panel,
    }


def _theme(name: str, palette: Palette) -> Theme:
    return Theme(
        name=name,
        primary=palette.lead,
        foreground=palette.text,
        background=palette.ground,
        dark=palette.dark,
        variables=_variables(palette),
    )


THEMES: tuple[Theme, ...] = tuple(_theme(name, palette) for name, palette in PALETTES.items())


def fitting(asked: str, colours: str | None, *, no_colour: bool) -> str:
    """Return the name of the look to start with.

    Args:
        asked: what the person chose; what names no look counts as nothing.
        colours: what the terminal draws, as Rich finds out: standard, 256, truecolor, windows.
        no_colour: NO_COLOR is set (no-color.org).
    """
    if asked in PALETTES and not no_colour:
        return asked
    few = colours in (None, "standard", "windows")
    return "sixteen" if no_colour or few else "night"


def after(name: str) -> str:
    """Return the look after this one, in a ring."""
    names = list(PALETTES)
    return names[(names.index(name) + 1) % len(names)]
