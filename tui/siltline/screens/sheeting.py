"""The house sheet, section by section: what is asked together, and what is known already."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from siltline.errors import WrongUse
from siltline.job import Job
from siltline.job.drafts import Draft, draft_of
from siltline.job.sheeting import faults_of, put, rebased, sections, text_at, value_at
from siltline.rules.faults import Faulty
from siltline.rules.sheet.asking import as_typed, ask_key
from siltline.rules.sheet.sections import NEW, Asked, Section, with_key
from siltline.rules.yamltext import load
from siltline.screens.editing import EditScreen
from siltline.screens.facts import fact_field
from siltline.screens.field import Field, Typed
from siltline.screens.forms import Form
from siltline.screens.keys import Keys, enter_does
from siltline.screens.words import plain
from siltline.sentences import say

_PLACES = {"room": "rooms", "other-room": "rooms"}  # keys that name a place of a group


class SectionRows(OptionList):
    """The sections of a house sheet; Enter fills one in."""

    BINDINGS: ClassVar[list[BindingType]] = enter_does("key.fill")


class SheetScreen(Screen[str | None]):
    """Asks for the house sheet; returns its text where the person takes it, None on leaving."""

    CSS_PATH = "listing.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "leave", say("key.back")),
        Binding("t", "edit", say("key.sheet-text")),
        Binding("s", "take", say("key.take-sheet")),
        Binding("ctrl+r", "start_over", say("key.start-over")),
    ]

    def __init__(self, text: str, now: datetime, *, draft: Draft, job: Job | None = None) -> None:
        """Take a sheet to fill in.

        Args:
            text: what is known; "" for a new house.
            now: the time at the site, which moments are told from.
            draft: where it is kept while it is filled in.
            job: the job that it is of, if any.
        """
        super().__init__()
        self.first = text
        kept = draft.kept()
        self.text = rebased(kept.get("first", ""), kept["text"], text) if "text" in kept else text
        self.now = now
        self.draft = draft
        self.job = job
        self.listed: list[Section] = []

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        with Horizontal(id="body"):
            yield SectionRows(id="sections", markup=False)
            with VerticalScroll(id="card-box", can_focus=False):
                yield Static(id="card")
        yield Static(id="sheet-faults")
        yield Keys()

    def on_mount(self) -> None:
        """Show the sections; a text that cannot be read is edited first."""
        self.show()

    def _data(self) -> object:
        return load(self.text, "house.yaml").data if self.text.strip() else {}

    def show(self) -> None:
        """Show the sections as they stand."""
        rows = self.query_one(SectionRows)
        here = rows.highlighted or 0
        faults, odd = faults_of(self.text) if self.text.strip() else ([], [])
        try:
            data = self._data()
            self.listed = sections(data)
        except Faulty:
            self.listed = []
            data = {}
        rows.set_options(Option(_row(section, data)) for section in self.listed)
        if self.listed:
            rows.highlighted = min(here, len(self.listed) - 1)
        head = say("sheet.again") if self.text != self.first else say("sheet.head")
        self.query_one("#head", Static).update(plain(head))
        told = [str(one.text) for one in [*faults, *odd][:3]]
        line = say("sheet.faults", n=len(faults), first="; ".join(told)) if faults else ""
        if self.listed and not all(value_at(data, (key,)) for key in ("house", "rooms")):
            line = say("sheet.begin")  # that is no fault yet, and says more than one would
        style = "bold $warning" if faults else "bold"
        self.query_one("#sheet-faults", Static).update(plain(line, style))
        self.set_focus(rows)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show what is known of a section."""
        section = self.listed[event.option_index]
        try:
            data = self._data()
        except Faulty:
            return
        self.query_one("#card", Static).update(_known(section, data))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Ask for a section."""
        event.stop()
        self.ask_section(self.listed[event.option_index])

    @work
    async def ask_section(self, section: Section) -> None:
        """Put up the form of a section, and write what was answered into the text."""
        data = self._data()
        fields = {
            one.path: self._field(number, one, data, section)
            for number, one in enumerate(section.asked)
        }

        def answer(typed: Typed) -> None:
            told = {path: typed[field.key].strip() for path, field in fields.items()}
            self._write(section, {p: t for p, t in told.items() if t != fields[p].value})

        form = Form(section.title, list(fields.values()), say("sheet.form-hint"), answer)
        form.draft = draft_of(self.job, f"sheet {'.'.join(section.path)}")
        if await self.app.push_screen_wait(form) is not None:
            self.show()

    def _field(self, number: int, one: Asked, data: object, section: Section) -> Field:
        group = _PLACES.get(one.path[-1], "")
        places = value_at(data, (group,)) if group else None
        return fact_field(
            one.path,
            f"fact{number}",  # a key of a sheet may hold what no name of a widget may
            one.words,
            text_at(data, one.path),
            now=self.now,
            # a form for a place to come may also say that there is none
            needed=one.needed and (not section.new or section.path[0] == "rooms"),
            offers=tuple(places) if isinstance(places, dict) else (),
        )

    def _write(self, section: Section, told: Mapping[tuple[str, ...], str]) -> None:
        """Write what was answered otherwise than before into the text, and keep it."""
        answers = {
            path: as_typed(path, typed, self.now) if typed else None for path, typed in told.items()
        }
        placed = with_key(section, answers, self._data())
        if section.new and answers and not placed:
            raise WrongUse(say("sheet.no-name"))
        at = len(section.path) - 1
        said_so: dict[tuple[str, ...], str] = {}
        for path, typed in told.items():
            if isinstance(answers[path], str) and answers[path] != typed:
                new = NEW in path
                key = next(iter(placed))[at] if new else ""
                said_so[(*path[:at], key, *path[at + 1 :]) if new else path] = typed
        self.keep(put(self.text, placed, said_so))

    def keep(self, text: str) -> None:
        """Keep the sheet as it is now."""
        self.text = text
        if text == self.first:
            self.draft.throw_away()
        else:
            self.draft.keep({"text": text, "first": self.first})

    @work
    async def action_edit(self) -> None:
        """Edit the text itself, with its faults beside the lines."""
        text = await self.app.push_screen_wait(EditScreen(self.text, faults_of, self.keep))
        if text is not None:
            if text.strip() or self.text.strip():
                self.keep(text if text.strip() else "")
            self.show()

    def action_take(self) -> None:
        """Take the sheet as it is; one with faults is told and stays."""
        faults, _ = faults_of(self.text)
        if faults:
            self.notify(say("sheet.not-yet", n=len(faults), first=faults[0].text), markup=False,
                        severity="warning", timeout=8)  # fmt: skip
            self.show()
            return
        self.dismiss(self.text)

    def action_start_over(self) -> None:
        """Throw away what was filled in since this sheet was taken the last time."""
        self.keep(self.first)
        self.show()

    def action_leave(self) -> None:
        """Leave; what was filled in is kept for the next time."""
        self.dismiss(None)


def _row(section: Section, data: object) -> Content:
    """Return a section as a line: how much of it is known."""
    if section.new:
        said = text_at(data, section.path[:-1])
        none = f"  {say('fact.no')}" if said == say("fact.no") else ""
        return Content.assemble(plain(f"  + {section.title}"), plain(none, "$secondary"))
    known = sum(bool(text_at(data, one.path)) for one in section.asked)
    count = f"{known}/{len(section.asked)}"
    return Content.assemble(plain(f"{count:>5} ", "$secondary"), plain(section.title))


def _known(section: Section, data: object) -> Content:
    """Return what is known of a section, and what is not."""
    lines = [plain(section.title, "bold $primary")]
    for one in section.asked:
        value = text_at(data, one.path)
        told = plain(value, "bold") if value else plain(say("sheet.unknown"), "$secondary")
        lines.append(Content.assemble(plain(f"{say(f'field.{ask_key(one.path)}')}: "), told))
    return Content("\n").join(lines)
