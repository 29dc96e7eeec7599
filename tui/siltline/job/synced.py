"""Does a job lie in a folder that another program copies to other machines as it pleases?

Such a program can take a half-written file, or put an older one back over it. The names are those
of the folders that the usual programs of that kind make; their markers, where they leave any.
"""

from __future__ import annotations

import os
from pathlib import Path

# what a folder is called, small letters -> nothing more is known than that it is one of these
_NAMES = (
    "onedrive", "dropbox", "google drive", "googledrive", "my drive", "icloud drive",
    "icloudrive", "mobile documents", "nextcloud", "owncloud", "box sync", "pcloud drive",
    "pclouddrive", "mega", "megasync", "syncthing", "sync", "seafile", "tresorit", "proton drive",
)  # fmt: skip
_MARKERS = (".stfolder", ".sync", ".dropbox", ".nextcloudsync.log", ".owncloudsync.log")
_VARIABLES = ("OneDrive", "OneDriveCommercial", "OneDriveConsumer")


def _named(folder: Path) -> bool:
    name = folder.name.lower()
    return any(name == known or name.startswith((f"{known} ", f"{known}-")) for known in _NAMES)


def _marked(folder: Path) -> bool:
    return any((folder / marker).exists() for marker in _MARKERS)


def synced_folder(path: Path) -> Path | None:
    """Return the folder above a file that another program seems to synchronise, or None."""
    told = {os.environ[name] for name in _VARIABLES if os.environ.get(name)}
    for folder in path.absolute().parents:
        if str(folder) in told or _named(folder) or _marked(folder):
            return folder
    return None
