"""Letters and digits of full blocks, large enough to be read in a photo of the screen.

Full blocks alone: a terminal that draws ASCII shows them as #.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

HEIGHT = 5  # dots of every sign
_BLOCK = "█"
_ROWS: Mapping[str, str] = {
    "0": "### #.# #.# #.# ###", "1": ".#. ##. .#. .#. ###", "2": "### ..# ### #.. ###",
    "3": "### ..# ### ..# ###", "4": "#.# #.# ### ..# ..#", "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###", "7": "### ..# ..# ..# ..#", "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###", ":": ". # . # .", "+": "... .#. ### .#. ...",
    "-": "... ... ### ... ...", " ": ".. .. .. .. ..",
    "A": "### #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.", "C": "### #.. #.. #.. ###",
    "D": "##. #.# #.# #.# ##.", "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..",
    "G": "#### #... #.## #..# ####", "H": "#.# #.# ### #.# #.#", "J": "..# ..# ..# #.# ###",
    "K": "#..# #.#. ##.. #.#. #..#", "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#", "N": "#..# ##.# #.## #..# #..#",
    "O": "### #.# #.# #.# ###", "P": "### #.# ### #.. #..", "R": "###. #..# ###. #.#. #..#",
    "S": "### #.. ### ..# ###", "T": "### .#. .#. .#. .#.", "U": "#.# #.# #.# #.# ###",
    "V": "#.# #.# #.# #.# .#.", "X": "#.# #.# .#. #.# #.#", "Y": "#.# #.# .#. .#. .#.",
    "Z": "#### ...# .##. #... ####",
}  # fmt: skip
SIGNS: Mapping[str, Sequence[str]] = {sign: rows.split() for sign, rows in _ROWS.items()}


def _dots(text: str) -> list[str]:
    return [".".join(SIGNS[sign][row] for sign in text) for row in range(HEIGHT)]


def large(text: str, wide: int, high: int) -> list[str]:
    """Return a text as lines of blocks, in the middle of the columns.

    Args:
        text: of `SIGNS`.
        wide: columns there are; a text that is too long for them runs past.
        high: rows of a dot, at least 1; a dot is at most twice as many columns wide, so that it
            looks no wider than high.
    """
    dots = _dots(text)
    across = max(1, min(wide // len(dots[0]), 2 * high))
    margin = " " * max(0, (wide - across * len(dots[0])) // 2)
    drawn = ["".join((_BLOCK if dot == "#" else " ") * across for dot in row) for row in dots]
    return [f"{margin}{row}".rstrip() for row in drawn for _ in range(high)]


def stacked(texts: Sequence[str], wide: int, rows: int) -> list[str]:
    """Return texts one below the other, as large as fits so many columns and rows."""
    high = max(1, (rows - len(texts) + 1) // (len(texts) * HEIGHT))
    gaps = [""] if rows >= len(texts) * (high * HEIGHT + 1) - 1 else []
    found: list[str] = []
    for text in texts:
        found += [*(gaps if found else ()), *large(text, wide, high)]
    return found
