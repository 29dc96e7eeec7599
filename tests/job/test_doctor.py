"""The doctor looks at a laptop and says in plain words what is fine and what wants a look.

Every part is given facts as some laptop would have them; nothing of this machine decides a test.
"""

from __future__ import annotations

import ctypes
import re
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest

from siltline import times
from siltline.job import doctor, machine, open_job
from siltline.job.acts import tick
from siltline.job.doctor import Sign, examine
from siltline.job.machine import Drive
from siltline.sentences import catalogue
from support.command import Shell
from support.records import begun, by_hand

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
GOOD = Drive("ext4", "fixed", "yes", 50_000_000_000, 500_000_000_000)


class Terminal:
    """A terminal of some size and some letters."""

    def __init__(self, columns: int = 120, lines: int = 40, encoding: str = "utf-8") -> None:
        self.columns, self.lines, self.encoding = columns, lines, encoding

    def isatty(self) -> bool:
        return True


@pytest.fixture
def laptop(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., list[Sign]]:
    """A function that looks at a laptop of which all is well but for what is given."""

    def look(
        *,
        drive: Drive = GOOD,
        now: datetime = NOW,
        drift: float = 0,
        terminal: Terminal | None = None,
        sqlite: tuple[int, int, int] = (3, 45, 0),
        zones: bool = True,
        job: Path | None = None,
    ) -> list[Sign]:
        screen = terminal or Terminal()
        with monkeypatch.context() as faked:
            faked.setattr(doctor, "drive", lambda _: drive)
            faked.setattr(times, "now", lambda: now)
            faked.setattr(doctor.time, "time", lambda real=doctor.time.time: real() + drift)
            faked.setattr(doctor.sqlite3, "sqlite_version_info", sqlite)
            faked.setattr(doctor.sqlite3, "sqlite_version", ".".join(map(str, sqlite)))
            if not zones:
                faked.setattr(times, "zone", lambda _: None)
            faked.setattr(doctor.os, "get_terminal_size", lambda: (screen.columns, screen.lines))
            faked.setattr(doctor.sys, "stdout", screen)
            faked.chdir(tmp_path)
            return examine(job)

    return look


def signs(found: list[Sign]) -> dict[str, list[tuple[str, str]]]:
    by_part: dict[str, list[tuple[str, str]]] = {}
    for sign in found:
        by_part.setdefault(sign.about, []).append((sign.verdict, sign.text))
    return by_part


def test_a_good_laptop_is_fine_in_every_part(laptop: Callable[..., list[Sign]]) -> None:
    found = laptop()
    assert {sign.verdict for sign in found} == {"fine"}
    assert [sign.about for sign in found] == [
        "program", "sqlite", "settings", "drive", "space", "encryption", "zones", "clock",
        "terminal", "letters",
    ]  # fmt: skip


