"""In a real terminal: it opens, obeys keys, ends cleanly, and no byte from outside gets through."""

from __future__ import annotations

import os
import re
import select
import signal
import struct
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from siltline.job import Job, open_job
from siltline.job.acts import attach, leave_out, tick
from siltline.job.add import add
from support.house import HOUSE
from support.pictures import photo

pty = pytest.importorskip("pty")
fcntl = pytest.importorskip("fcntl")
termios = pytest.importorskip("termios")

TUI = str(Path(__file__).parents[2] / "tui")
HOSTILE = "\x1b]0;owned\x07\x1b[31mred\x9b2J\u202e[@click=app.quit]x[/] [/oops]"
# What a program may send a terminal of its own accord: CSI, OSC and the like of Textual. What
# must never come is what stood in a name: the title set, the colour, the C1 byte, the override.
FORBIDDEN = [b"owned\x07", b"\x1b[31mred", b"\xc2\x9b", "\u202e".encode()]


class Terminal:
    """A program in a pseudo-terminal of 80x24."""

    def __init__(self, command: list[str], **also: str) -> None:
        self.seen = b""
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        env = {**os.environ, "PYTHONPATH": TUI, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        env |= also
        self.process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True
        )
        os.close(slave)
        self.master = master

    def read(self, seconds: float) -> bytes:
        """Read what comes in some time."""
        end = time.monotonic() + seconds
        new = b""
        while (left := end - time.monotonic()) > 0:
            if not select.select([self.master], [], [], left)[0]:
                break
            try:
                piece = os.read(self.master, 65536)
            except OSError:
                break
            if not piece:
                break
            new += piece
        self.seen += new
        return new

    def wait_for(self, words: str, seconds: float = 20) -> None:
        """Read until some words are on the screen."""
        end = time.monotonic() + seconds
        while words.encode() not in self.seen:
            assert time.monotonic() < end, f"{words!r} did not come: {self.seen[-2000:]!r}"
            self.read(0.1)

    def send(self, keys: str) -> None:
        os.write(self.master, keys.encode())

    def end(self, seconds: float = 10) -> int:
        """Wait for the program to end; return its exit code."""
        end = time.monotonic() + seconds
        while self.process.poll() is None:
            self.read(0.05)
            if time.monotonic() > end:
                self.process.kill()
                pytest.fail("it did not end")
        self.read(0.2)
        return self.process.returncode


@contextmanager
def terminal(*args: object, **also: str) -> Iterator[Terminal]:
    opened = Terminal([sys.executable, "-m", "siltline", *map(str, args)], **also)
    try:
        yield opened
    finally:
        if opened.process.poll() is None:
            opened.process.kill()
            opened.process.wait()
        os.close(opened.master)


def test_a_tick_by_keys_is_recorded_and_q_leaves(job: Job) -> None:
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.send("\x1b[A")  # the hold point stands out first; the gear is above it
        term.wait_for("Put on")
        term.send("\r")
        term.wait_for("Name")
        term.send("Ada Lovelorn\r\r")
        term.wait_for("takes it back")
        term.send("q")
        assert term.end() == 0
    again = open_job(job.record.path)
    assert again.step("gear-on/house").word.by == "Ada Lovelorn"  # type: ignore[union-attr]
    again.close()
    assert [p.name for p in job.record.path.parent.glob("job.siltline*")] == ["job.siltline"]


def _colours(seen: bytes) -> set[str]:
    """The kinds of colour that were asked of the terminal."""
    found = set()
    for parts in re.findall(rb"\x1b\[([0-9;]*)m", seen):
        codes = parts.decode().split(";")
        for number, code in enumerate(codes):
            if code in ("38", "48"):
                found.add({"2": "truecolor", "5": "256"}[codes[number + 1]])
                break
            if code.isdigit() and (30 <= int(code) <= 47 or 90 <= int(code) <= 107):
                found.add("16" if code not in ("39", "49") else "default")
    return found


@pytest.mark.parametrize(
    ("also", "wanted"),
    [
        ({}, {"truecolor"}),
        ({"COLORTERM": ""}, {"256"}),
        ({"TERM": "linux", "COLORTERM": ""}, {"16"}),
        ({"TERM": "xterm", "COLORTERM": ""}, {"16"}),
        ({"NO_COLOR": "1"}, set()),
    ],
    ids=["truecolor", "256", "console", "16", "no-color"],
)
def test_a_terminal_is_sent_no_more_colour_than_it_draws(
    job: Job, also: dict[str, str], wanted: set[str]
) -> None:
    job.close()
    with terminal("open", job.record.path, **also) as term:
        term.wait_for("gear on")
        term.read(0.3)
        term.send("q")
        assert term.end() == 0
    assert _colours(term.seen) - {"default"} == wanted


@pytest.mark.parametrize(
    "also", [{"TERM": "linux"}, {"PYTHONIOENCODING": "latin-1"}], ids=["console", "latin-1"]
)
def test_a_terminal_that_draws_ascii_is_sent_ascii(job: Job, also: dict[str, str]) -> None:
    job.close()
    with terminal("open", job.record.path, SILTLINE_LANGUAGE="es", **also) as term:
        term.wait_for("gear on")
        term.send("?")
        term.wait_for("Teclas")
        term.send("\x1b")
        term.read(0.5)
        term.send("q")
        assert term.end() == 0
    assert term.seen.isascii()


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_ends_it_as_if_the_person_had_left(job: Job, name: str) -> None:
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        term.process.send_signal(getattr(signal, name))
        assert term.end() == 0
    assert b"\x1b[?1049l" in term.seen, "the terminal is given back as it was"


def test_no_byte_from_outside_reaches_the_terminal(
    new_job: Callable[..., Job], tmp_path: Path
) -> None:
    escaped = HOSTILE.encode("unicode_escape").decode().replace('"', "'")
    house = HOUSE.replace("name: outlet by the sink", f'name: "{escaped}"')
    house = house.replace("house: Test house", f'house: "{escaped}"')
    job = new_job(house)
    image = photo(tmp_path, "\x1b[31mred\u202e.JPG", 1, model=HOSTILE.encode().decode("latin-1"))
    add(job, [image])
    attach(job, "gear-on/house", next(iter(job.board.ledger.photos))[:12], role="crew")
    tick(job, "gear-on/house", by=HOSTILE, note=HOSTILE)
    leave_out(job, "power-off/house", by=HOSTILE, because=HOSTILE)
    job.close()
    with terminal("open", job.record.path) as term:
        term.wait_for("gear on")
        for keys in (
            "\x1b[A" * 3,
            "\x1b[B" * 9,
            "a",
            "\x1b",
            "v",
            "\x1b[B\x1b[B",
            "\x1b",
            "u",
            "d",
        ):
            term.send(keys)
            term.read(0.4)
        term.send("\x1b")
        term.read(0.5)
        term.send("q")
        assert term.end() == 0
    for bytes_from_outside in FORBIDDEN:
        assert bytes_from_outside not in term.seen
    assert re.search(rb"\\x1b", term.seen), "the hostile text was on the screen, made visible"
