"""The desk: steps by phase, the step in hand, the tray of photos that no step uses yet."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.job import Job
from siltline.job.contact import wet_now
from siltline.job.synced import synced_folder
from siltline.judge import StepView
from siltline.judge.board import OPEN_STATES
from siltline.judge.next_thing import next_thing
from siltline.judge.put_back import still_to_put_back
from siltline.screens.card import card
from siltline.screens.headline import Head, fitted
from siltline.screens.keys import Keys, enter_does
from siltline.screens.living import Watch, clock_behind
from siltline.screens.words import plain, row
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.wetline import Wets
    from siltline.screens.working import Work

DUE_AFTER_S, DUE_EVERY_S = 1.0, 60.0  # deadlines: once the first paint is out; to the minute
LOOK_EVERY_S = 0.5  # how soon another program's acts are seen
WARNING_S = 15.0  # to read three lines
HEAD_PADDING = 2  # columns, as siltline.tcss has them


class StepRows(OptionList):
    """The steps by phase; Enter ticks the one in hand, also before they are listed."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.tick", "screen.do('tick')")


class Desk(Screen[None]):
    """Steps on the left, the step in hand beside them; `doing.py` adds what keys do."""

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.by_place = False
        self.only_open = False
        self.drawn: dict[str, str] = {}  # the steps that are listed, in the state that is shown
        self.lookout = Watch(job)
        self.at_work: Work | None = None
        # the nearest deadline, whole and short; None until the sheet was read for it
        self.due: tuple[str, ...] | None = None
        self.wets: Wets | None = None  # once anything was wetted
        self.head = Head(job.house_name)  # as it was last counted
        first = next_thing(job.board, wet_now(job)) or next(iter(job.board.steps.values()))
        self.here = first.step.id  # the step in hand, whether the list shows it or not

    def _extend_compose(self, widgets: list[Widget]) -> None:
        """Leave out what Textual adds for tips and toasts: `notices.py` has lines for these."""

    def compose(self) -> ComposeResult:
        """Lay the desk out."""
        yield Static(id="head")
        with Horizontal(id="body"):
            yield StepRows(id="steps", markup=False)
            with VerticalScroll(id="card-box", can_focus=False):
                yield Static(id="card")
            yield Static(id="tray")
        yield Keys()

    def on_mount(self) -> None:
        """Show the step in hand at once, then list the others, and watch the file."""
        self.show()
        self.call_after_refresh(self.fill)
        self.set_interval(LOOK_EVERY_S, self.look)
        self.call_after_refresh(self.warn)
        self.set_timer(DUE_AFTER_S, lambda: self.run_worker(self.first_due()))
        self.set_interval(DUE_EVERY_S, self.see_due)
        self.call_after_refresh(self.look_at_wet)

    def warn(self) -> None:
        """Say once, when the job is opened, what is odd about its folder and the clock."""
        behind = clock_behind(self.job)
        if behind:
            self.notify(behind, markup=False, severity="warning", timeout=WARNING_S)
        synced = synced_folder(self.job.record.path)
        if synced is not None:
            told = say("doctor.synced", folder=synced)
            self.notify(told, markup=False, severity="warning", timeout=WARNING_S)

    async def first_due(self) -> None:
        """Read the house sheet for deadlines in a thread, and show the nearest one."""
        from siltline.job.deadlines import reading  # noqa: PLC0415 - no first paint needs it

        await asyncio.to_thread(reading(self.job))
        self.due = ()
        self.see_due()

    def see_due(self) -> None:
        """Show the nearest deadline as it stands now."""
        if self.look_up_due():
            self.show()

    def look_up_due(self) -> bool:
        """Look up the nearest deadline; tell whether that changed what the head line says."""
        from siltline.job.deadlines import heads  # noqa: PLC0415 - no first paint needs it

        was = self.due
        if was is None or not self.is_attached:
            return False
        self.due = heads(self.job)
        return self.due != was

    def on_resize(self) -> None:
        """Keep the step in hand in sight, at the first layout as well; fit the head line."""
        self.fit_head()
        self.call_after_refresh(self.steps.scroll_to_highlight)

    # what is shown

    @property
    def steps(self) -> StepRows:
        """Return the list of steps."""
        return self.query_one("#steps", StepRows)

    def fill(self) -> None:
        """Fill the list of steps from the board, keeping the step in hand."""
        here = self.here
        options: list[Option] = []
        self.drawn = {}
        for heading, views in self._groups():
            self.drawn |= {view.step.id: view.state for view in views}
            options.append(Option(plain(heading), disabled=True))
            options += [Option(row(view), id=view.step.id) for view in views]
        self.steps.set_options(options)
        self.go_to(here)
        self.show()

    def _groups(self) -> list[tuple[str, list[StepView]]]:
        """Return the steps that are listed, by phase or by place, under their headings."""
        titles = self.job.phase_titles()
        groups: dict[str, list[StepView]] = {}
        for view in self.job.board.steps.values():
            if self.only_open and view.state not in OPEN_STATES:
                continue
            step = view.step
            heading = step.place_name if self.by_place else titles.get(step.phase, step.phase)
            groups.setdefault(heading, []).append(view)
        return list(groups.items())

    def go_to(self, step: str) -> None:
        """Take a step in hand; where the list leaves it out, list everything again."""
        if step not in self.drawn:
            self.only_open = False
            self.fill()
        self.stand_on(step)

    async def respeak(self) -> None:
        """Say everything again, in the language that is spoken now."""
        self.look_up_due()
        self.fill()
        self.refresh_bindings()

    def stand_on(self, step: str) -> None:
        """Take a step in hand."""
        self.here = step
        if step in self.drawn:
            self.steps.highlighted = self.steps.get_option_index(step)

    @property
    def in_hand(self) -> StepView:
        """Return the step in hand."""
        views = self.job.board.steps
        return views[self.here] if self.here in views else next(iter(views.values()))

    def show(self) -> None:
        """Show the step in hand, the head line and the tray as they stand."""
        unused = self.job.board.unused_photos()
        self.head = self._head_now(len(unused))
        self.fit_head()
        self.query_one("#card", Static).update(card(self.job, self.in_hand))
        self.query_one("#tray", Static).update(self._tray(unused))

    def fit_head(self) -> None:
        """Fit the head line into the columns that are left beside what must stay wet."""
        room = self.size.width - HEAD_PADDING - (self.wets.wide if self.wets else 0)
        self.query_one("#head", Static).update(plain(fitted(self.head, room)))

    def _head_now(self, unused: int) -> Head:
        """Count what the head line tells; of the photos the caller knows how many are unused."""
        board, copy = self.job.board, self.job.copy_state
        done = sum(view.state == "documented" for view in board.steps.values())
        alarms = [
            say("life.head") if self.lookout.trouble else "",
            say("copy.short", n=copy.behind) if copy is not None and copy.behind else "",
            say("practice.mark") if self.job.is_practice else "",
        ]
        counts = (
            say("desk.documented", done=done, steps=len(board.steps)),
            say("desk.to-put-back", n=len(still_to_put_back(board))),
            say("desk.tray", n=unused),
        )
        return Head(self.job.house_name, counts, self.due or (), tuple(filter(None, alarms)))

    def _tray(self, unused: Sequence[str]) -> Content:
        photos = self.job.board.ledger.photos
        lines = [plain(say("desk.tray", n=len(unused)), "bold $primary")]
        lines += [plain(f"\n{photos[photo].name}") for photo in unused[:40]]
        return Content.assemble(*lines, plain("\n\n" + say("desk.tray-keys"), "$secondary"))

    def changed(self, told: str = "") -> None:
        """Show what an act changed: only the rows that differ."""
        wanted = {view.step.id: view.state for _, group in self._groups() for view in group}
        if wanted.keys() != self.drawn.keys():
            self.fill()
        rows = self.steps
        for step in [step for step, state in wanted.items() if self.drawn[step] != state]:
            rows.replace_option_prompt(step, row(self.job.board.steps[step]))
        self.drawn = wanted
        self.look_up_due()
        self.show()
        self.look_at_wet()
        if told:
            self.notify(told, markup=False, timeout=4)

    def look_at_wet(self) -> None:
        """Look at the contact times, and go on with it while any runs."""
        if self.wets is None:
            if not self.job.board.ledger.wet:
                return
            from siltline.screens.wetline import Wets  # noqa: PLC0415 - most jobs have none

            self.wets = Wets(self)
        self.wets.look()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the step that was stepped onto."""
        if event.option_list is self.steps and event.option.id:
            self.here = event.option.id
            self.show()
            self.query_one("#card-box", VerticalScroll).scroll_home(animate=False)

    def look(self) -> None:
        """Notice what another program wrote, and what became of the file and the clock."""
        seen = self.lookout.look()
        for told, grave in seen.told:
            self.notify(
                told,
                markup=False,
                severity="error" if grave else "information",
                timeout=WARNING_S,
            )
        if seen.changed:  # our own long work writes as another program does
            others = seen.by_others and not self.at_work
            self.changed(say("desk.others") if others else "")
        elif seen.told:
            self.show()
