"""Files that are meant to hurt cost at most their limit of time and memory, and a sentence."""

from __future__ import annotations

import ctypes
import os
import socket
import struct
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from siltline.job import Job
from siltline.job.add import add
from siltline.job.pictures import describe
from siltline.job.sketching import draw_missing
from siltline.photos import sources
from siltline.photos.limits import MOST_BYTES, hold_memory, job_limit
from siltline.photos.reader import PATIENCE_S, PhotoReader
from siltline.photos.whole import cut_off
from siltline.record.audit import faults
from siltline.sentences import say
from support.hostile import (
    PLAIN,
    TUI,
    endless_note,
    endless_scans,
    looping_exif,
    png_bomb,
    saved,
    started_with,
    tiff_bomb,
    with_exif,
)
from support.pictures import photo, picture
from support.real_photos import real_photo

SLACK_S = 3.0  # a worker is started anew; the machine has other things to do
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="memory is looked up as Linux tells it")
POSIX = pytest.mark.skipif(os.name == "nt", reason="Windows has no such files")


@pytest.fixture
def reader() -> Iterator[PhotoReader]:
    with PhotoReader() as one:
        yield one


def peak(reader: PhotoReader) -> int:
    """Return the most bytes that a reader's worker held so far."""
    assert reader._process is not None
    status = Path(f"/proc/{reader._process.pid}/status").read_text(encoding="ascii")
    (line,) = [line for line in status.splitlines() if line.startswith("VmHWM")]
    return int(line.split()[1]) * 1024


def sketched(reader: PhotoReader, data: bytes) -> tuple[dict[str, Any], bytes]:
    reader.begin_sketch(data)
    return reader.finish_sketch()


def in_time(ask: Callable[[], Any], patience_s: float = PATIENCE_S) -> Any:
    started = time.monotonic()
    answer = ask()
    assert time.monotonic() - started < patience_s + SLACK_S
    return answer


@pytest.mark.parametrize("bomb", [png_bomb, tiff_bomb])
def test_a_picture_of_more_pixels_than_any_camera_makes_is_no_picture(
    reader: PhotoReader, bomb: Callable[[int], bytes]
) -> None:
    data = bomb(60_000)
    assert len(data) < 1_000_000
    assert in_time(lambda: reader.read(data)) == {}
    assert in_time(lambda: sketched(reader, data)) == ({}, b"")
    assert in_time(lambda: reader.cells(data, 80, 48)) == (0, 0, b"")
    assert in_time(lambda: reader.tags(data)) == []
    assert reader.read(picture())["make"] == "Invented"


@LINUX
@pytest.mark.parametrize("bomb", [png_bomb, tiff_bomb])
def test_a_picture_of_very_many_pixels_is_read_without_unpacking_it_and_not_drawn(
    reader: PhotoReader, bomb: Callable[[int], bytes]
) -> None:
    data = bomb(24_000)
    facts = in_time(lambda: reader.read(data))
    assert (facts["width"], facts["height"]) == (24_000, 24_000)
    assert in_time(lambda: sketched(reader, data)) == ({}, b"")
    assert in_time(lambda: reader.tags(data)) is not None
    assert peak(reader) < 150_000_000
    in_time(lambda: reader.cells(data, 80, 48))
    assert reader.read(picture())["make"] == "Invented"
    assert peak(reader) < MOST_BYTES


def test_exif_that_stands_behind_the_pixels_of_a_png_is_read(reader: PhotoReader) -> None:
    exif = Image.Exif()
    exif[0x010F] = "Invented"
    whole = saved(Image.effect_noise((64, 48), 90), "PNG", exif=exif)
    at = whole.index(b"eXIf") - 4
    end = at + 12 + struct.unpack_from(">I", whole, at)[0]
    moved = whole[:at] + whole[end:-12] + whole[at:end] + whole[-12:]  # IEND takes 12 bytes
    assert moved != whole
    assert reader.read(moved)["make"] == "Invented"
    assert ("Image", "Make", "Invented") in reader.tags(moved)


def test_endless_scans_cost_no_time_at_all_when_a_photo_is_drawn_small(
    job: Job, tmp_path: Path
) -> None:
    path = tmp_path / "scans.jpg"
    path.write_bytes(endless_scans())
    started = time.monotonic()
    assert add(job, [path]).counts()["taken"] == 1
    assert draw_missing(job) == 1
    assert time.monotonic() - started < PATIENCE_S + SLACK_S
    (shown,) = describe(job)
    assert shown["notes"] == [say("sign.undrawn")]


def test_a_makers_note_that_says_it_is_endless_costs_nothing(reader: PhotoReader) -> None:
    data = with_exif(endless_note(), PLAIN)
    facts = in_time(lambda: reader.read(data), 0)
    assert (facts["format"], facts["faults"]) == ("JPEG", {})
    in_time(lambda: reader.tags(data), 0)


