"""The start: the jobs of this laptop, the sample, a new job, a practice job."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.screen import Screen
from textual.types import CSSPathType
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import WorkerFailed

from siltline import config, resources, times
from siltline.errors import Refusal, WrongUse
from siltline.job.drafts import Draft, draft_of
from siltline.job.recent import Opened, recent
from siltline.record.connect import with_ending
from siltline.screens.field import Field, Typed
from siltline.screens.forms import Form
from siltline.screens.keys import Keys
from siltline.screens.looks import LookApp
from siltline.screens.picking import Pick, PickRows
from siltline.screens.words import plain
from siltline.sentences import say
from siltline.text import slug

OFFERED = ("begin", "tour", "practice")


class StartScreen(Screen[None]):
    """Offers what can be opened; the app returns the job file that was picked."""

    CSS_PATH = "listing.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape,q", "leave", say("key.quit")),
        ("T", "app.next_theme", say("key.next-theme")),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.jobs: list[Opened] = []

    def compose(self) -> ComposeResult:
        """Lay the start out."""
        yield Static(plain(say("start.head")), id="head")
        yield Static(plain(say("start.what")), id="start-what")
        yield PickRows(id="listing", markup=False)
        yield Static(id="start-help")
        yield Static(id="sheet-faults")
        yield Keys()

    def on_mount(self) -> None:
        """List what there is; stand on the job that was opened last."""
        self.jobs = recent()
        rows = self.query_one(PickRows)
        options: list[Option] = []
        if self.jobs:
            options.append(Option(plain(say("start.recent"), "bold $primary"), disabled=True))
            options += [Option(_job(one), id=f"job-{n}") for n, one in enumerate(self.jobs)]
            options.append(Option(plain(say("start.else"), "bold $primary"), disabled=True))
        options += [Option(plain(f"  {say(f'start.{what}')}"), id=what) for what in OFFERED]
        rows.set_options(options)
        rows.highlighted = 1 if self.jobs else 0
        self.set_focus(rows)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Say what a row does."""
        picked = event.option.id or ""
        told = say(f"start.help.{picked if picked in OFFERED else 'job'}")
        if picked.startswith("job-") and not self.jobs[int(picked.removeprefix("job-"))].there:
            told = say("start.gone")
        self.query_one("#start-help", Static).update(plain(told))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go where a row goes."""
        event.stop()
        picked = event.option.id or ""
        if picked.startswith("job-"):
            found = self.jobs[int(picked.removeprefix("job-"))]
            if found.there:
                self.app.exit(found.path)
            else:
                self._tell(say("start.gone"))
        elif picked == "begin":
            self.begin_new()
        elif picked == "tour":
            self.lay_out(_tour)
        else:
            self.lay_out(_practice)

    def _tell(self, told: str) -> None:
        self.notify(told, markup=False, severity="warning", timeout=8)

    @work
    async def lay_out(self, make: Callable[[], Path]) -> None:
        """Lay something out, which takes some seconds, and open it."""
        self.query_one("#sheet-faults", Static).update(plain(say("start.laying"), "bold $warning"))
        worker = self.run_worker(make, thread=True, exit_on_error=False)
        try:
            self.app.exit(await worker.wait())
        except WorkerFailed as fault:
            self.query_one("#sheet-faults", Static).update(plain(str(fault.error), "bold $error"))

    @work
    async def begin_new(self) -> None:
        """Ask what is known of the house, and begin a job on it."""
        rows = [(way, plain(say(f"start.{way}"))) for way in ("guided", "file")]
        picked = await self.app.push_screen_wait(Pick(say("start.how"), rows))
        if picked is None:
            return
        text = ""
        draft = draft_of(None, "sheet")
        if picked[0] == "guided":
            from siltline.screens.sheeting import SheetScreen  # noqa: PLC0415 - reads YAML

            screen = SheetScreen("", times.now(), draft=draft)
            taken = await self.app.push_screen_wait(screen)
            if taken is None:
                return
            text = taken
        await self._begin(text, draft)

    async def _begin(self, text: str, draft: Draft) -> None:
        from siltline.job.begin import DEFAULT_CHECKLIST  # noqa: PLC0415 - lays a plan

        made: list[Path] = []

        def begin_it(typed: Typed) -> None:
            made[:] = [begin_at(typed, text)]
            config.remember_person(typed["by"].strip())

        fields = [
            *([] if text else [Field("house", say("start.sheet-file"))]),
            Field("job", say("start.where"), str(Path.home() / _called(text))),
            Field("checklist", say("start.checklist"), DEFAULT_CHECKLIST,
                  offers=tuple(resources.checklist_names())),
            Field("by", say("form.by"), config.person() or ""),
        ]  # fmt: skip
        kept = draft_of(None, "begin" if text else "begin from a sheet")
        form = Form(say("start.begin"), fields, say("start.begin-hint"), begin_it, draft=kept)
        if await self.app.push_screen_wait(form) is not None:
            if text:
                draft.throw_away()
            self.app.exit(made[0])

    def action_leave(self) -> None:
        """Leave without opening anything."""
        self.app.exit(None)


def begin_at(typed: Typed, text: str) -> Path:
    """Begin a job as the form says; return its file.

    Args:
        typed: job, checklist, by; house, where there is a sheet already.
        text: the sheet, "" where there is one already.

    Raises:
        WrongUse: a file of that name is there, or the sheet or the checklist has faults.
        Unreadable: it cannot be written.
    """
    from siltline.job.begin import begin  # noqa: PLC0415 - reads YAML

    path = with_ending(Path(typed["job"].strip()).expanduser())
    if path.exists():
        raise WrongUse(say("start.taken", name=path))
    sheet = Path(typed.get("house", "").strip().strip('"')).expanduser()
    written = False
    if text:
        sheet = path.with_name(f"{path.stem}-house.yaml")
        written = _write(sheet, text)
    try:
        job = begin(sheet, path, checklist=typed["checklist"].strip(), by=typed["by"].strip())
    except Refusal:
        if written:
            sheet.unlink(missing_ok=True)
        raise
    job.close()
    return path


def _called(text: str) -> str:
    """Return what to call the job of a house sheet: as its house, if that has a name."""
    if not text:
        return "job"
    from siltline.rules.yamltext import load  # noqa: PLC0415 - reads YAML

    return slug(str(load(text, "house.yaml").data["house"])) or "job"


def _write(sheet: Path, text: str) -> bool:
    try:
        with sheet.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError as fault:
        raise WrongUse(say("template.there", name=sheet)) from fault
    except (OSError, ValueError) as fault:
        raise WrongUse(say("template.unwritable", name=sheet, fault=fault)) from fault
    return True


def _job(one: Opened) -> Content:
    line = Content.assemble(plain(f"  {one.house}  "), plain(str(one.path), "$secondary"))
    if one.there:
        return line
    return Content.assemble(line, plain(f"\n    {say('start.gone')}", "$warning"))


def _tour() -> Path:
    from siltline.tour import JOB_NAME, lay_out  # noqa: PLC0415 - writes a claim

    folder = Path.home() / "siltline-tour"
    list(lay_out(folder))
    return folder / JOB_NAME


def _practice() -> Path:
    from siltline.job.practice import practice_job  # noqa: PLC0415 - reads photos

    return practice_job()


class StartApp(LookApp):
    """The start, which ends with the job that is to be opened."""

    # A screen's own sheet is read when it is pushed, and the first one never is.
    CSS_PATH: ClassVar[CSSPathType | None] = ["siltline.tcss", "listing.tcss"]

    def get_default_screen(self) -> Screen[None]:
        """Start on the list itself."""
        return StartScreen()

    def on_mount(self) -> None:
        """Listen for the end."""
        self.listen_for_the_end()
