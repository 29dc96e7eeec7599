"""Opens a photo in the system's viewer, from a copy of its bytes in a private folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from siltline.errors import NotNow
from siltline.sentences import say

# Pillow's name of a format -> the ending of its file
_ENDINGS = {"JPEG": "jpg", "MPO": "jpg", "PNG": "png", "TIFF": "tif", "HEIF": "heic"}
_OPENERS = {"darwin": "open"}  # and xdg-open elsewhere; Windows opens by a call of its own
_DISPLAYS = ("DISPLAY", "WAYLAND_DISPLAY")


def ending(form: object) -> str:
    """Return the ending of a photo's file by its format; `bin` where that is not known."""
    return _ENDINGS.get(str(form), "bin")


def opener(platform: str, environ: Mapping[str, str]) -> str:
    """Return the program that opens a file on a system; "" where there is none.

    Args:
        platform: as `sys.platform` names it; not Windows.
        environ: tells whether there is a screen to open it on.
    """
    name = _OPENERS.get(platform, "xdg-open")
    seen = platform in _OPENERS or any(environ.get(display) for display in _DISPLAYS)
    return (shutil.which(name) or "") if seen else ""


def open_by_system(path: Path) -> None:
    """Open a file with the program that the system keeps for its kind; never by a shell.

    Raises:
        NotNow: there is no such program.
        OSError: it cannot be started.
    """
    if sys.platform == "win32":
        os.startfile(path)  # noqa: S606 - the system's own call for it
        return
    program = opener(sys.platform, os.environ)
    if not program:
        raise NotNow(say("photo.no-viewer"))
    nothing = subprocess.DEVNULL
    subprocess.Popen(
        [program, str(path)], stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True
    )


class Viewer:
    """Shows photos by the system; use it as a context, for the copies go at its end."""

    def __init__(self, opens: Callable[[Path], None] = open_by_system) -> None:
        """Take what opens a file."""
        self.opens = opens
        self._folder: Path | None = None

    def show(self, sha256: str, data: bytes, form: object) -> Path:
        """Write the bytes of a photo under a name of ours and open them; return where they lie.

        Raises:
            NotNow: the system has nothing to open it with, or it cannot be written or opened.
        """
        try:
            if self._folder is None:
                self._folder = Path(tempfile.mkdtemp(prefix="siltline-"))  # nobody else may read
            path = self._folder / f"photo-{sha256[:16]}.{ending(form)}"
            path.write_bytes(data)
            self.opens(path)
        except OSError as fault:
            raise NotNow(say("photo.not-opened", fault=fault.strerror or fault)) from fault
        return path

    def close(self) -> None:
        """Remove the copies; Windows keeps one that a viewer still holds open."""
        folder, self._folder = self._folder, None
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
