"""How dry each point is: the points, and of the one that stands out the chart and the sentences."""

from __future__ import annotations

from textwrap import wrap
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.job import Job
from siltline.job.drying import drawn, told
from siltline.judge.drying import Verdict, limits, verdict, verdicts
from siltline.science.chart import BLOCKS, PLAIN
from siltline.screens.keys import Keys
from siltline.screens.leaving import leave
from siltline.screens.words import plain
from siltline.sentences import say

STYLES = {"dry": "$success", "wetter": "bold $error", "never": "bold $error", "stalled": "$warning"}


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
        self.wanted = limits(job.board)
        self.dated = 0  # of so many points the day was reckoned

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        yield OptionList(id="dry-points", markup=False)
        yield Static(id="dry-told")
        yield Static(id="dry-chart")
        yield Keys()

    def on_mount(self) -> None:
        """List the points at once; reckon their days after, one between keys."""
        self.points_list.add_options(
            Option(self._row(one), id=str(n)) for n, one in enumerate(self.verdicts)
        )
        if self.points:
            self.points_list.highlighted = 0
        self.show()
        self.call_after_refresh(self._date_next)

    @property
    def points_list(self) -> OptionList:
        """Return the list of points."""
        return self.query_one("#dry-points", OptionList)

    def _row(self, one: Verdict) -> Content:
        point = one.point
        mark = plain(f"{say(f'dry.{one.state}'):<14}", STYLES.get(one.state, ""))
        name = plain(f"{point.name:<8} {one.newest or '-':>8}  ", "bold")
        return Content.assemble(name, mark, plain(f"  {point.place}  {point.where}"))

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
        if not self.points:
            self.query_one("#dry-told", Static).update(plain(say("dry.none")))
            return
        one = self.verdicts[self.points_list.highlighted or 0]
        self.query_one("#dry-told", Static).update(plain("\n".join(told(self.job, one))))
        self.call_after_refresh(self._draw, one)

    def _draw(self, one: Verdict) -> None:
        box = self.query_one("#dry-chart", Static)
        ascii_only = self.app.console.encoding.lower() != "utf-8"
        # in a narrow window the legend takes two lines: none of its signs may be cut off
        legend = wrap(say("drying.legend-plain" if ascii_only else "drying.legend"), box.size.width)
        size = box.size.width - 2, box.size.height - len(legend)
        if size[1] < 8:  # noqa: PLR2004 - no chart fits less
            box.update("")
            return
        lines = drawn(one, size, PLAIN if ascii_only else BLOCKS)
        box.update(plain("\n".join([*lines, *legend] if lines else [])))

    def on_resize(self, _: events.Resize) -> None:
        """Draw to the new size."""
        self.call_after_refresh(self.show)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the point that was stepped onto."""
        event.stop()
        self.show()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go to the step that the point is for."""
        event.stop()
        point = self.points[event.option_index]
        for view in self.job.board.steps.values():
            reads = [held.proof.name.casefold() for held in view.held]
            if view.step.place == point.place and point.reads.casefold() in reads:
                leave(self, view.step.id)
                return

    def action_read(self) -> None:
        """Read all points, in their order."""
        leave(self, self.READ)

    def action_leave(self) -> None:
        """Go back."""
        leave(self, "")
