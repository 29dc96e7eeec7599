"""Real photos for tests, from published packages: pinned by version and hash, never committed.

The archives come through `pip` and `npm`, so that a mirror set up for them works here too; an
archive that was put into the folder by hand is as good. Only the members that are listed here
are read out of an archive, and what is not byte for byte what is listed is never used.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / ".real-photos"
PATIENCE_S = 300


@dataclass(frozen=True, slots=True)
class Archive:
    """A published package: its file, the client that brings it, its name there, its hash."""

    file: str
    client: str
    wanted: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Member:
    """A photo inside an archive."""

    archive: str
    path: str
    sha256: str


ARCHIVES = {
    # BSD-3-Clause
    "pillow_heif": Archive(
        "pillow_heif-1.8.1.tar.gz",
        "pip",
        "pillow_heif==1.8.1",
        "521ebffb8a181d56c3904e5a61f20903edee0d9d3275967b8fb345f866215c06",
    ),
    # MIT
    "piexif": Archive(
        "piexif-1.1.3.zip",
        "pip",
        "piexif==1.1.3",
        "83cb35c606bf3a1ea1a8f0a25cb42cf17e24353fd82e87ae3884e74a302a5f1b",
    ),
    "exif": Archive(
        "exif-0.6.0.tgz",
        "npm",
        "exif@0.6.0",
        "9aa1e1576ea372566e8f7088f81798cb0ebcc1431973c58111a5b59785821733",
    ),
    # MIT
    "jpeg-exif": Archive(
        "jpeg-exif-1.1.4.tgz",
        "npm",
        "jpeg-exif@1.1.4",
        "a24f344926937e91628690dc0893e38682e2ac2bc3b530ee2ccc7f1ebb2a6e41",
    ),
}
_INSIDE = {
    "pillow_heif": "pillow_heif-1.8.1/tests/images/",
    "piexif": "piexif-1.1.3/tests/images/",
    "exif": "package/test/",
    "jpeg-exif": "package/test/",
}
_LISTED = """\
pillow_heif heif_other/pug.heic 1ddce96766efbfa0f6bdf634bdab26bdeff831393df8d67f4cdc7b7a7afebc67
pillow_heif heif_other/arrow.heic 73f604d7353df4848505a1f45a5517f736857fe047372f95c2f3d671df92c22c
pillow_heif heif_other/cat.hif 3a396202a8bb50c5cccbfd89d3cf6ef0a0fa47794afd785693d882edc2eb30b7
pillow_heif heif_special/xiaomi.heic \
cb5c7d9131931df4abd9bfe1c3de47617b68d1fae54a1c367fc5981ffea6aeed
pillow_heif heif_special/aux_YCbCr.heic \
8deae321c3b6424f97ab5d57d022e0a79ac35278149c0de7796261b8981f50b0
pillow_heif heif_special/200MP.heic 4dd7209010986a50b1049e54de47ae2188faef6d548213a9799e11fae1a317c6
pillow_heif heif_corrupted/corrupted.heic \
a3a2cc3c5367fb61e02f52330cab9568c469cc8e08f909ad24b7993add1f630e
pillow_heif heif_corrupted/corrupted.hif \
1d4476c491a56ab3df75194a632f44495edc0a50d104c80a1c9ab8d2ae6a30a3
pillow_heif heif_corrupted/empty.heic \
e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855
exif sony-alpha-6000.jpg 46cdfa450f33ed8c4769c639c969f96b19f6474f14a64cb021dda0279090bcad
exif short-ascii-II.jpg fdf1b294459b8ef63aa2f3865143dffb5f766c8ae10de3d5df1bc5dd3d01e705
exif evil1.jpg b4f262f656f90f72130b8fe0dff037d42070e9112ac3cd377fa9e3e0f121adce
exif test1.jpg 0c43bd49d953769e74563e9371e2fcb7b894f121848c7018333cf796cea949b4
jpeg-exif IMG_0001.JPG 3b41ff6b8a43094835839ab04bea05c5068170e432db04e3a0a91e21783f7276
piexif 01.jpg 360eb3ce66533146584aa66576130c5ab98c763b7c7f51898892e7eaa7dcab49
piexif 01.tif 58b11b46010c14e4340480e41215aaa5314f55191a65790f76a139ba7dacdb77
piexif 02.jpg 2decffacd67a53482a43bfa4df36f9119f92830d8cb6e6f42aa090c1ccaf6c31
piexif L01.jpg 2251d491de7242891aa776b149c47658ccd355c293745a4a56fb84cfcd754efd
piexif L02.jpg da4354e84a33fa57d5de07659251540623ed7e1ba06deda0c5d798cfbe21e72b
piexif large.jpg 05b008efbbc727f46b2adc98c82de2966af605926488d699bd61249d58d36131
piexif noapp01.jpg 6894027dc76aa04c412c2fb67f42b3cef270474e5f43c454a39dd13e630caeb7
piexif noexif.jpg a302d68cd6279fbccaecf6d9d519f86f1d48618943f5d308269f06414f116545
piexif notjpeg.jpg e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855
piexif r_canon.jpg a34396c60d3d4031dba43d362fbdc4bc00fdcba9d790404ec0b8142c23f46cec
piexif r_casio.jpg 866ba80fb7bf6f0449c50e320e2f394cbbe5f5fea30ef2086bed89498fd1f195
piexif r_olympus.jpg 3d2a6eeebd694dbe0fb3854abc191eea2f32226da4914daa17572fee93df1002
piexif r_pana.jpg 5e6b13b6c27ef2c5c2e635711b7a435e91b4a6a9eb8c67047063f00d28c8bf87
piexif r_pen.jpg 1027d4ab14ac58b0e049c52f7a04c856f26553b591ecc4fe1ac59a9f8b2e7064
piexif r_ricoh.jpg 1f90ebe39c2b6edce460d8347623bb19e747f37637e0198ed49edd4b56e7ef40
piexif r_sigma.jpg d0fa563625781a90e1fc9a567c669533dbc1a7e2b68aea7b7ee17426e4e4a87c
piexif r_sony.jpg b18f195ae3ac02b34ec58051f579d934d12361eb558ed22a96435cf6fcd18a12
"""
PHOTOS = {
    path.rsplit("/", 1)[-1]: Member(archive, _INSIDE[archive] + path, sha256)
    for archive, path, sha256 in map(str.split, _LISTED.splitlines())
}


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _is(path: Path, sha256: str) -> bool:
    """Tell whether a file is there and is the one that is meant."""
    try:
        return _digest(path.read_bytes()) == sha256
    except OSError:
        return False


def _command(archive: Archive, folder: Path) -> list[str]:
    """Return the command that brings an archive into a folder."""
    if archive.client == "npm":
        npm = shutil.which("npm")
        if npm is None:
            raise FileNotFoundError("npm is not installed")
        return [npm, "pack", "--loglevel=error", "--ignore-scripts", archive.wanted]
    listed = folder / "wanted.txt"
    # With a hash given, pip opens no archive that is another.
    listed.write_text(f"{archive.wanted} --hash=sha256:{archive.sha256}\n", encoding="utf-8")
    package = archive.wanted.partition("==")[0]
    pip = [sys.executable, "-m", "pip", "download", "-qq", "--retries", "1", "--no-deps"]
    return [*pip, "--no-binary", package, "-r", str(listed)]


def _brought(archive: Archive, folder: Path) -> Path:
    """Return where an archive lies: put there by hand, or fetched into `folder` now."""
    by_hand = FOLDER / archive.file
    if by_hand.exists():
        return by_hand
    ran = subprocess.run(
        _command(archive, folder), cwd=folder, check=False, capture_output=True, timeout=PATIENCE_S
    )
    if ran.returncode != 0:
        lines = ran.stderr.decode("utf-8", "replace").splitlines()
        told = [line for line in lines if line.lower().startswith(("error", "npm err"))]
        raise OSError(told[0] if told else f"{archive.client} ended with {ran.returncode}")
    return folder / archive.file


def _tar_members(path: Path, wanted: set[str]) -> Iterator[tuple[str, bytes]]:
    with tarfile.open(path) as archive:
        for entry in archive:
            content = archive.extractfile(entry) if entry.name in wanted else None
            if content is not None:
                yield entry.name, content.read()


def _zip_members(path: Path, wanted: set[str]) -> Iterator[tuple[str, bytes]]:
    with zipfile.ZipFile(path) as archive:
        for name in wanted.intersection(archive.namelist()):
            yield name, archive.read(name)


_OPENERS: dict[str, Callable[[Path, set[str]], Iterator[tuple[str, bytes]]]] = {
    ".gz": _tar_members,
    ".tgz": _tar_members,
    ".zip": _zip_members,
}


def _put(path: Path, data: bytes) -> None:
    """Write a file in one move, so that tests that run side by side never see half of it."""
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    part.write_bytes(data)
    try:
        part.replace(path)
    except PermissionError:  # Windows, where another test reads the very same file just now
        part.unlink()


def _unpack(name: str) -> None:
    """Fetch one archive and put its photos into the folder.

    Raises:
        OSError, ValueError, subprocess.SubprocessError: it cannot be had, or is another.
    """
    archive = ARCHIVES[name]
    wanted = {m.path: (file, m.sha256) for file, m in PHOTOS.items() if m.archive == name}
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        path = _brought(archive, Path(folder))
        if not _is(path, archive.sha256):
            raise ValueError(f"{archive.file} has not the hash that is listed")
        for member, data in _OPENERS[path.suffix](path, set(wanted)):
            file, sha256 = wanted[member]
            if _digest(data) == sha256:
                _put(FOLDER / file, data)


@cache
def _missing(name: str) -> str:
    """Return why the photos of an archive cannot be had; "" where all of them are there."""
    files = {file: m for file, m in PHOTOS.items() if m.archive == name}
    if all(_is(FOLDER / file, m.sha256) for file, m in files.items()):
        return ""
    fault: Exception | None = None
    try:
        _unpack(name)
    except (OSError, ValueError, subprocess.SubprocessError, tarfile.TarError) as error:
        fault = error
    absent = [file for file, m in files.items() if not _is(FOLDER / file, m.sha256)]
    if not absent:
        return ""
    because = fault or f"{', '.join(absent)} not in it"
    return f"real photos of {ARCHIVES[name].wanted} could not be had: {because}"


def available() -> str:
    """Fetch what is missing; return why some photos cannot be had, "" where all can."""
    return "; ".join(filter(None, map(_missing, ARCHIVES)))


def real_photo(name: str) -> Path:
    """Return where a real photo lies; fetch it first if need be.

    Where it cannot be had the test that asked is skipped, under CI it fails.
    """
    because = _missing(PHOTOS[name].archive)
    if because:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(because)
    return FOLDER / name
