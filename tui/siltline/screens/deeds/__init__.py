"""Everything that a key does on the desk: one table for keys, footer, help and palette.

Each deed names the command that does the same without a screen; a test holds the two together.
What a deed does is a function of the desk in a module of this package, imported when it is first
wanted: no first paint needs any.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from importlib import import_module
from typing import TYPE_CHECKING

from msgspec import Struct
from textual.binding import Binding, BindingType

from siltline.job import Job
from siltline.judge import StepView
from siltline.judge.holding import MEASURED
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.screens.working import WorkingDesk

    Does = Callable[[WorkingDesk], Awaitable[None] | None]


def _always(_: Job, __: StepView) -> bool:
    return True


def _open_step(_: Job, view: StepView) -> bool:
    return view.state != "not-needed"


def _has_photos(job: Job, _: StepView) -> bool:
    return bool(job.board.ledger.photos)


def _has_attached(_: Job, view: StepView) -> bool:
    return bool(view.attached)


def _has_acts(job: Job, _: StepView) -> bool:
    return bool(job.board.ledger.acts)


def _has_readings(job: Job, _: StepView) -> bool:
    return any(job.board.ledger.readings.values())


def _has_word(job: Job, view: StepView) -> bool:
    measured = job.board.ledger.measured.values()
    return view.word is not None or any(m.step == view.step.id for ms in measured for m in ms)


def _wants_readings(_: Job, view: StepView) -> bool:
    return not view.step.asks and any(held.proof.kind in MEASURED for held in view.held)


def _can_be_wet(job: Job, view: StepView) -> bool:
    asks = any(held.proof.kind == "contact-time" for held in view.held)
    return bool(job.board.ledger.wet) or (asks and not view.waiting)


class Deed(Struct, frozen=True):
    """Something that a person can do on the desk.

    Attributes:
        key: the key, as Textual names it.
        says: what it is called here, and in the keys of the catalogue that tell of it.
        does: the function of the desk that does it, as module.function of this package; "" for
            what the screen or the app does by itself.
        command: the command that does the same; "" for what is only a matter of the screen.
        shown: how the key is written for people.
        footer: whether the footer shows it; five at most.
        possible: whether it can be done now, at this step.
        action: of the screen or of the app, where no function does it.
    """

    key: str
    says: str
    does: str = ""
    command: str = ""
    shown: str = ""
    footer: bool = False
    possible: Callable[[Job, StepView], bool] = _always
    action: str = ""

    @property
    def name(self) -> str:
        """Return the key as people read it."""
        return self.shown or self.key

    @property
    def runs(self) -> str:
        """Return the action of Textual's that does it."""
        return self.action or f"do('{self.says}')"

    def load(self) -> Does:
        """Return the function that does it; ImportError where there is none."""
        module, _, function = self.does.rpartition(".")
        found: Does = getattr(import_module(f"{__name__}.{module}"), function)
        return found


STOP = "S"  # shown on the line of the work, too

DEEDS: tuple[Deed, ...] = (
    Deed("enter", "tick", "ticking.tick", "tick", "Enter", True, _open_step),
    Deed("a", "attach", "offering.pick_photo", "attach", "", True, _has_photos),
    Deed("A", "attach-offer", "offering.take_offer", "offer", possible=_has_photos),
    Deed("N", "attach-next", "offering.take_next", "attach", possible=_has_attached),
    Deed("g", "next", "looking.next_step", "steps", "", True),
    Deed("v", "review", "looking.review", "review", "", True),
    Deed("question_mark", "help", "looking.show_help", "", "?", True),
    Deed("x", "leave-out", "ticking.leave_out", "leave-out", possible=_open_step),
    Deed("u", "undo", "ticking.undo_newest", "undo", possible=_has_acts),
    Deed("w", "untick", "ticking.untick", "untick", possible=_has_word),
    Deed("d", "detach", "offering.detach", "detach", possible=_has_attached),
    Deed("f", "add", "adding.add_photos", "add"),
    Deed("y", "why", "looking.why", "why"),
    Deed("s", "section", "looking.section", "section"),
    Deed("slash", "search", "looking.search", "steps", "/"),
    Deed("l", "order", "looking.order", "steps"),
    Deed("o", "only-open", "looking.only_open", "steps"),
    Deed("p", "photos", "looking.photos", "photos", possible=_has_photos),
    Deed("D", "deadlines", "looking.deadlines", "deadlines"),
    Deed("C", "clock", "clocking.show_clock", "clock"),
    Deed("P", "step-photos", "looking.step_photos", "photo", possible=_has_attached),
    Deed("r", "readings", "looking.readings", "steps", possible=_has_readings),
    Deed("b", "put-back", "looking.put_back", "review"),
    Deed("e", "house", "closing.correct_house", "house"),
    Deed("j", "sheet", "entering.go_through_sheet", "house"),
    Deed("m", "reading", "reading.read_here", "read", possible=_wants_readings),
    Deed("M", "point", "reading.set_up_point", "point", possible=_wants_readings),
    Deed("H", "air-of-day", "reading.read_air_of_day", "air"),
    Deed("G", "drying", "reading.show_drying", "drying"),
    Deed("W", "wet", "wetting.keep_wet", "wet", possible=_can_be_wet),
    Deed("R", "reckon", "reckoning.reckon_here", "reckon", possible=_open_step),
    Deed("t", "thing", "entering.enter_thing", "contents"),
    Deed("i", "people", "registering.register_person", "people"),
    Deed("k", "product", "registering.register_product", "product"),
    Deed("K", "meter", "registering.register_meter", "meter"),
    Deed("h", "hand-off", "closing.hand_over", "handoff"),
    Deed("z", "sign-off", "closing.sign_end", "signoff"),
    Deed("c", "claim", "closing.write_for_insurer", "claim"),
    Deed("V", "verify", "closing.verify_file", "verify"),
    Deed(STOP, "stop-work", action="stop_work"),
    Deed("n", "name", "registering.ask_name"),
    Deed("T", "next-theme", action="app.next_theme"),
    Deed("L", "switch-language", action="app.switch_language"),
    Deed("colon", "palette", "looking.palette", shown=":"),
    Deed("q", "quit", action="quit"),
)
# The list would take Enter and the paging keys for itself.
_OF_THE_LIST = ("enter",)


def bindings() -> list[BindingType]:
    """Return the keys of the desk; Enter is the list's own and does the same."""
    found: list[BindingType] = [
        Binding(
            deed.key,
            deed.runs,
            say(f"key.{deed.says}"),
            show=deed.footer,
            key_display=deed.name,
        )
        for deed in DEEDS
        if deed.key not in _OF_THE_LIST
    ]
    found += [
        Binding("pagedown", "card_down", show=False, priority=True),
        Binding("pageup", "card_up", show=False, priority=True),
    ]
    return found


def deed(says: str) -> Deed:
    """Return a deed by what it is called."""
    return next(one for one in DEEDS if one.says == says)


def possible(job: Job, view: StepView) -> list[Deed]:
    """Return what can be done now at a step."""
    return [deed for deed in DEEDS if deed.possible(job, view)]
