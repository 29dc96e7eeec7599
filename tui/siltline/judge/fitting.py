"""How well a photo fits a step: by the order of steps, by time around the work, by its role."""

from __future__ import annotations

import math
import statistics
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from functools import cached_property

from msgspec import Struct

from siltline import times
from siltline.judge.board import Board, StepView
from siltline.judge.bounds import Bounds
from siltline.judge.camera_rows import Span, camera_rows, is_wide
from siltline.judge.photo_findings import Seen
from siltline.judge.proofs import wanted_roles

# Set by what the days of tests/judge/test_offering_rates.py showed; no facts of the trade.
# Logarithms of how much likelier something is.
_SAME_CAMERA = 0.7
_NO_TIME = -1.0
_WRONG_ROLE = -4.0
_FARTHEST = -2.5  # more than this no time tells
# Weights: of what comes after the last photo, of words between, of a step's own photos, of now.
_FOLLOWS, _IN_TURN, _OWN_TIME, _JUST_NOW = 3.0, 1.2, 0.7, 0.3
_NEAR_S, _AROUND_S = 600.0, 1800.0  # how soon photos follow each other; how soon words do
_OWN_WORD_S = 600.0  # words nearer to each other than this were given in one go
# A clock whose photos lie this far from the words on their steps is off; so many must say so.
_TOO_SOON_S, _TOO_LATE_S, _ENOUGH, _ALONE = -1800.0, 7200.0, 3, 0.3
_LEFT_FOR_IT = 0.4  # how likely those between have no photos at all where a step is in hand
_ORDER = {"before": 0, "during": 1, "after": 2}


def _gap(one: Span, other: Span) -> float:
    """Return the seconds between two spans of time; 0 where they may have been at once."""
    return max(0.0, one[0] - other[1], other[0] - one[1])


def _soon(gap: float, unit: float) -> float:
    return max(_FARTHEST, -math.log1p(gap / unit))


class Target(Struct, frozen=True):
    """What is known of a step before a photo is held against it."""

    view: StepView
    roles: tuple[str, ...]
    lacking: tuple[str, ...]
    word: float | None
    alone: float  # 1 where its word was given by itself, near 0 where many were given in one go


