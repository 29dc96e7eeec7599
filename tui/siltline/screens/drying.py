"""How dry each point is: the points, and of the one that stands out the chart and the sentences.

Unaffected wood stands last, with what it reads and neither a verdict nor a day.
"""

from __future__ import annotations

from textwrap import wrap
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.job import Job, references
from siltline.job.drying import drawn, told
from siltline.judge.drying import Verdict, beside, limits, step_of, verdict, verdicts
from siltline.judge.points import Point
from siltline.judge.references import Reference
from siltline.science.chart import BLOCKS, PLAIN
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say

STYLES = {"dry": "$success", "wetter": "bold $error", "never": "bold $error", "stalled": "$warning"}


class Chart(Static):
    """Where the chart is drawn, anew for each size: longer sentences above leave it less room."""

    class Resized(Message):
        """It has another size."""

    def on_resize(self, _: events.Resize) -> None:
        """Ask for what fits the new size."""
        self.post_message(self.Resized())


class DryingScreen(Screen[str]):
    """Lists the points; returns the step of the one that was picked, READ to read them, or ""."""

    READ = "read"
    CSS_PATH = "page.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        ("m", "read", say("key.read-all")),
    ]

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.verdicts = verdicts(job.board, dated=False)
        self.points = [one.point for one in self.verdicts]
        self.dry = beside(job.board, self.verdicts)
        self.wanted = limits(job.board)
        self.dated = 0  # of so many points the day was reckoned

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        yield OptionList(id="dry-points", markup=False)
        yield Static(id="dry-told")
        yield Chart(id="dry-chart")
        yield Keys()

    def on_mount(self) -> None:
        """List the points at once; reckon their days after, one between keys."""
        self.points_list.add_options(map(self._row, self.verdicts))
        self.points_list.add_options(map(self._row_dry, self.dry))
        if self.points_list.option_count:
            self.points_list.highlighted = 0
        self.show()
        self.call_after_refresh(self._date_next)

    @property
    def points_list(self) -> OptionList:
        """Return the list of points."""
        return self.query_one("#dry-points", OptionList)

    def _row(self, one: Verdict) -> Option:
        return _listed(one.point, one.newest, say(f"dry.{one.state}"), STYLES.get(one.state, ""))

    def _row_dry(self, one: Reference) -> Option:
        newest = one.newest.value if one.newest else ""
        return _listed(one.point, newest, say("dry.reference"), "$secondary")

    def _date_next(self) -> None:
        """Reckon the day of the next point, and come back for the one after it."""
        if self.dated >= len(self.points) or not self.is_attached:
            return
        at = self.dated
        self.verdicts[at] = verdict(self.job.board, self.points[at], self.wanted)
        self.dated += 1
        if at == self.points_list.highlighted:
            self.show()
        else:
            self._head()
        self.call_later(self._date_next)

    def _head(self) -> None:
        dry = sum(one.state == "dry" for one in self.verdicts)
        head = say("dry.head", n=dry, all=len(self.points))
        if self.dated < len(self.points):
            head = f"{head}   {say('dry.dated')}"
        self.query_one("#head", Static).update(plain(head))

    def show(self) -> None:
        """Show the point that stands out."""
        self._head()
        one = self._standing_out()
        if one is not None:
            lines = told(self.job, one)
        elif self.dry:
            at = (self.points_list.highlighted or 0) - len(self.verdicts)
            lines = [references.told(self.job, self.dry[at])]
        else:
            lines = [say("dry.none")]
        self.query_one("#dry-told", Static).update(plain("\n".join(lines)))
        self.call_after_refresh(self.draw)

    def _standing_out(self) -> Verdict | None:
        """Return how the point stands that stands out; None for unaffected wood."""
        at = self.points_list.highlighted or 0
        return self.verdicts[at] if at < len(self.verdicts) else None

    def draw(self) -> None:
        """Draw the chart of the point that stands out, as large as there is room."""
        one = self._standing_out()
        box = self.query_one("#dry-chart", Static)
        ascii_only = self.app.console.encoding.lower() != "utf-8"
        # in a narrow window the legend takes two lines: none of its signs may be cut off
        legend = wrap(say("drying.legend-plain" if ascii_only else "drying.legend"), box.size.width)
        size = box.size.width - 2, box.size.height - len(legend)
        if one is None or size[1] < 8:  # noqa: PLR2004 - no chart fits less
            box.update("")
            return
        lines = drawn(one, size, PLAIN if ascii_only else BLOCKS)
        box.update(plain("\n".join([*lines, *legend] if lines else [])))

    def on_chart_resized(self, event: Chart.Resized) -> None:
        """Draw to the new size."""
        event.stop()
        self.draw()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the point that was stepped onto."""
        event.stop()
        self.show()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go to the step that the point is for."""
        event.stop()
        point = [*self.points, *(one.point for one in self.dry)][event.option_index]
        step = step_of(self.job.board, point)
        if step:
            leave(self, step)

    def action_read(self) -> None:
        """Read all points, in their order."""
        leave(self, self.READ)

    def action_leave(self) -> None:
        """Go back."""
        leave(self, "")


def _listed(point: Point, newest: str, mark: str, style: str) -> Option:
    """Return the row of a point."""
    name = plain(f"{point.name:<8} {newest or '-':>8}  ", "bold")
    where = plain(f"  {point.place}  {point.where}")
    return Option(Content.assemble(name, plain(f"{mark:<14}", style), where))