# what is given -> the part that it concerns, its verdict, words of what is said
PARTS: dict[str, tuple[dict[str, object], str, str, str]] = {
    "old sqlite": ({"sqlite": (3, 36, 0)}, "sqlite", "look", "SQLite 3.36.0 is too old; 3.37.0"),
    "oldest sqlite": ({"sqlite": (3, 37, 0)}, "sqlite", "fine", "SQLite 3.37.0."),
    "stick": (
        {"drive": Drive("vfat", "removable", "", 9_000_000_000, 1)},
        "drive",
        "look",
        "removable, file system vfat. Work on a built-in drive",
    ),
    "network": (
        {"drive": Drive("nfs4", "network", "", 9_000_000_000, 1)},
        "drive",
        "look",
        "on the network, file system nfs4",
    ),
    "memory": (
        {"drive": Drive("tmpfs", "memory", "", 9_000_000_000, 1)},
        "drive",
        "look",
        "in memory only",
    ),
    "disc": ({"drive": Drive("", "disc", "", 9_000_000_000, 1)}, "drive", "look", "a disc"),
    "unknown drive": (
        {"drive": Drive("", "", "", 9_000_000_000, 1)},
        "drive",
        "fine",
        "not known, file system not known",
    ),
    "space": ({}, "space", "fine", "50.0 GB are free."),
    "just enough": ({"drive": Drive("", "", "", 2_000_000_000, 1)}, "space", "fine", "2.0 GB"),
    "little space": (
        {"drive": Drive("", "", "", 1_949_000_000, 1)},
        "space",
        "look",
        "Only 1.9 GB are free",
    ),
    "not encrypted": (
        {"drive": Drive("", "", "", 9_000_000_000, 1)},
        "encryption",
        "unknown",
        "look it up",
    ),
    "clock before": (
        {"now": datetime(2025, 12, 31, tzinfo=UTC)},
        "clock",
        "look",
        "Set it before anything is recorded",
    ),
    "clock far": ({"now": datetime(2041, 1, 1, tzinfo=UTC)}, "clock", "look", "which cannot be"),
    "clock drifts": ({"drift": 121.5}, "clock", "look", "seconds off"),
    "clock is near": ({"drift": 60.0}, "clock", "fine", "The clock says"),
    "no zones": ({"zones": False}, "zones", "look", "Install the package tzdata"),
    "small": (
        {"terminal": Terminal(79, 24)},
        "terminal",
        "look",
        "79 columns and 24 lines; the screen is made for 80",
    ),
    "low": ({"terminal": Terminal(80, 23)}, "terminal", "look", "80 columns and 23 lines"),
    "just large enough": ({"terminal": Terminal(80, 24)}, "terminal", "fine", "80 columns"),
    "old letters": ({"terminal": Terminal(encoding="cp437")}, "letters", "look", "cp437"),
    "letters": ({"terminal": Terminal(encoding="UTF-8")}, "letters", "fine", "every letter"),
}


@pytest.mark.parametrize("case", PARTS)
def test_each_part_says_what_it_found(laptop: Callable[..., list[Sign]], case: str) -> None:
    given, part, verdict, words = PARTS[case]
    verdict_there, said = signs(laptop(**given))[part][-1]
    assert verdict_there == verdict
    assert words in said
    others = {s.about: s.verdict for s in laptop(**given) if s.about not in (part, "encryption")}
    kept = "space" if part == "drive" else part
    assert {v for a, v in others.items() if a != kept} <= {"fine"}, "and no other part minds"


def test_without_a_terminal_nothing_is_said_of_it(
    laptop: Callable[..., list[Sign]], monkeypatch: pytest.MonkeyPatch
) -> None:
    screen = Terminal()
    monkeypatch.setattr(screen, "isatty", lambda: False)
    (told,) = signs(laptop(terminal=screen))["terminal"]
    assert told == ("unknown", "No terminal is attached, so nothing can be told of it.")


@pytest.mark.parametrize("kept", [None, "2020-01-01T00:00:00.000Z"])
def test_settings_that_are_not_kept_are_told_even_if_old_ones_are_there(
    laptop: Callable[..., list[Sign]],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    kept: str | None,
) -> None:
    home = tmp_path / "settings"
    monkeypatch.setenv("SILTLINE_HOME", str(home))
    assert signs(laptop())["settings"] == [("fine", f"Settings are kept in {home}.")]
    if kept is None:
        (home / "written").unlink()
        home.rmdir()
        home.write_text("a file where the folder should be", encoding="utf-8")
    else:
        (home / "written").write_text(kept, encoding="utf-8")

        def full(*_: object, **__: object) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(Path, "write_text", full)
    ((verdict, said),) = signs(laptop())["settings"]
    assert verdict == "look"
    assert "forgotten each time" in said


def test_a_folder_that_is_synchronised_is_told(
    laptop: Callable[..., list[Sign]], tmp_path: Path
) -> None:
    assert "folder" not in signs(laptop())
    (tmp_path / ".stfolder").touch()
    ((verdict, said),) = signs(laptop())["folder"]
    assert verdict == "look"
    assert str(tmp_path) in said


# a job


@pytest.fixture
def path(tmp_path: Path) -> Path:
    job = begun(tmp_path)  # on 12 March 2026
    job.close()
    return job.record.path


def test_a_job_that_opens_is_fine(laptop: Callable[..., list[Sign]], path: Path) -> None:
    raw = path.read_bytes()
    (told,) = signs(laptop(job=path))["job"]
    assert told == ("fine", "job.siltline opens; its newest entry is of 12 Mar 2026 08:00 -0500.")
    assert path.read_bytes() == raw


