"""Which photo a step most likely wants next, and which step a photo most likely documents.

One likelihood for both (`fitting.py`). Photos that are at a step come after all that are at none,
withheld ones are never offered, and nothing is attached here.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace

from siltline.judge.board import Board
from siltline.judge.entries import Attached
from siltline.judge.fitting import Fitting
from siltline.judge.photo_findings import Seen

CLEAR = 0.6  # an offer at least this likely is clear: it may be attached with one key
# Logarithms, set as those of `fitting.py`.
_NONE_FITS = math.log(0.10)  # no photo here is of this step, or no step wants this photo
_WANTED = 2.5
_OF_STATE = {"not-done": -3.0, "blocked": -0.5, "measure": -0.5}


class Offer(Struct, frozen=True):
    """A photo for a step, or a step for a photo.

    Attributes:
        photo, step: which.
        role: the role it would have, one that the step still misses where it misses any.
        chance: how likely it is the right one, 0 to 1, among all that were looked at.
            A photo that a step uses has none: it is no offer that a key should take.
        used: of a photo offered for a step, the steps that use it already; it comes last.
    """

    photo: str
    step: str
    role: str
    chance: float
    used: tuple[str, ...] = ()

    @property
    def clear(self) -> bool:
        """Tell whether it is likely enough to be attached with one key."""
        return not self.used and self.chance >= CLEAR


class Offering:
    """Offers photos for steps and steps for photos, as a job stands now."""

    def __init__(
        self,
        board: Board,
        seen: Mapping[str, Seen],
        now: datetime,
        away: Collection[str] = (),
    ) -> None:
        """Take what is known.

        Args:
            board: the judged job.
            seen: photo -> what is known of it from its file.
            now: for a step whose word was not given yet.
            away: photos whose bytes are not there, besides the withheld ones.
        """
        self.board = board
        self.fitting = Fitting(board, seen, now, away)

    def photos(self, step: str) -> list[Offer]:
        """Return the photos for a step, the likeliest first; those that are used come last.

        Raises:
            KeyError: no such step.
        """
        pairs = [(photo, step) for photo in self.fitting.row_of if photo not in self.fitting.away]
        return self._offers(
            pairs, [self.fitting.fit(step, photo, in_hand=True) for photo, _ in pairs]
        )

    def steps(self, photo: str) -> list[Offer]:
        """Return the steps that a photo may document, the likeliest first.

        Steps that use it already, and those that do not apply, are left out.

        Raises:
            KeyError: no such photo.
        """
        there = self.fitting.used.get(photo, ())
        views = [v for v in self.board.steps.values() if v.state != "not-needed"]
        pairs = [(photo, v.step.id) for v in views if v.step.id not in there]
        fits = []
        for _, step in pairs:
            fit, role = self.fitting.fit(step, photo)
            view = self.fitting.target(step).view
            fit += _WANTED if role in self.fitting.target(step).lacking else 0.0
            fits.append((fit + _OF_STATE.get(view.state, 0.0), role))
        return [replace(offer, used=()) for offer in self._offers(pairs, fits)]

    def _offers(
        self, pairs: Sequence[tuple[str, str]], fits: Sequence[tuple[float, str]]
    ) -> list[Offer]:
        """Return the offers in order; equals by the name of the photo and the place of the step."""
        used, names = self.fitting.used, self.board.ledger.photos
        place = {step: n for n, step in enumerate(self.board.steps)}
        most = max((fit for fit, _ in fits), default=0.0)
        all_of = zip(pairs, fits, strict=True)
        total = sum(math.exp(fit - most) for (photo, _), (fit, _) in all_of if photo not in used)
        # while no photo is at a step every fit is small by that alone: none counts beside the best
        none = _NONE_FITS - (most if self.fitting.bounds.attached else 0.0)
        total += math.exp(none)
        found = []
        for (photo, step), (fit, role) in zip(pairs, fits, strict=True):
            steps = tuple(sorted(used.get(photo, ())))
            chance = 0.0 if steps else math.exp(fit - most) / total
            key = (bool(steps), -fit, names[photo].name, photo, place[step])
            found.append((key, Offer(photo, step, role, chance, steps)))
        return [offer for _, offer in sorted(found, key=lambda one: one[0])]

    def last_of(self, step: str) -> Attached | None:
        """Return the photo that was attached to a step last."""
        return next((one for of, one in reversed(self.fitting.bounds.attached) if of == step), None)

    def next_in_row(self, step: str) -> Offer | None:
        """Return the photo that follows the last of a step, of the same camera; None at the end.

        Photos that a step uses are passed over.
        """
        last = self.last_of(step)
        if last is None:
            return None
        row = self.fitting.row_of[last.photo]
        for photo in row.photos[row.at[last.photo] + 1 :]:
            if photo not in self.fitting.used and photo not in self.fitting.away:
                return Offer(photo, step, self.fitting.role(step, photo)[0], 1.0)
        return None
