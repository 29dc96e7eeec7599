"""The colours that several pictures share, and how to darken or lighten one."""

from __future__ import annotations

from PIL import ImageColor

MUD, SILT, SOIL, WATER = "#6b523a", "#8f7656", "#574432", "#7c7261"
DARK, STEEL, PAPER, WOOD, BLACK = "#23211f", "#a0a8ab", "#f1eee4", "#a67b50", "#000000"
PLASTER, GLASS, SUIT, GLOVE, YELLOW = "#dcd9b4", "#b9cbd6", "#5d7890", "#d9772b", "#f0c22e"
FAINT = "#00000050"  # the outline of a thing


def tone(colour: str, factor: float) -> str:
    """Return a colour made darker or lighter."""
    parts = ImageColor.getrgb(colour)[:3]
    return "#" + "".join(f"{max(0, min(255, round(part * factor))):02x}" for part in parts)
