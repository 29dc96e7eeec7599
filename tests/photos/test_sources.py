"""Only regular files that hold still are read, and no link leads out of what was pointed at."""

from __future__ import annotations

import errno
import os
import socket
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from siltline.photos import sources
from siltline.photos.sources import DEEPEST, Found, NotTaken, find, read
from siltline.sentences import say

POSIX = pytest.mark.skipif(os.name == "nt", reason="Windows has no such files")


def file(path: Path, data: bytes = b"a photo") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def link(path: Path, target: Path) -> Path:
    try:
        path.symlink_to(target, target_is_directory=target.is_dir())
    except OSError:
        pytest.skip("this system lets nobody but an administrator make links")
    return path


def names(folder: Path) -> list[str]:
    return [found.path.relative_to(folder).as_posix() for found in find(folder)]


def refused(path: Path) -> str:
    """Return why a file is not read."""
    with pytest.raises(NotTaken) as told:
        read(path)
    return str(told.value)


def test_a_folder_gives_its_files_and_those_of_its_folders_in_the_order_of_names(
    tmp_path: Path,
) -> None:
    for name in ("b.jpg", "a/2.jpg", "a/10.jpg", "a/deep/1.jpg", "c/1.jpg", ".hidden"):
        file(tmp_path / name)
    (tmp_path / "empty").mkdir()
    assert names(tmp_path) == [
        ".hidden", "a/10.jpg", "a/2.jpg", "a/deep/1.jpg", "b.jpg", "c/1.jpg"
    ]  # fmt: skip
    assert all(found.because == "" for found in find(tmp_path))


def test_a_file_gives_itself(tmp_path: Path) -> None:
    path = file(tmp_path / "a.jpg")
    assert list(find(path)) == [Found(path)]
    assert read(path) == b"a photo"


def test_what_is_not_there_says_so(tmp_path: Path) -> None:
    (found,) = find(tmp_path / "no.jpg")
    assert found.because == say("add.missing")
    assert "No such file" in refused(tmp_path / "no.jpg")


def test_a_name_that_no_system_holds_is_refused_and_stops_nobody(tmp_path: Path) -> None:
    (found,) = find(tmp_path / ("a" * 5000))
    assert found.because
    assert refused(tmp_path / ("a" * 5000))


@pytest.mark.parametrize("where", ["named", "inside a folder"])
@pytest.mark.parametrize("target", ["file", "folder", "nothing", "itself", "its own folder"])
def test_a_link_is_refused_and_never_followed(tmp_path: Path, where: str, target: str) -> None:
    inside = tmp_path / "card"
    inside.mkdir()
    way = inside / "link"
    targets = {
        "file": file(tmp_path / "secret" / "other.jpg"),
        "folder": tmp_path / "secret",
        "nothing": tmp_path / "gone",
        "itself": way,
        "its own folder": inside,
    }
    link(way, targets[target])
    assert list(find(way if where == "named" else inside)) == [Found(way, say("add.link"))]


def test_a_link_that_takes_the_place_of_a_file_after_it_was_found_is_not_read(
    tmp_path: Path,
) -> None:
    path = file(tmp_path / "card" / "a.jpg")
    (found,) = find(path.parent)
    path.unlink()
    link(path, file(tmp_path / "secret.jpg"))
    if not hasattr(os, "O_NOFOLLOW"):
        pytest.skip("this system cannot refuse links while it opens them")
    assert refused(found.path) == say("add.link")


def test_links_that_lead_in_circles_end(tmp_path: Path) -> None:
    file(tmp_path / "a" / "1.jpg")
    link(tmp_path / "a" / "up", tmp_path)
    link(tmp_path / "a" / "z1", tmp_path / "a" / "z2")
    link(tmp_path / "a" / "z2", tmp_path / "a" / "z1")
    assert [(f.path.name, f.because) for f in find(tmp_path)] == [
        ("1.jpg", ""),
        ("up", say("add.link")),
        ("z1", say("add.link")),
        ("z2", say("add.link")),
    ]


def in_time(act: Callable[[], str], seconds: float = 5) -> str:
    """Return what an act returns, or fail where it waits for ever."""
    told: list[str] = []
    thread = threading.Thread(target=lambda: told.append(act()), daemon=True)
    thread.start()
    thread.join(seconds)
    assert told, "it hangs"
    return told[0]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
