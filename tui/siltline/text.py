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
