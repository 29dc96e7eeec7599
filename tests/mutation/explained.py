"""The survivors that somebody looked at: why no test can, or need, notice them."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

TABLE = Path(__file__).with_name("explained.toml")


@cache
def explained() -> dict[str, str]:
    """Return the key of a mutant -> why it survives."""
    if not TABLE.exists():
        return {}
    groups = tomllib.loads(TABLE.read_text(encoding="utf-8"))["group"]
    return {key: group["why"] for group in groups for key in group["mutants"]}
