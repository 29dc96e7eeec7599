"""Which jobs were opened on this laptop: to offer them again, no part of any record."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from siltline import config, times

NAME = "recent-jobs.json"
MOST = 20


class Opened(Struct, frozen=True):
    """A job that was opened: its file, its house, when that was (RFC 3339)."""

    path: Path
    house: str
    at: str

    @property
    def there(self) -> bool:
        """Tell whether the file is there now."""
        try:
            return self.path.is_file()
        except (OSError, ValueError):
            return False


def recent() -> list[Opened]:
    """Return the jobs that were opened, the newest first."""
    try:
        found = json.loads(config.kept(NAME) or "[]")
    except (ValueError, RecursionError):
        return []
    listed = [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []
    opened = [
        Opened(Path(one["path"]), one["house"], one["at"])
        for one in listed
        if all(isinstance(one.get(key), str) for key in ("path", "house", "at"))
    ]
    return opened[:MOST]


def remember(path: Path, house: str, now: datetime) -> None:
    """Keep that a job was opened, where the laptop lets that be written."""
    here = path.absolute()
    others = [one for one in recent() if one.path != here]
    listed = [Opened(here, house, times.written(now)), *others][:MOST]
    told = [{"path": str(one.path), "house": one.house, "at": one.at} for one in listed]
    config.keep(NAME, json.dumps(told))
