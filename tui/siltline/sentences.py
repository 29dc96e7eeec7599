"""Every sentence that people see, by its key, from one catalogue.

The catalogue is data (`catalogue/en.json`), so a second language is a second file. A value
that is put into a sentence passes `visible` on the way: this is the door that text from
outside goes through.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from siltline.text import visible

_FOLDER = Path(__file__).with_name("catalogue")


@cache
def catalogue(language: str = "en") -> dict[str, str | dict[str, str]]:
    """Return key -> sentence, or key -> {one, other} where a count `n` decides."""
    text = (_FOLDER / f"{language}.json").read_text(encoding="utf-8")
    found: dict[str, str | dict[str, str]] = json.loads(text)
    return found


def say(key: str, /, **values: object) -> str:
    """Return the sentence of that key with its values made visible and put in.

    Args:
        key: a key of the catalogue.
        values: what the sentence names; `n` chooses between singular and plural.

    Raises:
        KeyError: no such sentence, or a value is missing. A mistake of ours, not of a user.
    """
    sentence = catalogue()[key]
    if not isinstance(sentence, str):
        sentence = sentence["one" if values["n"] == 1 else "other"]
    return sentence.format_map({name: visible(str(value)) for name, value in values.items()})
