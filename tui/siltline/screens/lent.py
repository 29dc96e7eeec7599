"""The terminal itself, as bytes, while Textual has let go of it; given back however it ends."""

from __future__ import annotations

import os
import select
import struct
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from threading import Event
from typing import Any, Protocol

from siltline.screens.means import Size

GLANCE_S = 0.1  # how soon it is seen that the terminal is wanted back
PIECE = 1024  # bytes; more would wait in the system, where nothing can stop it
_CONSOLE_PIECE = 8192  # a console of Windows takes no more at once
_CONSOLE_GLANCE_S = 0.01


class Terminal(Protocol):
    """A terminal that is ours."""

    def size(self) -> Size:
        """Return how large it is."""

    def read(self, seconds: float) -> bytes:
        """Return what came, after at most some seconds; b"" where nothing did.

        Raises:
            OSError: the terminal is gone.
        """

    def write(self, data: bytes) -> None:
        """Write all of it, or what it takes until it is wanted back; errors as for `read`."""


class _Posix:
    """Keys from the standard input, the screen on the standard error, as Textual has them."""

    def __init__(self, keys: int, screen: int, back: Event) -> None:
        self.keys, self.screen, self.back = keys, screen, back

    def size(self) -> Size:
        fcntl, termios = import_module("fcntl"), import_module("termios")
        columns, lines = os.get_terminal_size(self.screen)
        told = fcntl.ioctl(self.screen, termios.TIOCGWINSZ, bytes(8))
        return Size(columns, lines, *struct.unpack("HHHH", told)[2:])

    def read(self, seconds: float) -> bytes:
        if not select.select([self.keys], [], [], seconds)[0]:
            return b""
        heard = os.read(self.keys, 4096)
        if not heard:
            raise OSError("the terminal is gone")
        return heard

    def write(self, data: bytes) -> None:
        left = memoryview(data)
        while left:
            if select.select([], [self.screen], [], GLANCE_S)[1]:
                left = left[os.write(self.screen, left[:PIECE]) :]
            elif self.back.is_set():
                return


class _Console:
    """A console of Windows, in the modes that Textual has for it."""

    def __init__(self, screen: Any, msvcrt: Any) -> None:
        self.screen, self.msvcrt = screen, msvcrt

    def size(self) -> Size:
        return Size(*os.get_terminal_size(self.screen.fileno()))

    def read(self, seconds: float) -> bytes:
        until = time.monotonic() + seconds
        while not self.msvcrt.kbhit():
            if time.monotonic() >= until:
                return b""
            time.sleep(_CONSOLE_GLANCE_S)
        heard = ""
        while self.msvcrt.kbhit():
            heard += self.msvcrt.getwch()
        return heard.encode("utf-8", "replace")

    def write(self, data: bytes) -> None:
        for at in range(0, len(data), _CONSOLE_PIECE):
            self.screen.buffer.write(data[at : at + _CONSOLE_PIECE])
            self.screen.buffer.flush()


@contextmanager
def _posix(back: Event) -> Iterator[Terminal]:
    termios, tty = import_module("termios"), import_module("tty")
    if sys.__stdin__ is None or sys.__stderr__ is None:
        raise OSError("there is no terminal")
    keys, screen = sys.__stdin__.fileno(), sys.__stderr__.fileno()
    try:
        before = termios.tcgetattr(keys)
        tty.setraw(keys, termios.TCSANOW)
    except termios.error as fault:
        raise OSError(*fault.args) from fault
    try:
        yield _Posix(keys, screen, back)
    finally:
        with suppress(termios.error):
            termios.tcflush(keys, termios.TCIFLUSH)  # the rest of a key is none of Textual's
            termios.tcsetattr(keys, termios.TCSANOW, before)


@contextmanager
def _console() -> Iterator[Terminal]:
    modes = import_module("textual.drivers.win32")
    restore = modes.enable_application_mode()
    try:
        yield _Console(sys.__stdout__, import_module("msvcrt"))
    finally:
        restore()


@contextmanager
def lent(back: Event) -> Iterator[Terminal]:
    """Give the terminal, each key at once and as it comes; its modes are put back at the end.

    Args:
        back: set when it is wanted back.

    Raises:
        OSError: there is none.
    """
    with _console() if sys.platform == "win32" else _posix(back) as terminal:
        yield terminal