def test_a_job_whose_newest_entry_is_yet_to_come_is_told(
    laptop: Callable[..., list[Sign]], path: Path
) -> None:
    job = open_job(path, lambda: NOW + timedelta(hours=2))
    tick(job, "power-off/house", by="Ada")
    job.close()
    ((verdict, said),) = signs(laptop(job=path))["job"]
    assert verdict == "look"
    assert "later than this laptop's clock" in said


def drop_events(path: Path) -> None:
    with by_hand(path) as connection:
        connection.execute("DELETE FROM event")


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda path: path.unlink(), "There is no job.siltline"),
        (lambda path: path.write_bytes(b"x" * 5000), "not a siltline job"),
        (lambda path: path.write_bytes(path.read_bytes()[:20_000]), "is damaged"),
        (drop_events, "holds no plan"),
    ],
)
def test_a_job_that_does_not_open_is_told_in_its_own_words(
    laptop: Callable[..., list[Sign]], path: Path, spoil: Callable[[Path], object], words: str
) -> None:
    spoil(path)
    ((verdict, said),) = signs(laptop(job=path))["job"]
    assert verdict == "look"
    assert words in said


def test_a_folder_that_is_not_there_is_no_fault_of_the_doctor(tmp_path: Path) -> None:
    found = examine(tmp_path / "nowhere" / "a.siltline")
    assert [(sign.about, sign.verdict) for sign in found] == [("job", "look")]


# words, exit codes, JSON


def test_every_text_is_a_sentence_for_people(laptop: Callable[..., list[Sign]], path: Path) -> None:
    found = [sign for given, *_ in PARTS.values() for sign in laptop(**given, job=path)]
    for text in {sign.text for sign in found}:
        assert re.match(r"[A-Z0-9a-z].*[.]$", text), text
        assert not re.search(r"None|True|False|[{}<>]|Error|errno", text), text
    keys = {
        k.removeprefix("doctor.verdict.") for k in catalogue() if k.startswith("doctor.verdict")
    }
    assert {sign.verdict for sign in found} == keys


@pytest.mark.parametrize(("drive", "code"), [(GOOD, 0), (Drive("", "disc", "", 10**10, 1), 1)])
def test_the_exit_code_tells_whether_something_wants_a_look(
    path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    drive: Drive,
    code: int,
) -> None:
    monkeypatch.setattr(doctor, "drive", lambda _: drive)
    shell = Shell(capsys)
    (path.parent / "stick").mkdir()
    shell("second-copy", path, path.parent / "stick")
    ran = shell("doctor", path, "--json")
    assert ran.code == code, "what is unknown is no finding"
    assert all(set(sign) == {"about", "verdict", "text"} for sign in ran.json)
    assert [sign["about"] for sign in ran.json if sign["verdict"] == "look"] == ["drive"] * code
    plain = shell("doctor", path)
    assert plain.code == code
    assert plain.out.count("LOOK") == code
    assert all(len(line) <= 80 for line in plain.out.splitlines() if " " in line.strip())
    assert plain.err == ""


# what a machine tells of its drives

# device, where, file system; as /proc/self/mounts has them (proc(5))
MOUNTS = """\
/dev/sda2 / ext4 rw,relatime 0 0
proc /proc proc rw 0 0
tmpfs /run tmpfs rw 0 0
/dev/sdb1 /media/ada/BIG\\040STICK vfat rw 0 0
/dev/mapper/home /home ext4 rw 0 0
server:/jobs /mnt/jobs nfs4 rw 0 0
//server/share /mnt/share cifs rw 0 0
overlay /var/overlay overlay rw 0 0
"""


@pytest.fixture
def linux(tmp_path: Path) -> Callable[[str], tuple[str, str, str]]:
    """A machine with a built-in drive, a stick, and a home that is encrypted."""
    mounts = tmp_path / "mounts"
    mounts.write_text(MOUNTS, encoding="utf-8")
    blocks = tmp_path / "block"
    for name, removable, part in (("sda", "0", "sda2"), ("sdb", "1", "sdb1")):
        whole = tmp_path / "devices" / name
        (whole / part).mkdir(parents=True)
        (whole / "removable").write_text(f"{removable}\n", encoding="utf-8")
        (whole / part / "partition").write_text("1\n", encoding="utf-8")
        blocks.mkdir(exist_ok=True)
        (blocks / part).symlink_to(whole / part)
        (blocks / name).symlink_to(whole)
    (blocks / "home" / "dm").mkdir(parents=True)
    (blocks / "home" / "dm" / "uuid").write_text("CRYPT-LUKS2-0123-home\n", encoding="utf-8")
    (blocks / "home" / "removable").write_text("0\n", encoding="utf-8")
    return lambda folder: machine._linux(Path(folder), mounts, blocks)


