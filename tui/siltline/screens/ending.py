"""How the screen ends when nobody asked it to: a signal, a closed terminal, a fault of ours."""

from __future__ import annotations

import asyncio
import select
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any, TextIO

from textual.app import App

# A terminal that closes, a system that shuts down, a stop from outside: leave as if asked to.
ENDINGS = ("SIGHUP", "SIGTERM", "SIGINT")
LOOK_EVERY_S = 1.0


def terminal_gone() -> bool:
    """Tell whether the terminal was closed; where that cannot be told, it was not.

    A program that does not belong to the terminal gets no signal when it closes, and would
    read nothing from it for ever.
    """
    if not hasattr(select, "poll") or sys.__stdin__ is None:
        return False  # Windows ends the program itself
    try:
        looked = select.poll()
        looked.register(sys.__stdin__.fileno(), 0)
        return any(seen & (select.POLLHUP | select.POLLERR) for _, seen in looked.poll(0))
    except (OSError, ValueError):
        return False


class Unfailing:
    """A file whose reader may go: what is written after that is dropped.

    Textual writes in a thread that dies of the first fault, and then waits for it for ever.
    """

    def __init__(self, file: TextIO) -> None:
        self._file = file

    def write(self, text: str) -> int:
        """Write, if anybody is there."""
        with suppress(OSError, ValueError):
            self._file.write(text)
        return len(text)

    def flush(self) -> None:
        """Hand on what was written, if anybody is there."""
        with suppress(OSError, ValueError):
            self._file.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


@contextmanager
def unfailing_output() -> Iterator[None]:
    """Let what draws the screen go on when its terminal is gone."""
    kept = sys.__stdout__, sys.__stderr__
    out, err = (Unfailing(file) if file is not None else None for file in kept)
    sys.__stdout__, sys.__stderr__ = out, err  # type: ignore[misc, assignment]
    try:
        yield
    finally:
        sys.__stdout__, sys.__stderr__ = kept  # type: ignore[misc]


class EndingApp(App[None]):
    """An app that ends cleanly however it comes.

    Attributes:
        fault: what went wrong inside, to be told in one sentence once the terminal is given back.
    """

    def __init__(self) -> None:
        super().__init__()
        self.fault: Exception | None = None

    def listen_for_the_end(self) -> None:
        """Leave at signals, and when the terminal is gone; nothing is lost then."""
        loop = asyncio.get_running_loop()
        for name in ENDINGS:
            number = getattr(signal, name, None)
            if number is not None:
                with suppress(NotImplementedError, RuntimeError, ValueError):  # Windows; a thread
                    loop.add_signal_handler(number, self.exit)
        if not self.is_headless:
            self.set_interval(LOOK_EVERY_S, self._leave_a_closed_terminal)
            self._go_on_once()

    def _go_on_once(self) -> None:
        """Begin once, not twice, to read keys when the program is let go on (SIGCONT).

        Textual expects that it was stopped by Ctrl+Z. A stop from outside, and the end of the
        terminal, which brings the same signal, would leave two threads that read one keyboard.
        """
        number = getattr(signal, "SIGCONT", None)
        before = signal.getsignal(number) if number is not None else None
        if number is None or not callable(before):
            return

        def go_on(signum: int, frame: FrameType | None) -> None:
            driver = self._driver
            lent = not getattr(driver, "_auto_restart", True)  # nothing there is to begin again
            if driver is None or lent or terminal_gone():
                return
            if not getattr(driver, "_must_signal_resume", True):
                driver.suspend_application_mode()
            before(signum, frame)

        signal.signal(number, go_on)

    def _leave_a_closed_terminal(self) -> None:
        if terminal_gone():
            self.exit()

    def _handle_exception(self, error: Exception) -> None:
        """Leave at a fault of ours without Textual's page of code, which shows values raw."""
        if self.is_headless:  # a test wants to see it
            super()._handle_exception(error)
            return
        if self.fault is None:
            self.fault = error
        self.exit()

    def panic(self, *renderables: Any) -> None:
        """Leave where Textual wants to print what went wrong in a thread of its own."""
        if self.is_headless:
            super().panic(*renderables)
            return
        if self.fault is None:
            self.fault = RuntimeError("the terminal could not be used any more")
        self.exit()
