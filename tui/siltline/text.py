"""The one door for text from outside: names, notes, EXIF strings, YAML.

A terminal obeys escape bytes, a spreadsheet obeys a leading `=`, and right-to-left marks
make a reader see another name than the one that is stored. Everything that did not come
from this project's own files passes here before it is shown.
"""

from __future__ import annotations

import re
import unicodedata

HIDDEN_CATEGORIES = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
# ... and the full-width forms, which some spreadsheets take for the same
_FORMULA_STARTS = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
# What a plain keyboard has for what printers have.
_AS_TYPED = str.maketrans({
    "\u2018": "'", "\u2019": "'", "\u2032": "'", "\u201c": '"', "\u201d": '"', "\u2033": '"',
    "\u2013": "-", "\u2014": "-", "\u00d7": "x", "\u2044": "/", "\u2026": "...",
})  # fmt: skip
_NOT_SLUG = re.compile(r"[^a-z0-9]+")
# Names that Windows keeps for devices, whatever their ending.
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}
)


def _escape(char: str) -> str:
    code = ord(char)
    if code < 0x100:  # noqa: PLR2004 - two hex digits hold it
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"  # noqa: PLR2004


def visible(text: str, *, lines: bool = False) -> str:
    r"""Return text with every character that a terminal would obey or hide written out.

    Args:
        text: anything, from anywhere; lone surrogates are fine.
        lines: keep line feeds, for notes of several lines.

    Returns:
        Text without controls, formats, surrogates, private and unassigned characters: ESC
        becomes ``\x1b``, a right-to-left override becomes ``\u202e``.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        char
        if (lines and char == "\n") or unicodedata.category(char) not in HIDDEN_CATEGORIES
        else _escape(char)
        for char in text
    )


def storable(text: str) -> str:
    """Return text that UTF-8 can hold: lone surrogates, as of odd file names, are written out."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return "".join(_escape(c) if "\ud800" <= c <= "\udfff" else c for c in text)
    return text


def slug(text: str, *, longest: int = 40) -> str:
    """Return an ASCII name of a-z, 0-9 and single hyphens that every file system takes.

    Returns:
        At least one character; ``x`` where nothing of the text is left.
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    name = _NOT_SLUG.sub("-", plain.lower()).strip("-")[:longest].strip("-")
    return f"{name}-x" if name in _DEVICES else name or "x"


def cell(text: str) -> str:
    """Return text for a CSV cell: visible, and never a formula when a spreadsheet opens it."""
    shown = visible(text, lines=True)
    harmless = not shown.startswith(_FORMULA_STARTS) or _NUMBER.fullmatch(shown)
    return shown if harmless else f"'{shown}"


def cells(text: str) -> int:
    """Return how many columns of a terminal a text takes, as Unicode's Annex 11 has it.

    Wide and full-width characters take two, marks that stand on another character none;
    what is ambiguous is taken as narrow.
    """
    if text.isascii():
        return len(text)
    return sum(_cells(char) for char in text)


def _cells(char: str) -> int:
    if unicodedata.category(char) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def fit(text: str, width: int, ellipsis: str = "\u2026") -> str:
    """Return text in at most `width` columns; what is cut ends in an ellipsis."""
    if cells(text) <= width:
        return text
    room = width - cells(ellipsis)
    if room < 0:
        return ellipsis[: max(width, 0)]
    kept, used = "", 0
    for char in text:
        used += _cells(char)
        if used > room:
            break
        kept += char
    return kept.rstrip() + ellipsis


def in_ascii(text: str) -> str:
    """Return text for a screen that draws ASCII alone: marks come off, the rest becomes `?`."""
    if text.isascii():
        return text
    plain = (unicodedata.normalize("NFKD", char) for char in text.translate(_AS_TYPED))
    bare = [c for one in plain for c in one.translate(_AS_TYPED) if not unicodedata.combining(c)]
    return "".join(c if c.isascii() else "?" for c in bare)
