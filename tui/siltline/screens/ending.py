"""How the screen ends when nobody asked it to: a signal, a closed terminal, a fault of ours."""

from __future__ import annotations

import asyncio
import select
import signal
import sys
from contextlib import suppress
from typing import Any

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