@pytest.mark.parametrize(
    ("folder", "found"),
    [
        ("/srv/jobs", ("ext4", "fixed", "")),
        ("/media/ada/BIG STICK/jobs", ("vfat", "removable", "")),
        ("/media/ada", ("ext4", "fixed", "")),
        ("/home/ada/jobs", ("ext4", "fixed", "yes")),
        ("/homestead", ("ext4", "fixed", "")),
        ("/run/user", ("tmpfs", "memory", "")),
        ("/mnt/jobs/a", ("nfs4", "network", "")),
        ("/mnt/share", ("cifs", "network", "")),
        ("/var/overlay/x", ("overlay", "", "")),
    ],
)
def test_linux_tells_of_its_drives(
    linux: Callable[[str], tuple[str, str, str]], folder: str, found: tuple[str, str, str]
) -> None:
    assert linux(folder) == found


def test_a_linux_that_tells_nothing_is_unknown(tmp_path: Path) -> None:
    assert machine._linux(tmp_path, tmp_path / "no", tmp_path / "no") == ("", "", "")


@pytest.mark.parametrize(
    ("answer", "folder", "found"),
    [
        ("FileVault is On.", "/Users/ada/jobs", ("", "fixed", "yes")),
        ("FileVault is Off.", "/Users/ada/jobs", ("", "fixed", "")),
        ("FileVault is On.", "/Volumes/STICK/jobs", ("", "removable", "")),
    ],
)
def test_a_mac_tells_of_its_drives(
    monkeypatch: pytest.MonkeyPatch, answer: str, folder: str, found: tuple[str, str, str]
) -> None:
    ran = SimpleNamespace(stdout=answer)
    monkeypatch.setattr(machine.subprocess, "run", lambda *_, **__: ran)
    assert machine._mac(Path(folder)) == found


@pytest.mark.parametrize(
    ("kind", "word"), [(2, "removable"), (3, "fixed"), (4, "network"), (5, "disc"), (0, "")]
)
def test_windows_tells_of_its_drives(monkeypatch: pytest.MonkeyPatch, kind: int, word: str) -> None:
    """DRIVE_REMOVABLE is 2, DRIVE_FIXED 3, DRIVE_REMOTE 4, DRIVE_CDROM 5 (GetDriveTypeW)."""

    def volume(root: str, *rest: object) -> int:
        assert root
        rest[-2].value = "NTFS"  # type: ignore[attr-defined]
        return 1

    kernel = SimpleNamespace(GetVolumeInformationW=volume, GetDriveTypeW=lambda _: kind)
    monkeypatch.setattr(ctypes, "windll", SimpleNamespace(kernel32=kernel), raising=False)
    assert machine._windows(Path.cwd()) == ("NTFS", word, "")


@pytest.mark.parametrize("fault", [OSError(1), ValueError("x"), AttributeError("windll")])
def test_a_machine_that_cannot_be_asked_is_unknown_but_its_space_is_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, fault: Exception
) -> None:
    def fails(_: Path) -> None:
        raise fault

    monkeypatch.setattr(machine, "_linux", fails)
    monkeypatch.setattr(sys, "platform", "linux")
    found = machine.drive(tmp_path)
    assert (found.system, found.kind, found.encrypted) == ("", "", "")
    assert 0 < found.free <= found.total


def test_a_system_that_nobody_knows_is_unknown(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "platform", "plan9")
    assert machine.drive(tmp_path).kind == ""


def test_nothing_is_left_in_the_folder(laptop: Callable[..., list[Sign]], tmp_path: Path) -> None:
    before = set(tmp_path.iterdir())
    laptop()
    assert set(tmp_path.iterdir()) == before
