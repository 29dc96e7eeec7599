"""Where the second copy of a job lies: a setting of this laptop, by the job's first entry."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.json import decode

from siltline import config
from siltline.errors import WrongUse
from siltline.record import Record
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.record.copying import SecondCopy

_SETTING = "second-copies.json"


def _root(record: Record) -> str:
    return next((event.id for event in record.events if not event.parents), "")


def _all() -> dict[str, dict[str, str]]:
    """Return first entry -> {folder, upto}: where, and the newest entry known to be there."""
    try:
        found = decode((config.settings_folder() / _SETTING).read_bytes())
    except (OSError, ValueError):
        return {}
    items = found.items() if isinstance(found, dict) else ()
    return {root: told for root, told in items if isinstance(told, dict) and "folder" in told}


def _keep(record: Record, told: dict[str, str] | None) -> None:
    import json  # noqa: PLC0415 - no first paint needs it

    found = _all()
    found.pop(_root(record), None)
    if told is not None:
        found[_root(record)] = told
    config.keep(_SETTING, json.dumps(found, indent=1, sort_keys=True))


def is_copy(record: Record) -> bool:
    """Tell whether an open record is itself the second copy of a job."""
    told = _all().get(_root(record))
    return told is not None and Path(told["folder"]).absolute() == record.path.absolute().parent


def second_copy(record: Record) -> SecondCopy | None:
    """Return what keeps the second copy of an open record, or None where it has none."""
    told = _all().get(_root(record))
    if told is None or is_copy(record):  # the copy itself is open, where the job is lost
        return None
    # joining and hashing: not needed to open a job that has no second copy
    from siltline.record.copying import SecondCopy  # noqa: PLC0415

    return SecondCopy(record, Path(told["folder"]) / record.path.name, told.get("upto"))


def brought(copy: SecondCopy) -> None:
    """Remember how far a second copy was brought, to tell later how far it is behind."""
    told = {"folder": str(copy.path.parent)}
    _keep(copy.record, {**told, "upto": copy.upto} if copy.upto else told)


def choose(record: Record, folder: Path | None) -> None:
    """Keep the second copy of a job in a folder from now on, or nowhere.

    Raises:
        WrongUse: no such folder, or it is the job's own.
    """
    if folder is None:
        _keep(record, None)
        return
    whole = folder.absolute()
    if not whole.is_dir():
        raise WrongUse(say("copy.no-folder", folder=folder))
    if whole.resolve() == record.path.absolute().parent.resolve():
        raise WrongUse(say("copy.same-folder", folder=folder))
    _keep(record, {"folder": str(whole)})