class Fitting:
    """Holds photos against steps, as a job stands now."""

    def __init__(
        self, board: Board, seen: Mapping[str, Seen], now: datetime, away: Collection[str]
    ) -> None:
        """Take what is known; see `Offering`."""
        self.board = board
        self.now = now.timestamp()
        self.used = board.used_photos()
        self.away = {*board.ledger.withheld, *away}
        self.rows = camera_rows(board, seen, {*self.used, *self.away})
        self.row_of = {photo: row for row in self.rows for photo in row.photos}
        self.bounds = Bounds(board, self.rows)
        self._targets: dict[str, Target] = {}

    def span(self, photo: str) -> Span | None:
        """Return when a photo was taken, in seconds; None where its clock says nothing."""
        row = self.row_of.get(photo)
        if row is None or row.camera in self.off:
            return None
        span = row.spans[row.at[photo]]
        return None if span is None or is_wide(span) else span

    @cached_property
    def off(self) -> set[str]:
        """Return the cameras whose clock is far from the words on the steps of their photos."""
        found = set()
        for row in self.rows:
            late = []
            for step, there in self.bounds.anchors(row).items():
                word = self.target(step).word
                spans = [row.spans[one.place] for one in there]
                known = [span[1] for span in spans if span and not is_wide(span)]
                if word and known and self._alone(word) >= _ALONE:
                    late.append(word - max(known))
            if len(late) >= _ENOUGH and not _TOO_SOON_S <= statistics.median(late) <= _TOO_LATE_S:
                found.add(row.camera)
        return found

    def target(self, step: str) -> Target:
        """Return what is known of a step."""
        if step not in self._targets:
            view = self.board.steps[step]
            lacking = self.bounds.lacking(view)
            roles = dict.fromkeys([*lacking, *wanted_roles(view), "other"])
            word = times.read(view.word.at).timestamp() if view.word else None
            alone = self._alone(word) if word is not None else 0.0
            self._targets[step] = Target(view, tuple(roles), tuple(lacking), word, alone)
        return self._targets[step]

    @cached_property
    def _said(self) -> list[float]:
        words = (view.word for view in self.board.steps.values())
        return sorted(times.read(word.at).timestamp() for word in words if word)

    def _alone(self, said: float) -> float:
        """Return how much a word's time tells: little where others were given around it."""
        first, after = bisect_left(self._said, said), bisect_right(self._said, said)
        if after - first > 1:
            return 0.0
        near = [
            abs(one - said)
            for one in (*self._said[first - 1 : first], *self._said[after : after + 1])
        ]
        return min(1.0, min(near, default=_OWN_WORD_S) / _OWN_WORD_S)

    def role(self, step: str, photo: str) -> tuple[str, bool]:
        """Return the role that a photo would have at a step, and whether its time allows it."""
        target = self.target(step)
        order = self._time_order(step, photo) if target.view.attached else []
        for role in target.roles:
            if _fits(role, order):
                return role, True
        return target.roles[0], False

    def _time_order(self, step: str, photo: str) -> list[tuple[str, bool]]:
        """Return the roles of a step's photos, and whether each was taken before this one."""
        row = self.row_of[photo]
        place = row.at[photo]
        there = self.bounds.anchors(row).get(step, ())
        return [(one.role, one.place < place) for one in there if one.photo != photo]

    def _time_fit(self, target: Target, photo: str, role: str) -> float:
        """Return how well a photo's time fits a step's own photos and its word."""
        span = self.span(photo)
        if span is None:
            return _NO_TIME
        fit = 0.0
        there = target.view.attached
        known = [own for own in map(self.span, (a.photo for a in there)) if own] if there else []
        if known:
            fit += _OWN_TIME * _soon(min(_gap(span, own) for own in known), _NEAR_S)
        word = target.word
        if word is not None:
            late = span[0] > word + (0 if role == "before" else _NEAR_S)
            fit += target.alone * self._word_fit(span, word, late)
        elif not known:
            fit += _JUST_NOW * _soon(_gap(span, (self.now, self.now)), _AROUND_S)
        return fit

    def _word_fit(self, span: Span, word: float, late: bool) -> float:
        """Return how well a photo's time fits a word that was given by itself."""
        between = abs(bisect_left(self._said, word) - bisect_left(self._said, span[0]))
        soon = _soon(_gap(span, (word, word)), _AROUND_S)
        return soon - (1.0 if late else 0.0) - min(-_FARTHEST, _IN_TURN * math.log1p(between))

    def fit(self, step: str, photo: str, *, in_hand: bool = False) -> tuple[float, str]:
        """Return how well a photo fits a step, as a logarithm, and the role that it would have.

        Args:
            step: its id.
            photo: its hash.
            in_hand: somebody asks for this step, so others may well have been left out for it.
        """
        row, target = self.row_of[photo], self.target(step)
        place = row.at[photo]
        role, allowed = self.role(step, photo)
        fit = self.bounds.fit(step, row, place, role, _LEFT_FOR_IT if in_hand else 0.0)
        fit += self._time_fit(target, photo, role)
        fit += 0.0 if allowed else _WRONG_ROLE
        last, follows = self._last, self.bounds.follows.get(step, 0.0)
        if last is not None and last in row.at:
            fit += _SAME_CAMERA
        if last is not None and follows and self._after(photo, last):
            fit += math.log1p(_FOLLOWS * follows)
        return fit, role

    @cached_property
    def _last(self) -> str | None:
        return self.bounds.attached[-1][1].photo if self.bounds.attached else None

    def _after(self, photo: str, last: str) -> bool:
        """Tell whether a photo may be the next that was taken after the one attached last."""
        row = self.row_of[photo]
        if last in row.at:
            place, sooner = row.at[photo], row.at[last]
            return place > sooner and row.free[place] == row.free[sooner + 1]
        one, other = self.span(photo), self.span(last)
        return one is None or other is None or one[1] >= other[0]


def _fits(role: str, order: Sequence[tuple[str, bool]]) -> bool:
    """Tell whether a role can come where others were taken before or after it."""
    rank = _ORDER.get(role)
    if rank is None:
        return True
    return all(
        _ORDER.get(other, rank) <= rank if sooner else _ORDER.get(other, rank) >= rank
        for other, sooner in order
    )
