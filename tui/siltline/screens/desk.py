"""The desk: steps by phase, the step in hand, the tray of photos that no step uses yet."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Footer, OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import WorkerFailed

from siltline import config
from siltline.errors import Refusal
from siltline.job import Job, acts
from siltline.judge import StepView
from siltline.judge.findings import still_to_put_back
from siltline.record.derived import photo_facts
from siltline.screens.asking import tick_fields
from siltline.screens.card import card
from siltline.screens.forms import Field, Form, Typed
from siltline.screens.picking import Pick
from siltline.screens.rows import StepRows
from siltline.screens.words import plain, row, short
from siltline.sentences import say

LOOK_EVERY_S = 0.5  # how soon another program's acts are seen


class DeskScreen(Screen[None]):
    """Steps on the left, the step in hand beside them."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012 - Textual's own type
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "attach", say("key.attach")),
        Binding("x", "leave_out", say("key.leave-out")),
        Binding("v", "review", say("key.review")),
        Binding("question_mark", "help", say("key.help"), key_display="?"),
        Binding("u", "undo", show=False),
        Binding("w", "untick", show=False),
        Binding("d", "detach", show=False),
        Binding("f", "add", show=False),
        Binding("h", "hand_off", show=False),
        Binding("n", "name", show=False),
        Binding("q", "quit", show=False),
        Binding("pagedown", "card_down", show=False),
        Binding("pageup", "card_up", show=False),
    ]

    def __init__(self, job: Job) -> None:
        super().__init__()
        self.job = job
        self.person = config.person() or ""

    def compose(self) -> ComposeResult:
        """Lay the desk out."""
        yield Static(id="head")
        with Horizontal(id="body"):
            yield StepRows(id="steps", markup=False)
            with VerticalScroll(id="card-box", can_focus=False):
                yield Static(id="card")
            yield Static(id="tray")
        yield Footer()

    def on_mount(self) -> None:
        """Fill the lists, stand on the first open step, and watch the file."""
        self.fill()
        views = list(self.job.board.steps.values())
        first = next((v for v in views if v.state in ("todo", "done", "measure")), views[0])
        self.stand_on(first.step.id)
        self.set_interval(LOOK_EVERY_S, self.look)

    # what is shown

    @property
    def steps(self) -> StepRows:
        """Return the list of steps."""
        return self.query_one("#steps", StepRows)

    def fill(self) -> None:
        """Fill the list of steps from the board, keeping the step in hand."""
        here = self.in_hand.step.id if self.steps.highlighted is not None else None
        options: list[Option] = []
        phase = ""
        titles = {p.id: p.title for p in self.job.board.plan.phases}
        for view in self.job.board.steps.values():
            if view.step.phase != phase:
                phase = view.step.phase
                options.append(Option(plain(titles.get(phase, phase)), disabled=True))
            options.append(Option(row(view), id=view.step.id))
        self.steps.set_options(options)
        if here is not None:
            self.stand_on(here)
        self.show()

    def stand_on(self, step: str) -> None:
        """Take a step in hand."""
        self.steps.highlighted = self.steps.get_option_index(step)

    @property
    def in_hand(self) -> StepView:
        """Return the step in hand."""
        number = self.steps.highlighted
        option = self.steps.get_option_at_index(number) if number is not None else None
        views = self.job.board.steps
        return views[option.id] if option and option.id else next(iter(views.values()))

    def show(self) -> None:
        """Show the step in hand, the head line and the tray as they stand."""
        board = self.job.board
        done = sum(view.state == "documented" for view in board.steps.values())
        out = len(still_to_put_back(board))
        tray = len(board.unused_photos())
        counts = {"done": done, "steps": len(board.steps), "out": out, "tray": tray}
        head = say("desk.head", house=board.plan.house, **counts)
        self.query_one("#head", Static).update(plain(head))
        self.query_one("#card", Static).update(card(self.job, self.in_hand))
        self.query_one("#tray", Static).update(self._tray())

    def _tray(self) -> Content:
        photos, unused = self.job.board.ledger.photos, self.job.board.unused_photos()
        lines = [plain(say("desk.tray", n=len(unused)), "bold $primary")]
        lines += [plain(f"\n{photos[photo].name}") for photo in unused[:40]]
        return Content.assemble(*lines, plain("\n\n" + say("desk.tray-keys"), "$secondary"))

    def changed(self, told: str = "") -> None:
        """Show what an act changed: only the rows that differ."""
        views = self.job.board.steps
        if any(view.step.id not in self._listed() for view in views.values()):
            self.fill()
        for view in views.values():
            content = row(view)
            if self.steps.get_option(view.step.id).prompt != content:
                self.steps.replace_option_prompt(view.step.id, content)
        self.show()
        if told:
            self.notify(told, markup=False, timeout=4)

    def _listed(self) -> set[str | None]:
        return {option.id for option in self.steps.options}

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the step that was stepped onto."""
        if event.option_list is self.steps:
            self.show()
            self.query_one("#card-box", VerticalScroll).scroll_home(animate=False)

    def look(self) -> None:
        """Notice what another program wrote."""
        try:
            if self.job.record.touched_by_others() and self.job.refresh():
                self.changed(say("desk.others"))
        except Refusal as fault:
            self.notify(str(fault), markup=False, severity="error")

    # what is done

    def do(self, act: Callable[[], object], told: str = "") -> bool:
        """Do an act and show it, or say in one sentence why not."""
        try:
            act()
        except Refusal as fault:
            self.notify(str(fault), markup=False, severity="warning", timeout=8)
            self.changed()
            return False
        self.changed(told)
        return True

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tick the step in hand: Enter in the list does the likely thing."""
        event.stop()
        self.action_tick()

    @work
    async def action_tick(self) -> None:
        """Tick the step in hand; ask only for what it needs."""
        view = self.in_hand
        fields = tick_fields(view, self.person)
        typed: Typed | None = {"by": self.person}
        if view.waiting or view.state == "not-needed":
            typed = {"by": self.person or "-"}  # the act itself says why not
        elif fields:
            hint = view.measure if view.state == "measure" else view.step.do
            typed = await self.app.push_screen_wait(Form(say("form.tick"), fields, hint))
        if typed is None:
            return
        self._know(typed["by"])
        values = [v for key, v in typed.items() if key.startswith("value") and v.strip()]
        self.do(
            lambda: acts.tick(
                self.job,
                view.step.id,
                by=typed["by"],
                licence=typed.get("licence", ""),
                values=values,
                note=typed.get("note", ""),
            ),
            say("desk.ticked", step=short(view), by=typed["by"]),
        )

    def _know(self, name: str) -> None:
        if name.strip() and name != self.person:
            self.person = name.strip()
            config.remember_person(self.person)

    @work
    async def action_leave_out(self) -> None:
        """Leave the step in hand out, with a name and a reason."""
        view = self.in_hand
        fields = [Field("by", say("form.by"), self.person), Field("because", say("form.because"))]
        hint = " ".join(filter(None, [view.step.do, view.step.hold_point]))
        typed = await self.app.push_screen_wait(Form(say("form.leave-out"), fields, hint))
        if typed is None:
            return
        self._know(typed["by"])
        self.do(lambda: acts.leave_out(self.job, view.step.id, **typed), say("desk.left-out"))

    @work
    async def action_attach(self) -> None:
        """Attach a photo to the step in hand, from the tray first."""
        view, photos = self.in_hand, self.job.board.ledger.photos
        if not photos:
            self.notify(say("desk.no-photos"), markup=False)
            return
        unused = self.job.board.unused_photos()
        order = [*unused, *(p for p in photos if p not in unused)]
        facts = photo_facts(self.job.record.connection)
        rows = [(p, self._photo_row(p, p in unused, facts.get(p, {}))) for p in order]
        wanted = [h.proof.name for h in view.missing if h.proof.kind == "photo"]
        named = [p.name for p in view.step.proof if p.kind == "photo"]
        roles = list(dict.fromkeys([*wanted, *named, *acts.COMMON_ROLES]))
        title = say("pick.attach", step=short(view))
        picked = await self.app.push_screen_wait(Pick(title, rows, choices=roles))
        if picked is not None:
            photo, role = picked
            self.do(
                lambda: acts.attach(
                    self.job, view.step.id, photo, role=role, by=self.person or None
                ),
                say("desk.attached", name=photos[photo].name, role=role),
            )

    def _photo_row(self, photo: str, unused: bool, facts: dict[str, Any]) -> Content:
        taken = self.job.board.ledger.photos[photo]
        stamp = facts.get("stamp") or say("photos.no-stamp")
        told = f"  {stamp}  {photo[:8]}  {'' if unused else say('pick.used')}"
        return Content.assemble(plain(taken.name), plain(told, "$secondary"))

    @work
    async def action_detach(self) -> None:
        """Take a photo off the step in hand."""
        view, photos = self.in_hand, self.job.board.ledger.photos
        if not view.attached:
            self.notify(say("desk.none-attached"), markup=False)
            return
        rows = [(a.photo, plain(f"{a.role}: {photos[a.photo].name}")) for a in view.attached]
        picked = await self.app.push_screen_wait(Pick(say("pick.detach", step=short(view)), rows))
        if picked is not None:
            self.do(lambda: acts.detach(self.job, view.step.id, picked[0]), say("detach.done"))

    def action_untick(self) -> None:
        """Take back the word on the step in hand."""
        view = self.in_hand
        self.do(
            lambda: acts.untick(self.job, view.step.id, by=self.person or None),
            say("desk.unticked"),
        )

    def action_undo(self) -> None:
        """Take back the newest act."""
        undone: list[str] = []

        def act() -> None:
            event = acts.undo(self.job, by=self.person or None)
            undone.append(say(f"kind.{event.kind}"))
            self._undone_step = str(event.body["step"])

        if self.do(act):
            self.notify(say("desk.undone", what=undone[0], step=self._undone_step), markup=False)

    @work
    async def action_review(self) -> None:
        """Show what stands between this job and its sign-off; go to the step that is picked."""
        from siltline.screens.reviewing import ReviewScreen  # noqa: PLC0415

        step = await self.app.push_screen_wait(ReviewScreen(self.job))
        if step and step in self.job.board.steps:
            self.stand_on(step)
        self.changed()

    @work
    async def action_add(self) -> None:
        """Take photos in from a file or a folder; keys go on working meanwhile."""
        from siltline.screens.adding import take_in  # noqa: PLC0415 - reads photos

        form = Form(say("form.add"), [Field("path", say("form.path"))], say("form.add-hint"))
        typed = await self.app.push_screen_wait(form)
        if typed is None:
            return
        by = self.person or None
        worker = self.run_worker(
            lambda: take_in(self.job, typed["path"], by), thread=True, exit_on_error=False
        )
        try:
            report = await worker.wait()
        except WorkerFailed as fault:
            told = isinstance(fault.error, Refusal)
            text = str(fault.error) if told else say("desk.add-failed", fault=fault.error)
            self.notify(text, markup=False, severity="error", timeout=10)
            return
        self.job.refresh()
        counts = {kind: len(report.of(kind)) for kind in ("taken", "already", "refused")}
        self.changed(say("add.summary", **counts))
        for outcome in report.of("refused")[:3]:
            text = say("add.refused", name=outcome.path.name, because=outcome.because)
            self.notify(text, markup=False, severity="warning", timeout=8)

    @work
    async def action_hand_off(self) -> None:
        """Hand the job to the next crew."""
        from siltline.job.close_out import hand_off  # noqa: PLC0415

        fields = [Field("giver", say("form.giver"), self.person), Field("taker", say("form.taker"))]
        typed = await self.app.push_screen_wait(Form(say("form.hand-off"), fields))
        if typed is not None:
            told = say("desk.handed", **typed)
            self.do(lambda: hand_off(self.job, giver=typed["giver"], taker=typed["taker"]), told)

    @work
    async def action_name(self) -> None:
        """Ask who is at the keyboard."""
        typed = await self.app.push_screen_wait(
            Form(say("form.name"), [Field("by", say("form.by"), self.person)])
        )
        if typed is not None:
            self._know(typed["by"])

    def action_help(self) -> None:
        """Show the keys and the marks."""
        from siltline.screens.helping import HelpScreen  # noqa: PLC0415

        self.app.push_screen(HelpScreen())

    def action_card_down(self) -> None:
        """Scroll the step in hand."""
        self.query_one("#card-box", VerticalScroll).scroll_page_down(animate=False)

    def action_card_up(self) -> None:
        """Scroll the step in hand back."""
        self.query_one("#card-box", VerticalScroll).scroll_page_up(animate=False)

    async def action_quit(self) -> None:
        """Leave; everything is recorded already."""
        self.app.exit()
