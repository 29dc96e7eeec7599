"""Long work on the desk: in a thread, told on one line, stopped by a key; keys go on working.

The thread has a job of its own on the same file. Acts of the desk go first: the work waits for
them between two pieces, so no act is refused because our own work holds the file.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import copy_context
from typing import TYPE_CHECKING, TypeVar

import textual
from textual.notifications import SeverityLevel
from textual.worker import WorkerCancelled, get_current_worker

from siltline.errors import NotNow, Refusal, why
from siltline.job import Job, open_job
from siltline.progress import Follower, Pace, Stopped
from siltline.screens.deeds import STOP
from siltline.screens.desk import WARNING_S
from siltline.screens.notices import NoticeApp
from siltline.screens.speaking import SpeakingDesk
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.workline import WorkLine

T = TypeVar("T")
SHOW_EVERY_S = 0.1
DRAW_AFTER_S = 3.0  # the person looks around first
LONGEST_ACT_S = 10.0  # an act waits five seconds for other programs, and is done or refused then


class Turn:
    """Lets the acts of the desk go before the pieces of long work."""

    def __init__(self) -> None:
        self._free = threading.Event()
        self._free.set()

    @contextmanager
    def first(self) -> Iterator[None]:
        """Hold the turn during an act."""
        self._free.clear()
        try:
            yield
        finally:
            self._free.set()

    def wait(self) -> None:
        """Wait until no act is being done."""
        self._free.wait(LONGEST_ACT_S)

    @property
    def wanted(self) -> bool:
        """Tell whether an act is being done."""
        return not self._free.is_set()


class Work(Follower):
    """One piece of long work; its methods run in its thread.

    Attributes:
        gives_way: it goes on by itself another time, so it makes room for what a person wants.
        stop: set by the desk when the work is to stop.
        line: how far it is, for people; read by the desk.
    """

    def __init__(self, desk: WorkingDesk, *, gives_way: bool = False) -> None:
        """Take the desk that shows it."""
        self.gives_way = gives_way
        self.stop = threading.Event()
        self.line = say("work.begun")
        self._desk = desk
        self._on_screen = copy_context()
        self._pace = Pace()

    def run(self, act: Callable[[Job, Follower], T]) -> T | Exception:
        """Do the work on a job opened apart, as a thread must; return its result or its fault."""
        self._worker = get_current_worker()
        job = self._desk.job
        try:
            apart = open_job(job.record.path, job.clock, job.device)
            try:
                return act(apart, self)
            finally:
                apart.close()
        except Exception as fault:  # noqa: BLE001 - told as a sentence; the screen goes on
            return fault

    def _stopping(self) -> bool:
        return self.stop.is_set() or self._worker.is_cancelled

    def reached(self, what: str, done: int, total: int | None = None) -> None:
        """Show how far it is, let acts go first, and stop where that was asked for."""
        if self._stopping():
            raise Stopped
        self._desk.turn.wait()
        self._pace.see(what, done, total)
        # said as the screen speaks, though the work itself may be telling an English claim
        self.line = self._on_screen.run(self._pace.line)

    def hurry(self) -> bool:
        """Break off what holds the file while an act waits for it."""
        return self._stopping() or self._desk.turn.wanted


class WorkingDesk(SpeakingDesk):
    """The desk with long work in hand, one piece at a time."""

    def __init__(self, job: Job) -> None:
        super().__init__(job)
        self.turn = Turn()
        job.turn = self.turn.first
        self._line: WorkLine | None = None
        self.on_top = asyncio.Event()
        self.idle = asyncio.Event()
        self.idle.set()

    def on_mount(self) -> None:
        """Go on drawing what was not drawn when the job was open last."""
        self.set_timer(DRAW_AFTER_S, self.draw_on)

    def on_screen_resume(self) -> None:
        """Note that nothing lies on the desk."""
        self.on_top.set()

    def on_screen_suspend(self) -> None:
        """Note that a form or a list lies on the desk."""
        self.on_top.clear()

    def ensure_may_work(self) -> None:
        """Make room for long work.

        Raises:
            NotNow: other work is going on, or the file is away; for a form to say, so that what
                was typed stays.
        """
        if self.at_work is not None and self.at_work.gives_way:
            self.at_work.stop.set()
            return
        told = say("work.busy", key=STOP) if self.at_work is not None else self.lookout.trouble
        if told:
            raise NotNow(told)

    def may_work(self) -> bool:
        """Tell whether long work can begin, and say why not."""
        try:
            self.ensure_may_work()
        except NotNow as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            return False
        return True

    async def work_on(
        self, act: Callable[[Job, Follower], T], *, gives_way: bool = False
    ) -> T | None:
        """Do long work in a thread and return what came of it.

        Args:
            act: the work, given a job of its own and what follows it.
            gives_way: other work may stop it, without a word.

        Returns:
            What the work returned; None where it was stopped or went wrong, which was told.
        """
        from siltline.screens.workline import WorkLine  # noqa: PLC0415 - no first paint needs it

        self.ahead.end()  # keys go on working meanwhile
        await self.idle.wait()  # what is at work now gives way, between two pieces
        self.idle.clear()
        work = self.at_work = Work(self, gives_way=gives_way)
        line = self._line = WorkLine(work.line)
        await self.mount(line, after="#body")
        timer = self.set_interval(SHOW_EVERY_S, lambda: self._show_work(work))
        worker = self.run_worker(lambda: work.run(act), thread=True)
        try:
            came = await worker.wait()
        except WorkerCancelled:
            return None  # the app is leaving
        finally:
            timer.stop()
            if self.is_attached:
                self.look()  # what our own work wrote is not told as another program's
                line.remove()
            self.at_work = self._line = None
            self.idle.set()
        if isinstance(came, Exception):
            if not gives_way:
                self._tell_end(came)
            return None
        return came

    @textual.work
    async def draw_on(self) -> None:
        """Draw the photos that are not drawn yet, as long as nothing else is at work."""
        from siltline.job.sketching import draw_missing, undrawn  # noqa: PLC0415 - reads photos

        if self.at_work is None and not self.lookout.trouble and undrawn(self.job):
            await self.work_on(draw_missing, gives_way=True)

    def _tell_end(self, fault: Exception) -> None:
        """Say in one sentence why long work did not come to its end."""
        match fault:
            case Stopped():
                told = say("work.stopped")
            case Refusal():
                told = str(fault)
            case OSError():
                told = say("work.failed", fault=why(fault))
            case _:
                told = say("work.failed", fault=fault)
        asked_for = isinstance(fault, Stopped)
        severity: SeverityLevel = "information" if asked_for else "error"
        self.notify(told, markup=False, severity=severity, timeout=10)

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        await super().respeak()
        if self._line is not None:
            self._line.respeak()

    def _show_work(self, work: Work) -> None:
        """Show how far the work is."""
        told = say("work.stopping") if work.stop.is_set() else work.line
        if self._line is not None:
            self._line.show(told)

    def action_stop_work(self) -> None:
        """Stop the long work between two pieces of it."""
        if self.at_work is None:
            self.notify(say("work.none"), markup=False)
            return
        self.at_work.stop.set()
        self._show_work(self.at_work)

    def on_work_line_stop(self, event: WorkLine.Stop) -> None:
        """Stop the work where its line was clicked."""
        event.stop()
        self.action_stop_work()

    async def action_quit(self) -> None:
        """Leave; everything is recorded already. What goes on is told first, then one key more."""
        first = self.goes_on()
        told = " ".join([*first, say("leave.again")])
        if first and not self.is_said(told):
            self.notify(told, markup=False, severity="warning", timeout=WARNING_S)
            return
        self.app.exit()

    def goes_on(self) -> list[str]:
        """Return what is not done yet where somebody leaves, what must stay wet first."""
        told: list[str] = []
        if self.job.board.ledger.wet:
            from siltline.job.contact import goes_on  # noqa: PLC0415 - most jobs keep nothing wet

            told += goes_on(self.job)
        if self.at_work is not None and not self.at_work.gives_way:
            told.append(say("work.leave"))
        return told

    def is_said(self, words: str) -> bool:
        """Tell whether a notice stands, for who asks for the same again."""
        app = self.app
        return isinstance(app, NoticeApp) and any(one.message == words for one in app.said)