def test_a_reader_that_unfolds_that_note_would_be_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """So the file is what it is meant to be, and its limit holds."""
    unfolding = "import io, exifread\nworker.second_reader = lambda data: "
    started_with(monkeypatch, unfolding + "exifread.process_file(io.BytesIO(data)) and {}")
    with PhotoReader() as reader:
        reader.read(PLAIN)
        reader.patience_s = 1.0
        facts = in_time(lambda: reader.read(with_exif(endless_note(), PLAIN)), 1.0)
    assert (facts["format"], facts["faults"]) == ("JPEG", {"second": "stopped"})


@pytest.mark.parametrize(("how", "exif"), list(looping_exif()))
def test_exif_that_leads_back_to_itself_ends(reader: PhotoReader, how: str, exif: bytes) -> None:
    data = with_exif(exif, PLAIN)
    assert in_time(lambda: reader.read(data), 0)["format"] == "JPEG", how
    assert in_time(lambda: sketched(reader, data), 0)[0]
    in_time(lambda: reader.tags(data), 0)
    assert in_time(lambda: reader.read(exif), 0) == {}  # as a TIFF of its own, without a picture


def test_boxes_without_end_are_not_all_looked_at() -> None:
    """Five million empty boxes behind those of a picture; all would take seconds."""
    picture_boxes = struct.pack(">I4s4sI", 16, b"ftyp", b"heic", 0)
    empty = struct.pack(">I4s", 8, b"free") * 5_000_000
    started = time.monotonic()
    assert not cut_off(picture_boxes + empty, "HEIF")
    assert time.monotonic() - started < 0.3
    assert cut_off(picture_boxes + struct.pack(">I4s", 100, b"mdat"), "HEIF")


# The libraries of a worker alone take a fifth of that.
HELD = (
    "from siltline.photos.limits import hold_memory\n"
    "worker.hold_memory = lambda: hold_memory(150_000_000)"
)


