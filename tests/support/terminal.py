"""Runs the program in a real pseudo-terminal; what imports this is skipped where there is none."""

from __future__ import annotations

import os
import select
import struct
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

pty = pytest.importorskip("pty")
fcntl = pytest.importorskip("fcntl")
termios = pytest.importorskip("termios")

TUI = str(Path(__file__).parents[2] / "tui")


class Terminal:
    """A program in a pseudo-terminal of 80x24, or of lines, columns, width and height in pixels."""

    size = (24, 80, 0, 0)

    def __init__(
        self, command: list[str], env: Mapping[str, str] | None = None, **how: Any
    ) -> None:
        self.seen = b""
        self.open = True
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", *self.size))
        env = {
            **os.environ,
            "PYTHONPATH": TUI,
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
            **(env or {}),
        }
        self.process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True, **how
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

    def wait_until(self, what: Callable[[], bool], seconds: float = 20) -> None:
        """Read until something is so."""
        end = time.monotonic() + seconds
        while not what():
            assert time.monotonic() < end, f"it did not come: {self.seen[-2000:]!r}"
            self.read(0.1)

    def send(self, keys: str) -> None:
        os.write(self.master, keys.encode())

    def close(self) -> None:
        """Close the terminal, as a window or a connection is closed."""
        self.open = False
        os.close(self.master)

    def end(self, seconds: float = 10) -> int:
        """Wait for the program to end; return its exit code."""
        end = time.monotonic() + seconds
        while self.process.poll() is None:
            self.read(0.05) if self.open else time.sleep(0.05)
            if time.monotonic() > end:
                self.process.kill()
                pytest.fail("it did not end")
        if self.open:
            self.read(0.2)
        return self.process.returncode


@contextmanager
def running(
    command: list[str], kind: Callable[..., Terminal] = Terminal, **how: Any
) -> Iterator[Any]:
    opened = kind(command, **how)
    try:
        yield opened
    finally:
        if opened.process.poll() is None:
            opened.process.kill()
            opened.process.wait()
        if opened.open:
            opened.close()


def terminal(*args: object, **how: Any) -> Any:
    return running([sys.executable, "-m", "siltline", *map(str, args)], **how)
