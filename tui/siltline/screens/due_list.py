"""The list of deadlines: what is due, by when, how much is left; what to do about each."""

from __future__ import annotations

from datetime import datetime, tzinfo
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content

from siltline.job import Job
from siltline.job.deadlines import deadlines_of, site_zone
from siltline.judge import due_words
from siltline.judge.deadlines import Deadline
from siltline.screens.desk import DUE_EVERY_S
from siltline.screens.listing import Entry, Listed, Listing
from siltline.screens.words import plain
from siltline.sentences import say
from siltline.text import cells

WIDEST = 22  # of a title, in its column
PADDING = 2  # columns of a row that hold no words, as listing.tcss has them
_GAP = "  "
_STYLES = {"past": "bold $error", "runs": "bold $warning", "met": "$success"}


def of_deadlines(job: Job, width: int) -> list[Entry]:
    """Return the deadlines of a job, in the order of the table, in rows of so many columns."""
    now, zone = job.clock(), site_zone(job)
    steps = {view.step.rule: view.step.id for view in reversed(list(job.board.steps.values()))}
    found = []
    for one in deadlines_of(job, now):
        title, rest, until = _fitted(one, now, zone, width)
        line = Content.assemble(
            plain(title),
            plain(rest, _style(one)),
            plain(until, "$secondary"),
        )
        head = plain(due_words.brief(one, now, zone), "bold")
        detail = Content("\n").join([head, *map(plain, due_words.told(one, zone))])
        found.append(Entry(line, detail, steps.get(one.rule.step, "")))
    return found


def _fitted(one: Deadline, now: datetime, zone: tzinfo, width: int) -> tuple[str, str, str]:
    """Return title, how much is left in as many words as fit, and the date, always whole."""
    title = due_words.title(one)
    titles = f"{title:<{WIDEST}} ", f"{title}{_GAP}"
    untils = due_words.until(one, zone), due_words.until_briefly(one, zone)
    if one.due is None:  # no date, but why there is none; it is told whole below
        return titles[0], "", untils[0]
    if one.state == "met":
        rests = [say("due.met")]
    else:
        rests = [due_words.left(one, now, zone), due_words.left_briefly(one, now, zone)]
    rests = [f"{rest}{_GAP}" if rest else "" for rest in rests]
    found = [(name, rest, until) for name in titles for until in untils for rest in rests]
    fits = (words for words in found if cells("".join(words)) <= width)
    return next(fits, (titles[1], "", untils[1]))


def _style(one: Deadline) -> str:
    """Return how what is left is written; what nobody here can miss is never alarming."""
    quiet = one.rule.owed or one.idle
    return "$secondary" if quiet else _STYLES.get(one.state, "$secondary")


class DueListing(Listing):
    """The deadlines, told again every minute."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "detail(1)", show=False, priority=True),
        Binding("pageup", "detail(-1)", show=False, priority=True),
    ]

    def __init__(self, job: Job) -> None:
        """Take the job."""
        super().__init__(lambda: _listed(job, self.app.size.width - PADDING))

    def on_mount(self) -> None:
        """Go on telling how much is left."""
        self.set_interval(DUE_EVERY_S, self.respeak)

    async def on_resize(self) -> None:
        """Tell as much in a row as fits it now."""
        await self.respeak()

    def action_detail(self, way: int) -> None:
        """Page through what is told, where the window is too low for it."""
        box = self.query_one("#detail-box", Horizontal)
        box.scroll_relative(y=way * max(1, box.size.height - 1), animate=False)


def _listed(job: Job, width: int) -> Listed:
    found = of_deadlines(job, width)
    return Listed(say("listing.deadlines", n=len(found)), found, say("due.none"))
