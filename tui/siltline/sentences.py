"""Every sentence that people see, by its key, from one catalogue for each language.

A catalogue is data (`catalogue/en.json`, `catalogue/es.json`). English has every sentence; where
another language lacks one, English stands in. A value that is put into a sentence passes
`visible` on the way: this is the door that text from outside goes through.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache

from siltline.text import visible

BASE = "en"
# Neither pathlib nor a quicker reader of JSON: what `--help` says is all that it imports them for.
_FOLDER = os.path.join(os.path.dirname(__file__), "catalogue")  # noqa: PTH118, PTH120
_END = ".json"
_spoken = BASE  # what `say` speaks; a screen sets it, commands stay with the base
# Whether what is said now goes into the record or the claim. It holds for one thread alone: a
# claim is written in another one than the screen speaks in.
_kept: ContextVar[bool] = ContextVar("_kept", default=False)


@cache
def catalogue(language: str = BASE) -> dict[str, str | dict[str, str]]:
    """Return key -> sentence, or key -> {one, other} where a count `n` decides."""
    with open(f"{_FOLDER}/{language}{_END}", "rb") as file:  # noqa: PTH123
        found: dict[str, str | dict[str, str]] = json.load(file)
    return found


def languages() -> list[str]:
    """Return the languages that have a catalogue, the base first."""
    known = sorted(name.removesuffix(_END) for name in os.listdir(_FOLDER) if name.endswith(_END))  # noqa: PTH208
    return [BASE, *(one for one in known if one != BASE)]


def speak(language: str) -> str:
    """Speak a language from here on; return the one whose catalogue is used.

    Args:
        language: as `es`, `es-MX` or `es_MX.UTF-8`; one without a catalogue is spoken as English.
    """
    global _spoken  # noqa: PLW0603 - one person sits before one screen
    wanted = language.replace("_", "-").partition("-")[0].lower()
    _spoken = wanted if wanted in languages() else BASE
    return _spoken


@contextmanager
def in_base() -> Iterator[None]:
    """Speak the base language meanwhile, in this thread: for what is kept and read elsewhere."""
    token = _kept.set(True)
    try:
        yield
    finally:
        _kept.reset(token)


def say(key: str, /, **values: object) -> str:
    """Return the sentence of that key with its values made visible and put in.

    Args:
        key: a key of the catalogue.
        values: what the sentence names; `n` chooses between singular and plural.

    Raises:
        KeyError: no such sentence, or a value is missing. A mistake of ours, not of a user.
    """
    sentence = catalogue(BASE if _kept.get() else _spoken).get(key) or catalogue()[key]
    if not isinstance(sentence, str):
        sentence = sentence["one" if values["n"] == 1 else "other"]
    return sentence.format_map({name: visible(str(value)) for name, value in values.items()})


@cache
def _keys_of(family: str) -> dict[str, str]:
    """Return sentence -> key, in every language, of a family of sentences that name nothing."""
    return {
        sentence: key
        for language in reversed(languages())
        for key, sentence in catalogue(language).items()
        if key.startswith(family) and isinstance(sentence, str)
    }


def retold(sentence: str, family: str) -> str:
    """Return a sentence of a family in the language spoken now; another text as it is.

    For what was said once and is kept, as the names of keys in a class of Textual.
    """
    key = _keys_of(family).get(sentence)
    now = catalogue(_spoken).get(key) or catalogue()[key] if key else sentence
    return now if isinstance(now, str) else sentence
