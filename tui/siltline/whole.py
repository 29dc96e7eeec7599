"""Folders and files that appear whole under their name or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def is_taken(folder: Path) -> bool:
    """Tell whether something stands under a name that an empty folder may not replace."""
    return folder.exists() and (not folder.is_dir() or any(folder.iterdir()))


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """Give a folder beside `folder` to fill; it gets its name when the block ends well.

    Whatever goes wrong, a kill apart, leaves neither the name nor the half-made folder.

    Raises:
        FileExistsError: the name is taken.
        OSError: it cannot be made, filled or moved.
    """
    if is_taken(folder):
        raise FileExistsError(folder)
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    try:
        part.mkdir(parents=True)
        yield part
        if folder.exists():
            folder.rmdir()  # empty: seen above
        part.rename(folder)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def whole_file(path: Path, data: bytes) -> None:
    """Write a file that appears whole under its name or not at all; one that is there is replaced.

    Raises:
        OSError: it cannot be written; what stood under the name stands there still.
    """
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with part.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
