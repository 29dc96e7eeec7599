"""One line on every screen for the contact times that run, and a bell when one is over."""

from __future__ import annotations

from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Static

from siltline.job import Job
from siltline.job.contact import going, line, told
from siltline.judge.contact import Standing
from siltline.screens.desk import Desk
from siltline.screens.words import plain
from siltline.sentences import say

EVERY_S = 1.0
TOLD_S = 30.0


class WetLine(Static):
    """Lies at the end of the first line of a screen, whatever screen it is; it moves nothing."""

    DEFAULT_CSS = """
    WetLine {
        layer: wet; dock: right; width: auto; max-width: 100%; height: 1;
        text-wrap: nowrap; text-overflow: ellipsis;
    }
    """


class Wets:
    """Shows on every screen what runs, once a second while anything does and never otherwise."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.job = desk, desk.job
        self._timer: Timer | None = None
        self._over: set[str] = set()  # runs whose end was rung
        self._stood: list[tuple[str, str, bool]] = []
        self.wide = 0  # columns of the first line that it takes

    def look(self) -> None:
        """Look at what runs: after an act, and once a second while anything does."""
        found = going(self.job)
        self._ring([one for one in found if one.state == "over"])
        content = _content(self.job, found)
        self._show(content)
        self._give_room(content.cell_length if content else 0)
        if found and self._timer is None:
            self._timer = self.desk.set_interval(EVERY_S, self._tick)
        elif not found and self._timer is not None:
            self._timer.stop()
            self._timer = None
        self._stood = [(one.run.begun.event, one.state, one.asks) for one in found]

    def _tick(self) -> None:
        stood = self._stood
        self.look()
        if stood != self._stood:  # the card of the step tells it, too
            self.desk.show()

    def _ring(self, over: list[Standing]) -> None:
        """Ring once for each run whose time is over, and say so."""
        now = {one.run.begun.event for one in over}
        for one in over:
            if one.run.begun.event not in self._over:
                self.desk.app.bell()
                words = say("wet.rings", told=told(self.job, one))
                self.desk.notify(words, markup=False, severity="warning", timeout=TOLD_S)
        self._over = now

    def _give_room(self, wide: int) -> None:
        """Let the head line of the desk say its part beside it."""
        if wide != self.wide:
            self.wide = wide
            self.desk.fit_head()

    def _show(self, content: Content | None) -> None:
        for screen in self.desk.app.screen_stack:
            _put(screen, content)


def _put(screen: Screen[object], content: Content | None) -> None:
    lines = screen.query(WetLine)
    if content is None:
        lines.remove()
    elif lines:
        if lines.first().content != content:
            lines.first().update(content)
    elif screen.is_attached:
        screen.mount(WetLine(content))


def _content(job: Job, found: list[Standing]) -> Content | None:
    """Return the line: the run that matters most, and how many others there are."""
    if not found:
        return None
    words = line(job, found[0])
    grave = found[0].urgent or found[0].set_back
    if grave:
        words = say("wet.press", line=words)
    if len(found) > 1:
        words = say("wet.and-more", line=words, n=len(found) - 1)
    return plain(f" {words} ", "bold $warning reverse" if grave else "bold $success reverse")
