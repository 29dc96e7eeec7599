"""One look at a photo in the pixels of the terminal, until a key is pressed.

Textual lets go of the terminal meanwhile and draws nothing; the program itself goes on: files are
watched, contact times run, signals end it. So the conversation is held in a thread.
"""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Callable
from concurrent.futures import Future
from functools import partial
from threading import Event, Thread

from textual.app import App, SuspendNotSupported

from siltline.errors import Refusal
from siltline.screens.blocks import Cells
from siltline.screens.encoding import encoded, installing, is_there, up_to
from siltline.screens.lent import GLANCE_S, Terminal, lent
from siltline.screens.means import Means, Size, answered, means_of, question, room_for, typed
from siltline.sentences import say
from siltline.text import cells as width_of
from siltline.text import fit, in_ascii, visible

ASKED_S = 0.5  # how long an answer of the terminal is waited for
SILENCE_S, PIECES = 0.03, 8  # an arrow is several bytes; a key that is held down never ends
GIVEN_BACK_S = 2.0  # it takes a tenth of that, unless the terminal takes no more
AT_ONCE = 32_768  # bytes of a picture between two looks at the keys

_BEGIN = b"\x1b[?1049h\x1b[?25l\x1b[2J\x1b[H"  # another screen, no cursor, clear
# Whatever was being written ends here; then colours, clear, cursor, the screen of before.
_END = b"\x1b\\\x1b[0m\x1b[2J\x1b[?25h\x1b[?1049l"
_FORGET = {"kitty": b"\x1b\\\x1b_Ga=d,d=A\x1b\\"}  # kitty keeps pictures until it is told

Wish = Callable[[int, int], "Future[Cells]"]  # pixels that fit a width and a height


class Look:
    """One look.

    Attributes:
        back: set when the terminal is wanted back.
        bell: set when it is to ring.
    """

    def __init__(self, caption: str, wish: Wish, *, ascii_only: bool = False) -> None:
        """Take the line below the photo, what gives its pixels, what letters can be drawn."""
        self.caption, self.wish, self.ascii_only = caption, wish, ascii_only
        self.back, self.bell = Event(), Event()
        self._over = False  # a key was pressed, or the terminal is wanted back

    def hold(self) -> str:
        """Show the photo until a key is pressed; return why it was not shown, or ""."""
        try:
            with lent(self.back) as terminal:
                return self._held(terminal)
        except OSError:
            return say("photo.not-lent")

    def _held(self, terminal: Terminal) -> str:
        means = Means()
        terminal.write(_BEGIN)
        try:
            means = ask(terminal)
            return self._show(terminal, means) if means.way else say("photo.no-pixels")
        finally:
            terminal.write(_FORGET.get(means.way, b"") + _END)

    def _show(self, terminal: Terminal, means: Means) -> str:
        size = terminal.size()
        room = room_for(size, means)
        line = under(self.caption, size.columns, ascii_only=self.ascii_only).encode()
        last = b"\x1b[%d;1H\x1b[2K" % size.lines
        terminal.write(last + visible(say("photo.drawing")).encode())
        wanted = self.wish(room.wide, room.high)
        if not self._waited(terminal, wanted.done):
            return ""
        try:
            wide, high, data = wanted.result()
        except (Refusal, OSError) as fault:
            return visible(str(fault))
        if not wide:
            return say("photo.undrawn")
        given_up = partial(self._ends, terminal, 0)
        made = encoded(data, (wide, high), means.way, room.cell, given_up)
        if not made:
            return "" if self._over else say("photo.no-encoding")
        if self._write(terminal, placed(size, room.cell, wide, high) + made):
            terminal.write(last + line)
            self._waited(terminal, lambda: False)
        return ""

    def _waited(self, terminal: Terminal, done: Callable[[], bool]) -> bool:
        """Wait, ringing where that is asked; tell whether it is done, and no key was pressed."""
        while not done():
            if self.bell.is_set():
                self.bell.clear()
                terminal.write(b"\x07")
            if self._ends(terminal):
                return False
        return True

    def _write(self, terminal: Terminal, data: bytes) -> bool:
        """Write a picture; tell whether all of it was: a key breaks it off."""
        for at in range(0, len(data), AT_ONCE):
            terminal.write(data[at : at + AT_ONCE])
            if self._ends(terminal, 0):
                return False
        return True

    def _ends(self, terminal: Terminal, seconds: float = GLANCE_S) -> bool:
        """Wait a moment; tell whether a key was pressed, or the terminal is wanted back."""
        heard = more = terminal.read(seconds)
        pieces = 0
        while more and pieces < PIECES:
            more = terminal.read(SILENCE_S)
            heard += more
            pieces += 1
        self._over = self._over or bool(typed(heard)) or self.back.is_set()
        return self._over


def ask(terminal: Terminal) -> Means:
    """Ask a terminal what it draws; one that does not answer in time draws nothing."""
    terminal.write(question(os.environ))
    heard, until = b"", time.monotonic() + ASKED_S
    while not answered(heard) and (left := until - time.monotonic()) > 0:
        heard += terminal.read(left)
    return means_of(heard)


def under(caption: str, columns: int, *, ascii_only: bool = False) -> str:
    """Return the line below a photo: what it shows, and what any key does."""
    key, shown = visible(say("photo.any-key")), visible(caption)
    if ascii_only:
        key, shown = in_ascii(key), in_ascii(shown)
    dots = "..." if ascii_only else "\u2026"
    left = columns - 1 - width_of(key) - 2
    return f"{fit(shown, left, dots)}  {key}" if left > len(dots) else fit(key, columns - 1, dots)


def placed(size: Size, cell: tuple[int, int], wide: int, high: int) -> bytes:
    """Return what puts the cursor where a picture begins, so that it stands in the middle."""
    right = (size.columns - up_to(wide, cell[0]) // cell[0]) // 2
    below = (size.lines - 1 - up_to(high, cell[1]) // cell[1]) // 2
    return b"\x1b[2J\x1b[%d;%dH" % (max(below, 0) + 1, max(right, 0) + 1)


async def _in_thread(look: Look) -> str:
    """Hold the look in a thread that never keeps the program from ending."""
    told: Future[str] = Future()
    told.set_running_or_notify_cancel()

    def hold() -> None:
        try:
            told.set_result(look.hold())
        except BaseException as fault:  # noqa: BLE001 - raised again where it is waited for
            told.set_exception(fault)

    thread = Thread(target=hold, name="pixels", daemon=True)
    thread.start()
    try:
        return await asyncio.wrap_future(told)
    finally:
        look.back.set()
        thread.join(GIVEN_BACK_S)


async def show(app: App[None], look: Look) -> str:
    """Lend the terminal to a look; return why nothing was shown, or "".

    Whatever happens meanwhile, Textual gets its terminal again, unless the program ends.
    """
    if not is_there():
        return say("photo.no-chafa", command=installing())
    fault: BaseException | None = None
    told = ""
    try:
        with app.suspend(), app.batch_update():  # nobody would read what is drawn meanwhile
            try:
                told = await _in_thread(look)
            except BaseException as found:  # raised once Textual has its terminal
                if app._exit:  # noqa: SLF001 - it is not to begin anew at its end
                    raise
                fault = found
    except SuspendNotSupported:
        return say("photo.not-lent")
    if fault is not None:
        raise fault
    return told
