"""What is said in passing: in lines of its own at the foot of whatever screen is up.

A notice lies over nothing: the screen gives it room. What is said twice stands once, for longer.
What has no room waits below what was said later, and its time does not run meanwhile; but how a
switch stands (the order of a list, the look) is not told any more once it was switched again.
"""

from __future__ import annotations

from msgspec import Struct
from textual.app import ScreenStackError
from textual.content import Content
from textual.notifications import SeverityLevel
from textual.timer import Timer

from siltline.screens.ending import EndingApp
from siltline.screens.words import plain

TICK_S = 0.25
SHARE = 3  # a third of the lines of a window for all notices; the newest may take more
BESIDE = 3  # columns of a notice that hold no words, as notice_lines.py has them
# Where one begins and how grave it is, for who sees no colour.
_SIGNS: dict[SeverityLevel, str] = {"information": "-", "warning": "!", "error": "!!"}


class Said(Struct, eq=False):
    """A sentence, how grave it is, for how many seconds more it is to stand, of which switch."""

    message: str
    severity: SeverityLevel
    left_s: float
    switch: str = ""


def told(said: Said) -> Content:
    """Return what a notice says, and how grave it is."""
    return plain(f"{_SIGNS[said.severity]} {said.message}")


class NoticeApp(EndingApp):
    """An app whose notices hide nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[Said] = []  # the oldest first
        self._ticks: Timer | None = None
        self._spoke = False

    def notify(
        self,
        message: str,
        *,
        title: str = "",
        severity: SeverityLevel = "information",
        timeout: float | None = None,
        markup: bool = True,  # noqa: ARG002
    ) -> None:
        """Say something in passing, for so many seconds; what is said already, for longer.

        No notice of ours has a title: it is the name of the switch that the notice tells of.
        """
        outdated = [one for one in self.said if title and one.switch == title]
        others = [one for one in self.said if one.message != message and one not in outdated]
        stands_s = timeout or self.NOTIFICATION_TIMEOUT
        self._spoke = True
        self.said = [*others, Said(message, severity, stands_s, title)]
        if self._ticks is None:
            self._ticks = self.set_interval(TICK_S, self._tick)
        self._refresh_notifications()

    def unsay(self, said: Said) -> None:
        """Take a notice away."""
        self.said = [one for one in self.said if one is not said]
        self._refresh_notifications()

    def clear_notifications(self) -> None:
        """Take all notices away."""
        self.said = []
        self._refresh_notifications()

    def _tick(self) -> None:
        """Let time pass for what can be read."""
        for one in self._in_sight():
            one.left_s -= TICK_S
        left = [one for one in self.said if one.left_s > 0]
        if len(left) < len(self.said):
            self.said = left
            self._refresh_notifications()
        if not left and self._ticks is not None:
            self._ticks.stop()
            self._ticks = None

    def _in_sight(self) -> list[Said]:
        """Return what there is room for, the oldest first; the newest always is."""
        width = self.size.width - BESIDE
        room = self.size.height // SHARE
        found: list[Said] = []
        for one in reversed(self.said):
            room -= told(one).get_height({}, max(1, width))
            if found and room < 0:
                break
            found.append(one)
        return found[::-1]

    def _refresh_notifications(self) -> None:
        """Show the notices on the screen that is up; Textual asks for it when another comes up."""
        if not self._spoke or self._disable_notifications:  # as most tests want it
            return
        from siltline.screens.notice_lines import Notices  # noqa: PLC0415 - no first paint needs it

        try:
            screen = self.screen
        except ScreenStackError:
            return
        here, shown = screen.query(Notices), self._in_sight()
        if not here and shown and screen.is_attached:
            screen.mount(Notices())
        for notices in screen.query(Notices):
            notices.put(shown)
