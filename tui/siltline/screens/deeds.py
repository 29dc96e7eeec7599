"""Everything that a key does on the desk: one table for keys, footer, help and palette.

Each deed names the command that does the same without a screen; a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from textual.binding import Binding, BindingType

from siltline.job import Job
from siltline.judge import StepView
from siltline.judge.holding import MEASURED
from siltline.sentences import say


def _always(_: Job, __: StepView) -> bool:
    return True


def _open_step(_: Job, view: StepView) -> bool:
    return view.state != "not-needed"


def _has_photos(job: Job, _: StepView) -> bool:
    return bool(job.board.ledger.photos)


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
        action: the action of the screen, or of the app.
        command: the command that does the same; "" for what is only a matter of the screen.
        shown: how the key is written for people.
        footer: whether the footer shows it; five at most.
        possible: whether it can be done now, at this step.
    """

    key: str
    action: str
    command: str = ""
    shown: str = ""
    footer: bool = False
    possible: Callable[[Job, StepView], bool] = _always

    @property
    def name(self) -> str:
        """Return the key as people read it."""
        return self.shown or self.key

    @property
    def says(self) -> str:
        """Return the end of the catalogue keys that tell of it."""
        return self.action.rpartition(".")[2].replace("_", "-")


STOP = "S"  # shown on the line of the work, too

DEEDS: tuple[Deed, ...] = (
    Deed("enter", "tick", "tick", "Enter", True, _open_step),
    Deed("a", "attach", "attach", "", True, _has_photos),
    Deed("A", "attach_offer", "offer", possible=_has_photos),
    Deed("N", "attach_next", "attach", possible=lambda _, view: bool(view.attached)),
    Deed("g", "next", "steps", "", True),
    Deed("v", "review", "review", "", True),
    Deed("question_mark", "help", "", "?", True),
    Deed("x", "leave_out", "leave-out", possible=_open_step),
    Deed("u", "undo", "undo", possible=lambda job, _: bool(job.board.ledger.acts)),
    Deed("w", "untick", "untick", possible=_has_word),
    Deed("d", "detach", "detach", possible=lambda _, view: bool(view.attached)),
    Deed("f", "add", "add"),
    Deed("y", "why", "why"),
    Deed("s", "section", "section"),
    Deed("slash", "search", "steps", "/"),
    Deed("l", "order", "steps"),
    Deed("o", "only_open", "steps"),
    Deed("p", "photos", "photos", possible=_has_photos),
    Deed("D", "deadlines", "deadlines"),
    Deed("C", "clock", "clock"),
    Deed("P", "step_photos", "photo", possible=lambda _, view: bool(view.attached)),
    Deed("r", "readings", "steps", possible=lambda job, _: any(job.board.ledger.readings.values())),
    Deed("b", "put_back", "review"),
    Deed("e", "house", "house"),
    Deed("j", "sheet", "house"),
    Deed("m", "reading", "read", possible=_wants_readings),
    Deed("M", "point", "point", possible=_wants_readings),
    Deed("H", "air_of_day", "air"),
    Deed("G", "drying", "drying"),
    Deed("W", "wet", "wet", possible=_can_be_wet),
    Deed("R", "reckon", "reckon", possible=_open_step),
    Deed("t", "thing", "contents"),
    Deed("i", "people", "people"),
    Deed("k", "product", "product"),
    Deed("K", "meter", "meter"),
    Deed("h", "hand_off", "handoff"),
    Deed("z", "sign_off", "signoff"),
    Deed("c", "claim", "claim"),
    Deed("V", "verify", "verify"),
    Deed(STOP, "stop_work"),
    Deed("n", "name"),
    Deed("T", "app.next_theme"),
    Deed("L", "app.switch_language"),
    Deed("colon", "palette", "", ":"),
    Deed("q", "quit"),
)
# The list would take Enter and the paging keys for itself.
_OF_THE_LIST = ("enter",)


def bindings() -> list[BindingType]:
    """Return the keys of the desk; Enter is the list's own and does the same."""
    found: list[BindingType] = [
        Binding(
            deed.key,
            deed.action,
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


def possible(job: Job, view: StepView) -> list[Deed]:
    """Return what can be done now at a step."""
    return [deed for deed in DEEDS if deed.possible(job, view)]
