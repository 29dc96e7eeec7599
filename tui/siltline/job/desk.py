"""An open job: the record, what stands, and the one way to act on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import datetime, tzinfo
from operator import attrgetter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from siltline import __version__, config, times
from siltline.errors import Broken, WrongUse
from siltline.job.second_copy import brought, second_copy
from siltline.judge import Board, Ledger, StepView, extend, fold, judge
from siltline.record import Event, Record, open_record
from siltline.record.derived import Row, keep_about, keep_steps
from siltline.rules.faults import meant
from siltline.rules.plan import Step
from siltline.sentences import BASE, catalogue, in_base, say

if TYPE_CHECKING:
    from siltline.record.copying import CopyState


class Job:
    """One open job file and its board.

    Attributes:
        record: the file.
        clock: where the time of an act comes from.
        device: id of this laptop.
        turn: what is held during an act, so that long work of the same program lets it go first.
        copy_state: how the second copy stood after the last act; None where there is none.
        names: how a step is called where something is refused: by its id, which commands take;
            a screen, on which nobody types ids, calls it by words.
    """

    def __init__(self, record: Record, clock: times.Clock, device: str) -> None:
        self.record = record
        self.clock = clock
        self.device = device
        self.turn: Callable[[], AbstractContextManager[None]] = nullcontext
        self._language = config.language()
        self._folded = 0
        self._ledger = Ledger()
        self._board: Board | None = None
        self._copy = second_copy(record)
        self.copy_state: CopyState | None = None
        self.names: Callable[[Step], str] = attrgetter("id")
        self.rejudge()

    @property
    def board(self) -> Board:
        """Return every step as it stands."""
        assert self._board is not None  # noqa: S101 - judged before the job is handed out
        return self._board

    def _judged(self) -> Board:
        """Fold what came since the last look and judge again."""
        events = self.record.events
        new = events[self._folded :]
        if self._folded > len(events) or not extend(self._ledger, new):
            self._ledger = fold(events)
        self._folded = len(events)
        if self._ledger.plan is None:
            raise Broken(say("record.no-plan", name=self.record.path.name))
        if new and self._board is not None and all(event.kind == "photo" for event in new):
            return self._board.with_photos(self._ledger)
        return judge(self._ledger, self._language)

    @property
    def zone(self) -> tzinfo | None:
        """Return the time zone of the house, or None where the sheet names none."""
        return times.zone(self.board.plan.time_zone)

    @property
    def is_practice(self) -> bool:
        """Tell whether this is a practice job: the name of its house says so, in any language."""
        return self.board.plan.house.startswith(_practice_mark())

    @property
    def house_name(self) -> str:
        """Return the name of the house, without what marks a practice job."""
        return self.board.plan.house.removeprefix(_practice_mark())

    def here(self) -> datetime:
        """Return the time at the house, by this laptop's clock."""
        return self.clock().astimezone(self.zone)

    def shown(self, at: str) -> str:
        """Return a time of the record for people, in the zone of the house."""
        return times.shown(times.read(at), self.zone)

    def refresh(self) -> bool:
        """Take in what other programs wrote; tell whether there was anything."""
        if not self.record.refresh():
            return False
        self.rejudge()
        return True

    def reopen(self) -> None:
        """Go on with the file that lies under the name now; see `Record.reopen`."""
        self.record.reopen()
        self._start_over()

    def step(self, step_id: str) -> StepView:
        """Return a step as it stands.

        Raises:
            WrongUse: no such step; names the one that was likely meant.
        """
        found = self.board.steps.get(step_id)
        if found is None:
            hint = meant(step_id, list(self.board.steps)) if len(self.board.steps) else ""
            raise WrongUse(say("step.unknown", step=step_id) + _short(hint))
        return found

    def called(self, step_id: str) -> str:
        """Return how a step is called; what is no step of this job is called as it is."""
        found = self.board.steps.get(step_id)
        return self.names(found.step) if found else step_id

    def phase_titles(self) -> dict[str, str]:
        """Return phase id -> title, in the language of the job where it has one."""
        phases = self.board.plan.phases
        return {phase.id: phase.other.get(self._language) or phase.title for phase in phases}

    def speak(self, language: str) -> None:
        """Tell steps in another language from here on, as far as their rules speak it."""
        self._language = language
        self.rejudge()

    @contextmanager
    def in_base(self) -> Iterator[None]:
        """Tell everything in the base language meanwhile, whoever sits before the screen."""
        own = self._language
        with in_base():
            self.speak(BASE)
            try:
                yield
            finally:
                self._language = own
        self.rejudge()

    def rejudge(self) -> None:
        """Judge again what stands; inside an act, for what comes next in it."""
        self._board = self._judged()

    @contextmanager
    def acting(self, *, changes_states: bool = True) -> Iterator[None]:
        """Hold the right to write, on the newest state; all of the act is kept or nothing.

        Args:
            changes_states: False for acts that no step's state depends on.

        Raises:
            Unreadable: locked, read-only or full; nothing of the act was recorded.
        """
        before = self._folded
        try:
            with self.turn(), self.record.writing():
                if self._folded != len(self.record.events):
                    self.rejudge()
                yield
                self.rejudge()
                if changes_states:
                    self._keep()
        except BaseException:
            if self._folded != before or self._folded > len(self.record.events):
                self._start_over()
            raise
        self.bring_copy()

    def _start_over(self) -> None:
        """Judge all that stands anew, as after an act that was rolled back."""
        self._folded = 0
        self._ledger = Ledger()
        self._board = None
        self.rejudge()

    def step_rows(self) -> dict[str, Row]:
        """Return the step table as it should stand, by step id; in the base language.

        It is part of the file, so it must not depend on who wrote last.
        """
        plan = self.board.plan
        titles = {phase.id: phase.title for phase in plan.phases}
        written = {step.id: step for step in (*(d.step for d in plan.dropped), *plan.steps)}
        return {
            view.step.id: (
                view.step.id,
                number,
                titles.get(view.step.phase, view.step.phase),
                view.step.place_name,
                written[view.step.id].do,
                view.state,
            )
            for number, view in enumerate(self.board.steps.values(), 1)
        }

    def _keep(self) -> None:
        keep_steps(self.record.connection, self.step_rows())
        keep_about(self.record.connection, engine=__version__, upon=self.record.events[-1].id)

    def bring_copy(self) -> None:
        """Bring the second copy up to the record, where there is one; its state is told."""
        if self._copy is None:
            self.copy_state = None
            return
        self.copy_state = self._copy.bring()
        if not self.copy_state.behind:
            brought(self._copy)

    def follow_copy(self) -> None:
        """Look up where the second copy lies, after that was chosen anew."""
        if self._copy:
            self._copy.close()
        self._copy = second_copy(self.record)
        self.bring_copy()

    def append(self, kind: str, body: dict[str, Any], by: str | None) -> Event:
        """Append an event with this laptop's clock and name; call inside `acting`."""
        at = times.written(self.clock())
        return self.record.append(kind, body, at=at, device=self.device, by=by)

    def close(self) -> None:
        """Close the file, and its second copy."""
        if self._copy:
            self._copy.close()
        self.record.close()


def _practice_mark() -> str:
    """Return what the name of the house of a practice job begins with."""
    return str(catalogue()["practice.house"]).partition("{")[0]


def _short(hint: str) -> str:
    """Keep a suggestion, but not a list of two thousand step ids."""
    return hint if len(hint) < 120 else ""  # noqa: PLR2004


def open_job(path: Path, clock: times.Clock = times.now, device: str | None = None) -> Job:
    """Open a job file.

    Raises:
        Unreadable: missing, empty, locked, newer than this program, or not a job.
        Broken: damaged, or it holds no plan.
    """
    record = open_record(path)
    try:
        return Job(record, clock, device or config.device())
    except BaseException:
        record.close()
        raise
