"""Does a job lie in a folder that another program copies to other machines as it pleases?

Such a program can take a half-written file, or put an older one back over it. The names are those
of the folders that the usual programs of that kind make; their markers, where they leave any.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

# What a folder is called, in small letters; nothing more is known than that it is one of these.
_NAMES = frozenset({
    "onedrive", "dropbox", "google drive", "googledrive", "my drive", "icloud drive",
    "icloudrive", "mobile documents", "nextcloud", "owncloud", "box sync", "pcloud drive",
    "pclouddrive", "mega", "megasync", "syncthing", "sync", "seafile", "tresorit", "proton drive",
})  # fmt: skip
# Those that put a name behind their own: of a company, a person, an account.
_NAMED_ON = ("onedrive", "dropbox", "google drive", "nextcloud", "owncloud")
_MARKERS = (".stfolder", ".sync", ".dropbox", ".nextcloudsync.log", ".owncloudsync.log")
_VARIABLES = ("OneDrive", "OneDriveCommercial", "OneDriveConsumer")


def _named(folder: Path) -> bool:
    name = folder.name.lower()
    return name in _NAMES or any(name.startswith((f"{n} ", f"{n}-")) for n in _NAMED_ON)


def _marked(folder: Path) -> bool:
    with suppress(OSError):  # a folder above may be closed to us
        return any((folder / marker).exists() for marker in _MARKERS)
    return False


def synced_folder(path: Path) -> Path | None:
    """Return the folder above a file that another program seems to synchronise, or None."""
    told = {Path(os.environ[name]) for name in _VARIABLES if os.environ.get(name)}
    for folder in path.absolute().parents:
        if folder in told or _named(folder) or _marked(folder):
            return folder
    return None
