"""Photos that are at steps already, as bounds for where the photos of another step may lie.

A crew goes through the steps in some order and its cameras count its photos: what lies between
the photos of two steps is likely of the steps between them. How likely, is reckoned here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from siltline.judge.board import Board, StepView
from siltline.judge.camera_rows import Row
from siltline.judge.entries import Attached
from siltline.judge.walks import lacking, walks

# Set by what the days of tests/judge/test_offering_rates.py showed; no facts of the trade.
# How likely it is that ...
_PASSED_OVER = 0.35  # a step that wants photos has none
_PASSED_OVER_SAID = 0.7  # it has none, and its word was given
_SOONER = 0.15  # a photo of a later step was taken before that of an earlier one
_ANYWHERE = 0.003  # a photo lies anywhere at all: of a step that was put off
NO_END = 0.1  # what a step counts that nothing later was photographed of
# How far photos stray: the width for each one that steps between lack, how the tail falls.
_WIDER, _TAIL = 0.5, 1.5
_LEAST_SHARE = 0.1  # of what is lacking, that is reckoned with at least
_UNLIKELY = -7.0  # an order with less than a thousandth, as a logarithm, is left out
_OWN_ORDER = 0.1  # what the order of steps counts beside a photo of the step itself


class Anchor(Struct, frozen=True):
    """A photo at a step, by its place in the row of its camera."""

    photo: str
    role: str
    place: int

    def ahead(self, row: Row, place: int) -> int:
        """Return how many photos at no step lie between it and a later place; negative if sooner.

        Right behind it is 0, right before it -1.
        """
        if place > self.place:
            return row.free[place] - row.free[self.place + 1]
        return -1 - (row.free[self.place] - row.free[min(place + 1, self.place)])


class Bound(Struct, frozen=True):
    """The next step with photos on one side of a step, in one order.

    Attributes:
        step: which; "" at the end of the order.
        anchors: its photos in the row.
        lack: how many photos the steps between still lack.
        passed: how likely none of them has any.
    """

    step: str
    anchors: tuple[Anchor, ...]
    lack: float
    passed: float


class _Ends(Struct, frozen=True):
    """What bounds the photos of a step in one order of that weight.

    `since` and `until` are how many photos steps between lack, and how likely none has any.
    """

    weight: float
    sooner: Anchor
    later: Anchor | None
    since: tuple[float, float]
    until: tuple[float, float]


_START = Anchor("", "", -1)  # before the first photo of a row


def _bell(off: float) -> float:
    return math.pow(1 + off * off, -_TAIL)


def _near(
    ahead: int, lack: float, passed: float, at_least: float = 0.0, share: float = 1.0
) -> float:
    """Return how likely so many photos lie between, where the steps between lack so many.

    `share` is how much of what was lacking is counted in `lack`: the less, the less is known.
    """
    if ahead < 0:
        return _ANYWHERE + _SOONER * _bell(ahead)
    wide = 1 + _WIDER * lack / max(share, _LEAST_SHARE)
    jumped = _bell((ahead - lack) / wide) / wide
    none = max(passed, at_least)
    return _ANYWHERE + none * _bell(ahead) + (1 - none) * jumped


def of_role(anchors: Sequence[Anchor], role: str) -> Sequence[Anchor]:
    """Return the anchors in the same role, for those come in turn; all where none is."""
    return [one for one in anchors if one.role == role] or anchors


class Bounds:
    """What the photos at steps tell about those at none."""

    def __init__(self, board: Board, rows: Sequence[Row]) -> None:
        self.board = board
        self.rows = rows
        self._anchors: dict[str, dict[str, tuple[Anchor, ...]]] = {}
        self._kept: dict[tuple[str, str, str], list[_Ends]] = {}
        self._bounds: dict[str, list[dict[str, tuple[Bound, Bound]]]] = {}

    @cached_property
    def attached(self) -> list[tuple[str, Attached]]:
        """Return every photo at a step of the job, in the order of attaching."""
        place = self.board.ledger.causes.place
        found = [
            (step, one)
            for step, there in self.board.ledger.attached.items()
            if step in self.board.steps
            for one in there
            if one.photo in self.board.ledger.photos
        ]
        return sorted(found, key=lambda pair: place.get(pair[1].event, 0))

    def anchors(self, row: Row) -> dict[str, tuple[Anchor, ...]]:
        """Return step -> its photos in a row, in the order of taking."""
        if row.camera not in self._anchors:
            found: dict[str, list[Anchor]] = {}
            for step, one in self.attached:
                if one.photo in row.at:
                    anchor = Anchor(one.photo, one.role, row.at[one.photo])
                    found.setdefault(step, []).append(anchor)
            self._anchors[row.camera] = {
                step: tuple(sorted(there, key=lambda one: one.place))
                for step, there in found.items()
            }
        return self._anchors[row.camera]

    @cached_property
    def orders(self) -> list[list[str]]:
        """Return the steps in each order in which a crew may go through them."""
        return walks(self.board)

    @cached_property
    def weights(self) -> list[float]:
        """Return how likely each order is, as logarithms."""
        fits = [0.0] * len(self.orders)
        for row in self.rows:
            for n, bounds in enumerate(self.bounds(row)):
                for step, there in self.anchors(row).items():
                    sooner, first = bounds[step][0], there[0]
                    if sooner.anchors:
                        last = of_role(sooner.anchors, first.role)[-1]
                        ahead = last.ahead(row, first.place)
                        fits[n] += math.log(
                            _near(ahead, sooner.lack, sooner.passed, 0.0, self.share)
                        )
        most = max(fits)
        total = most + math.log(sum(math.exp(fit - most) for fit in fits))
        return [fit - total for fit in fits]

    def lacking(self, view: StepView) -> list[str]:
        """Return the roles of the photos that a step still lacks, each once a photo."""
        away = self.board.ledger.withheld
        there = [one.role for one in view.attached if one.photo not in away]
        return [role for held in view.held for role in lacking(held, there)]

    @cached_property
    def _lacked(self) -> dict[str, int]:
        """Return step -> how many photos it lacks; none where it is left out or not needed."""
        return {
            step: 0 if view.state in ("not-done", "not-needed") else len(self.lacking(view))
            for step, view in self.board.steps.items()
        }

    @cached_property
    def share(self) -> float:
        """Return how many of the photos that steps without a word lack there can be, 0 to 1.

        Where all steps together lack more photos than there are at none, most of them were not
        photographed yet, so each counts for less; a step with a word counts in full.
        """
        steps, lacked = self.board.steps, self._lacked
        said = sum(lack for step, lack in lacked.items() if steps[step].word)
        left = max(0, sum(row.free[-1] for row in self.rows) - said)
        return min(1.0, left / max(1, sum(lacked.values()) - said))

    @cached_property
    def _lacks(self) -> dict[str, tuple[float, float]]:
        """Return step -> how many photos it likely lacks, and how likely it stays without any."""
        found = {}
        for step, lack in self._lacked.items():
            word = self.board.steps[step].word
            part = 1.0 if word else self.share
            none = _PASSED_OVER_SAID if word else 1 - (1 - _PASSED_OVER) * part
            found[step] = (lack * part, none if lack else 1.0)
        return found

    def bounds(self, row: Row) -> list[dict[str, tuple[Bound, Bound]]]:
        """Return for each order step -> what is next to it in a row, on either side."""
        if row.camera not in self._bounds:
            self._bounds[row.camera] = [self._bounds_in(row, order) for order in self.orders]
        return self._bounds[row.camera]

    def _bounds_in(self, row: Row, order: Sequence[str]) -> dict[str, tuple[Bound, Bound]]:
        sooner = self._one_side(row, order)
        later = self._one_side(row, order[::-1])
        return {step: (sooner[step], later[step]) for step in order}

    def _one_side(self, row: Row, order: Sequence[str]) -> dict[str, Bound]:
        anchors = self.anchors(row)
        found: dict[str, Bound] = {}
        here = Bound("", (), 0, 1.0)
        for step in order:
            found[step] = here
            if step in anchors:
                here = Bound(step, anchors[step], 0, 1.0)
            else:
                lack, passed = self._lacks[step]
                here = Bound(here.step, here.anchors, here.lack + lack, here.passed * passed)
        return found

    def around(self, step: str, row: Row) -> tuple[Bound, Bound]:
        """Return what is next to a step in a row, in the order that is the likeliest."""
        likeliest = max(range(len(self.orders)), key=lambda n: self.weights[n])
        return self.bounds(row)[likeliest][step]

    @cached_property
    def follows(self) -> dict[str, float]:
        """Return step -> how likely it comes next after what was attached last."""
        found: dict[str, float] = {}
        if not self.attached:
            return found
        last = self.attached[-1][0]
        for weight, order in zip(self.weights, self.orders, strict=True):
            passed = math.exp(weight)
            for step in order[order.index(last) :]:
                lack, none = self._lacks[step]
                if lack:
                    found[step] = found.get(step, 0.0) + passed
                passed *= none
        return found

    def _ends(self, step: str, row: Row, role: str) -> list[_Ends]:
        """Return for each order what bounds the photos of a step; kept, for many ask for it."""
        key = (step, row.camera, role)
        if key not in self._kept:
            self._kept[key] = [
                _Ends(
                    math.exp(weight),
                    of_role(sooner.anchors, role)[-1] if sooner.anchors else _START,
                    of_role(later.anchors, role)[0] if later.anchors else None,
                    (sooner.lack, sooner.passed),
                    (later.lack, later.passed),
                )
                for weight, bounds in zip(self.weights, self.bounds(row), strict=True)
                for sooner, later in (bounds[step],)
                if weight > _UNLIKELY
            ]
        return self._kept[key]

    def fit(self, step: str, row: Row, place: int, role: str, passed: float) -> float:
        """Return how well a place in a row fits a step, as a logarithm.

        Args:
            step: its id.
            row: of the photo's camera.
            place: in the row.
            role: which the photo would have.
            passed: how likely at least the steps between have no photos, all together.
        """
        total = 0.0
        for ends in self._ends(step, row, role):
            at_least = 0.0 if ends.sooner is _START else passed
            fit = ends.weight * _near(
                ends.sooner.ahead(row, place), *ends.since, at_least, self.share
            )
            if ends.later is None:
                fit *= NO_END  # nobody knows what comes after
            else:
                fit *= _near(-1 - ends.later.ahead(row, place), *ends.until, passed, self.share)
            total += fit
        own = self.anchors(row).get(step, ())
        if not own:
            return math.log(total)
        ahead = [one.ahead(row, place) for one in own]
        off = min(one if one >= 0 else -1 - one for one in ahead)
        return _OWN_ORDER * math.log(total) - math.log1p(off * off)