@LINUX
@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_a_picture_that_needs_more_memory_than_there_may_be_is_not_drawn_and_the_next_one_is(
    monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    data = saved(Image.new("RGB", (8_000, 6_500), "red"), kind, **LITTLE[kind])
    with PhotoReader() as reader:
        assert in_time(lambda: sketched(reader, data))[0]["bright"] == 76  # enough memory: drawn
    started_with(monkeypatch, HELD)
    with PhotoReader() as reader:
        assert in_time(lambda: reader.read(data))["width"] == 8_000
        assert in_time(lambda: sketched(reader, data)) == ({}, b"")
        assert reader.read(picture())["make"] == "Invented"
        assert sketched(reader, picture())[0]
        assert peak(reader) < 150_000_000


LITTLE: dict[str, dict[str, Any]] = {"PNG": {}, "TIFF": {"compression": "tiff_adobe_deflate"}}


@LINUX
@pytest.mark.real
def test_a_phone_picture_that_needs_more_memory_than_there_may_be_is_not_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = real_photo("200MP.heic").read_bytes()
    started_with(monkeypatch, HELD)
    with PhotoReader() as reader:
        assert in_time(lambda: reader.read(data))["make"] == "samsung"
        assert in_time(lambda: sketched(reader, data)) == ({}, b"")
        assert sketched(reader, picture())[0]


@LINUX
def test_a_worker_can_not_have_more_memory_than_its_limit() -> None:
    code = (
        f"import sys; sys.path.insert(0, {TUI!r})\n"
        "from siltline.photos.limits import hold_memory\n"
        "hold_memory(300_000_000)\n"
        "len(bytes(200_000_000))\n"
        "print('so much', flush=True)\n"
        "bytes(400_000_000)\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ran.stdout == "so much\n"
    assert "MemoryError" in ran.stderr


# Sizes and offsets of winnt.h for 64 bits, held by `_Static_assert` against the headers of
# mingw-w64 10 (x86_64-w64-mingw32-gcc): the whole, flags, process memory.
WHOLE, FLAGS, PROCESS_MEMORY = 144, 16, 112
JOB_OBJECT_LIMIT_PROCESS_MEMORY, EXTENDED_LIMIT_INFORMATION = 0x100, 9


@pytest.mark.skipif(sys.maxsize < 2**32, reason="the offsets are those of 64 bits")
def test_what_windows_is_told_has_the_layout_of_its_headers() -> None:
    told = job_limit(MOST_BYTES)
    assert len(told) == WHOLE
    assert struct.unpack_from("<I", told, FLAGS) == (JOB_OBJECT_LIMIT_PROCESS_MEMORY,)
    assert struct.unpack_from("<Q", told, PROCESS_MEMORY) == (MOST_BYTES,)
    rest = told[:FLAGS] + told[FLAGS + 4 : PROCESS_MEMORY] + told[PROCESS_MEMORY + 8 :]
    assert not any(rest)


class Kernel:
    """What of kernel32 is called, and with what."""

    def __init__(self, *, refuses: bool) -> None:
        self.calls: list[tuple[Any, ...]] = []
        for name, answer in {
            "CreateJobObjectW": 7,
            "GetCurrentProcess": -1,
            "SetInformationJobObject": 0 if refuses else 1,
            "AssignProcessToJobObject": 1,
        }.items():
            setattr(self, name, self._noting(name, answer))

    def _noting(self, name: str, answer: int) -> Callable[..., int]:
        def call(*given: Any) -> int:
            self.calls.append((name, *given))
            return answer

        return call


@pytest.mark.parametrize("refuses", [False, True])
def test_windows_is_asked_to_hold_this_very_process_once_it_took_the_limit(
    refuses: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    kernel = Kernel(refuses=refuses)
    monkeypatch.setattr(ctypes, "WinDLL", lambda _: kernel, raising=False)
    monkeypatch.setattr(sys, "platform", "win32")
    hold_memory(10**9)
    told = job_limit(10**9)
    assert kernel.calls[:2] == [
        ("CreateJobObjectW", None, None),
        ("SetInformationJobObject", 7, EXTENDED_LIMIT_INFORMATION, told, WHOLE),
    ]
    held = [("GetCurrentProcess",), ("AssignProcessToJobObject", 7, -1)]
    assert kernel.calls[2:] == ([] if refuses else held)


def growing(folder: Path) -> str:
    photo(folder, "growing.jpg", 1)
    return say("add.changing")


def shrinking(folder: Path) -> str:
    photo(folder, "shrinking.jpg", 2)
    return say("add.changing")


def nothing(folder: Path) -> str:
    (folder / "nothing.jpg").touch()
    return say("add.empty")


def pipe(folder: Path) -> str:
    os.mkfifo(folder / "pipe.jpg")
    return say("add.not-a-file")


def plug(folder: Path) -> str:
    """A socket; its name is short, since names of sockets hold 100 bytes."""
    here = Path.cwd()
    os.chdir(folder)
    try:
        with socket.socket(socket.AF_UNIX) as listener:
            listener.bind("plug.jpg")
    finally:
        os.chdir(here)
    return say("add.not-a-file")


def link(folder: Path) -> str:
    (folder / "link.jpg").symlink_to("/etc/passwd")
    return say("add.link")


def folder_in_itself(folder: Path) -> str:
    (folder / "again").symlink_to(folder, target_is_directory=True)
    return say("add.link")


def bomb(folder: Path) -> str:
    (folder / "bomb.png").write_bytes(png_bomb(60_000))
    return say("add.no-picture")


def sparse(folder: Path) -> str:
    (folder / "sparse.jpg").touch()
    os.truncate(folder / "sparse.jpg", 50_000_000_000)
    return say("add.too-large", limit=400)


HOSTILE = (
    growing, shrinking, nothing, pipe, plug, link, folder_in_itself, bomb, sparse
)  # fmt: skip


def meanwhile(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let files change right after the first look at them, as while a phone still writes."""
    real, looked = os.fstat, set[Path]()

    def fstat(handle: int) -> os.stat_result:
        told = real(handle)
        name = Path(f"/proc/self/fd/{handle}").readlink()
        if name not in looked and name.name == "growing.jpg":
            with name.open("ab") as file:
                file.write(b"and more")
        if name not in looked and name.name == "shrinking.jpg":
            os.truncate(name, 100)
        looked.add(name)
        return told

    monkeypatch.setattr(sources.os, "fstat", fstat)


@LINUX
def test_a_card_full_of_traps_costs_a_sentence_each_and_the_photos_come_in(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    card = tmp_path / "card"
    first, last = photo(card, "a.jpg", 8), photo(card, "z.jpg", 9)
    because = sorted(trap(card) for trap in HOSTILE)
    meanwhile(monkeypatch)
    report = in_time(lambda: add(job, [card]))
    assert [o.path for o in report.of("taken")] == [first, last]
    assert sorted(o.because for o in report.of("refused") + report.of("again")) == because
    assert {o.path.name for o in report.of("again")} == {"growing.jpg", "shrinking.jpg"}
    assert draw_missing(job) == 2
    assert faults(job.record.path) == []


@LINUX
@pytest.mark.parametrize(
    "path", ["/dev/null", "/dev/zero", "/dev/full", "/dev/tty", "/proc/self/mem", "/proc/version"]
)
def test_what_the_system_shows_as_a_file_is_refused_in_a_sentence(job: Job, path: str) -> None:
    if not Path(path).exists():
        pytest.skip(f"no {path} here")
    (outcome,) = in_time(lambda: add(job, [Path(path)]), 0).outcomes
    wanted = say("add.empty") if path.startswith("/proc") else say("add.not-a-file")
    assert (outcome.kind, outcome.because) == ("refused", wanted)


@POSIX
def test_what_is_no_file_is_refused_before_it_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To open a device can do something: rewind a tape, start a watchdog."""
    opened: list[object] = []
    monkeypatch.setattr(sources.os, "open", lambda *how: opened.append(how))
    pipe(tmp_path)
    plug(tmp_path)
    assert {f.because for f in sources.find(tmp_path)} == {say("add.not-a-file")}
    assert not opened