def test_a_pipe_is_refused_without_waiting_for_whoever_writes_into_it(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.jpg"
    os.mkfifo(pipe)
    assert [found.path for found in find(tmp_path)] == [pipe]
    assert in_time(lambda: refused(pipe)) == say("add.not-a-file")


@POSIX
@pytest.mark.parametrize("device", ["/dev/null", "/dev/zero"])
def test_a_device_is_refused(device: str) -> None:
    if not Path(device).exists():
        pytest.skip(f"no {device} here")
    assert in_time(lambda: refused(Path(device))) == say("add.not-a-file")


@POSIX
def test_a_socket_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # names of sockets are at most 100 bytes long
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind("s")
        assert refused(Path("s"))


def test_a_folder_is_not_read_as_a_file(tmp_path: Path) -> None:
    assert refused(tmp_path)


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    assert refused(file(tmp_path / "a.jpg", b"")) == say("add.empty")


def test_folders_past_the_deepest_are_named_and_not_searched(tmp_path: Path) -> None:
    folder = tmp_path
    for depth in range(1, DEEPEST + 2):
        folder = folder / f"{depth}"
        file(folder / "a.jpg")
    found = list(find(tmp_path))
    assert len([f for f in found if not f.because]) == DEEPEST
    (deep,) = [f for f in found if f.because]
    assert (deep.path, deep.because) == (folder, say("add.too-deep", deepest=DEEPEST))


def test_a_folder_that_cannot_be_listed_is_named_and_the_others_are_searched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file(tmp_path / "a" / "1.jpg")
    file(tmp_path / "b" / "2.jpg")
    listed = Path.iterdir

    def listing(folder: Path) -> object:
        if folder.name == "a":
            raise PermissionError(errno.EACCES, "Permission denied")
        return listed(folder)

    monkeypatch.setattr(Path, "iterdir", listing)
    assert [(f.path.name, f.because) for f in find(tmp_path)] == [
        ("a", say("add.folder", fault="Permission denied")),
        ("2.jpg", ""),
    ]


@pytest.mark.skipif(
    os.name == "nt" or not hasattr(os, "geteuid") or os.geteuid() == 0,
    reason="an administrator may read everything",
)
def test_a_folder_that_may_be_listed_but_not_entered_stops_nobody(tmp_path: Path) -> None:
    folder = file(tmp_path / "a" / "1.jpg").parent
    file(tmp_path / "b.jpg")
    folder.chmod(0o400)
    try:
        found = {f.path.name: f.because for f in find(tmp_path)}
    finally:
        folder.chmod(0o700)
    assert found["1.jpg"]
    assert found["b.jpg"] == ""


def test_a_file_that_may_not_be_read_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def deny(*_: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied")

    path = file(tmp_path / "a.jpg")
    monkeypatch.setattr(sources.os, "open", deny)
    assert refused(path) == say("add.unreadable", fault="Permission denied")


def test_a_drive_that_fails_while_it_is_read_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = file(tmp_path / "a.jpg")

    def fail(*_: object) -> bytes:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(sources.os, "read", fail)
    assert refused(path) == say("add.unreadable", fault="Input/output error")


def grow(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b" and more")


def shrink(path: Path) -> None:
    os.truncate(path, 3)


def rewrite(path: Path) -> None:
    path.write_bytes(b"A PHOTO")
    os.utime(path, ns=(1, 1))


@pytest.mark.parametrize("change", [grow, shrink, rewrite])
def test_a_file_that_changes_while_it_is_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: Callable[[Path], None]
) -> None:
    path, real, looks = file(tmp_path / "a.jpg"), os.fstat, [0]

    def fstat(handle: int) -> os.stat_result:
        told = real(handle)
        looks[0] += 1
        if looks[0] == 1:
            change(path)  # right after the first look at its size and time
        return told

    monkeypatch.setattr(sources.os, "fstat", fstat)
    assert refused(path) == say("add.changing")
    monkeypatch.undo()
    assert read(path) == path.read_bytes()  # offered again, it is taken


@pytest.mark.skipif(sys.platform == "win32", reason="Windows fills a sparse file")
def test_a_file_past_the_largest_is_refused_before_a_byte_of_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = file(tmp_path / "large.jpg")
    os.truncate(path, 50_000_000_000)
    assert refused(path) == say("add.too-large", limit=400)
    monkeypatch.setattr(sources, "LARGEST", 1000)
    os.truncate(path, 1001)
    assert refused(path) == say("add.too-large", limit=0)
    os.truncate(path, 1000)
    assert len(read(path)) == 1000


def test_no_handle_is_left_open_by_what_is_refused(tmp_path: Path) -> None:
    empty, handles = file(tmp_path / "a.jpg", b""), Path("/proc/self/fd")
    refused(empty)
    if handles.exists():
        before = len(list(handles.iterdir()))
        for _ in range(20):
            refused(empty)
        assert len(list(handles.iterdir())) == before
    empty.unlink()  # Windows refuses this while a handle is open
