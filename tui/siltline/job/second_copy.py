"""Where the second copy of a job lies: a setting of this laptop, by the job's first entry."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from siltline import config
from siltline.errors import WrongUse
from siltline.record import Record
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.record.copying import SecondCopy

_SETTING = "second-copies.json"


def _root(record: Record) -> str:
    return next((event.id for event in record.events if not event.parents), "")


def _all() -> dict[str, str]:
    try:
        found = json.loads((config.settings_folder() / _SETTING).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def folder_of(record: Record) -> Path | None:
    """Return the folder of a job's second copy on this laptop, or None where it has none."""
    folder = _all().get(_root(record))
    return Path(folder) if isinstance(folder, str) else None


def second_copy(record: Record) -> SecondCopy | None:
    """Return what keeps the second copy of an open record, or None where it has none."""
    folder = folder_of(record)
    if folder is None:
        return None
    # joining and hashing: not needed to open a job that has no second copy
    from siltline.record.copying import SecondCopy  # noqa: PLC0415

    return SecondCopy(record, folder / record.path.name)


def choose(record: Record, folder: Path | None) -> None:
    """Keep the second copy of a job in a folder from now on, or nowhere.

    Raises:
        WrongUse: no such folder, or it is the job's own.
    """
    found = _all()
    if folder is None:
        found.pop(_root(record), None)
    else:
        whole = folder.absolute()
        if not whole.is_dir():
            raise WrongUse(say("copy.no-folder", folder=folder))
        if whole.resolve() == record.path.absolute().parent.resolve():
            raise WrongUse(say("copy.same-folder", folder=folder))
        found[_root(record)] = str(whole)
    config.keep(_SETTING, json.dumps(found, indent=1, sort_keys=True))
