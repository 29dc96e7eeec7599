"""What this laptop knows about itself: its device id, the name last typed, language and look."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

DEVICE_BYTES = 8


def settings_folder() -> Path:
    """Return the folder of the settings; SILTLINE_HOME moves it, as tests and tours do."""
    moved = os.environ.get("SILTLINE_HOME")
    if moved:
        from pathlib import Path  # noqa: PLC0415 - 4 ms, which no help needs

        return Path(moved)
    # 20 ms to import, and wanted only where something is written
    from platformdirs import user_config_path  # noqa: PLC0415

    return user_config_path("siltline", appauthor=False)


def command() -> str:
    """Return how a person calls this program here; run.py says how it was called itself."""
    return os.environ.get("SILTLINE_COMMAND") or "siltline"


def kept(name: str) -> str | None:
    """Return a setting, or None where none is kept."""
    try:
        return (settings_folder() / name).read_text(encoding="utf-8").strip() or None
    except (OSError, UnicodeDecodeError):
        return None


def keep(name: str, value: str) -> None:
    """Keep a setting; a laptop that lets nothing be written still works, it only forgets."""
    try:
        settings_folder().mkdir(parents=True, exist_ok=True)
        (settings_folder() / name).write_text(value + "\n", encoding="utf-8")
    except OSError:
        return


def _random_hex(count: int) -> str:
    return os.urandom(count).hex()


def device(random_hex: Callable[[int], str] = _random_hex) -> str:
    """Return this laptop's id: 16 hex digits, made at first use, no name in it."""
    known = kept("device")
    if known and len(known) == 2 * DEVICE_BYTES and all(c in "0123456789abcdef" for c in known):
        return known
    made = random_hex(DEVICE_BYTES)
    keep("device", made)
    return made


def language() -> str:
    """Return the language in which rules are to speak, where they speak it; "" for the base."""
    return os.environ.get("SILTLINE_LANGUAGE") or kept("language") or ""


def theme() -> str:
    """Return the look that was chosen for the screen; "" where none was."""
    return os.environ.get("SILTLINE_THEME") or kept("theme") or ""


def person() -> str | None:
    """Return the name that was last typed on this laptop, to offer it again."""
    return kept("person")


def remember_person(name: str) -> None:
    """Keep a name to offer it again."""
    keep("person", name)
