"""What can be told about a laptop's drives and clock, system by system, without rights."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

from msgspec import Struct

UNKNOWN = ""
_NETWORK = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afpfs", "webdav", "fuse.sshfs", "9p"}
# What GetDriveTypeW of Windows answers, as its header has it.
_WINDOWS_KINDS = {2: "removable", 3: "fixed", 4: "network", 5: "disc", 6: "memory"}


class Drive(Struct, frozen=True):
    """The drive that a folder lies on.

    Attributes:
        system: its file system, "" where it cannot be told.
        kind: fixed, removable, network, memory, or "".
        encrypted: yes, no or "" where it cannot be told without rights.
        free: bytes that can still be written.
        total: bytes it holds.
    """

    system: str
    kind: str
    encrypted: str
    free: int
    total: int


# Where Linux tells of its drives.
_MOUNTS = Path("/proc/self/mounts")
_BLOCKS = Path("/sys/class/block")


def _mount(folder: Path, mounts: Path) -> tuple[str, str]:
    """Return the device and the file system that a folder lies on (Linux)."""
    best = ("", "", "")
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return "", ""
    for line in lines.splitlines():
        device, point, system, *_ = line.split(" ")
        # proc(5): blanks, tabs, line ends and backslashes of a name as \040 and so on
        point = re.sub(r"\\([0-7]{3})", lambda found: chr(int(found[1], 8)), point)
        inside = folder == Path(point) or Path(point) in folder.parents
        if inside and len(point) >= len(best[1]):
            best = (device, point, system)
    return best[0], best[2]


def _linux(folder: Path, mounts: Path = _MOUNTS, blocks: Path = _BLOCKS) -> tuple[str, str, str]:
    device, system = _mount(folder, mounts)
    if system in _NETWORK:
        return system, "network", UNKNOWN
    if system in ("tmpfs", "ramfs"):
        return system, "memory", UNKNOWN
    name = Path(os.path.realpath(device)).name
    block = blocks / name
    crypt = _read(block / "dm" / "uuid").startswith("CRYPT-")
    whole = block.resolve().parent if (block / "partition").exists() else block.resolve()
    removable = _read(whole / "removable")
    kind = {"1": "removable", "0": "fixed"}.get(removable, UNKNOWN)
    return system, kind, "yes" if crypt else UNKNOWN


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return ""


def _windows(folder: Path) -> tuple[str, str, str]:
    import ctypes  # noqa: PLC0415 - only here

    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009 - other systems lack it
    name = ctypes.create_unicode_buffer(64)
    root = folder.anchor or str(folder)
    kernel.GetVolumeInformationW(root, None, 0, None, None, None, name, len(name))
    return name.value, _WINDOWS_KINDS.get(kernel.GetDriveTypeW(root), UNKNOWN), UNKNOWN


def _mac(folder: Path) -> tuple[str, str, str]:
    asked = subprocess.run(
        ["/usr/bin/fdesetup", "status"], capture_output=True, text=True, check=False, timeout=5
    )
    on = "yes" if "FileVault is On" in asked.stdout else UNKNOWN
    removable = folder.parts[:2] == ("/", "Volumes")
    return UNKNOWN, "removable" if removable else "fixed", UNKNOWN if removable else on


def drive(folder: Path) -> Drive:
    """Return what can be told of the drive that a folder lies on."""
    here = folder.absolute()
    ask = {"linux": _linux, "win32": _windows, "darwin": _mac}.get(sys.platform)
    system = kind = encrypted = UNKNOWN
    if ask is not None:
        try:
            system, kind, encrypted = ask(here)
        except (OSError, subprocess.SubprocessError, AttributeError, ValueError):
            system = kind = encrypted = UNKNOWN
    usage = shutil.disk_usage(here)
    return Drive(system, kind, encrypted, usage.free, usage.total)
