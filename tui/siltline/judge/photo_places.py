"""Where photos were taken, seen from the house: at the site, away, or it cannot be told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from siltline.judge.board import Board
from siltline.judge.finding import Finding
from siltline.judge.finding import found as finding
from siltline.science.distance import AT_SITE, AWAY, CANNOT_TELL
from siltline.sentences import say

USUAL_DOUBT = 50.0  # m, where a file tells none: beside walls and under roofs; from memory
NEAR, FAR = 150.0, 500.0  # m: house, lot and street; past the neighbours. Common practice


class Where(Struct, frozen=True):
    """Where a photo was taken.

    Attributes:
        verdict: one of `science.distance.VERDICTS`.
        distance: from the position of the house, m; None where it cannot be told.
        doubt: how far off the photo's own position can be, m.
        because: why it cannot be told, in words that say what would help; "" otherwise.
    """

    verdict: str
    distance: float | None = None
    doubt: float = USUAL_DOUBT
    because: str = ""


def classify(distance: float, doubt: float) -> str:
    """Return what a distance says of a photo; unlike `distance.at_site` it gives the benefit.

    Inside a house a fix is often further off than it says, and no photo is to be called away
    that may be of the house. So doubt widens both bounds, and much lies between them.

    Args:
        distance: of photo and house, m.
        doubt: how far off the photo's position can be, m.
    """
    if distance <= NEAR + doubt:
        return AT_SITE
    return AWAY if distance > FAR + doubt else CANNOT_TELL


def far(distance: float) -> str:
    """Return a distance for people: 340 m, 2.4 km."""
    return f"{distance:.0f} m" if distance < 1000 else f"{distance / 1000:,.1f} km"  # noqa: PLR2004


def told(where: Where) -> str:
    """Return where a photo was taken, as a sentence."""
    if where.distance is None:
        return where.because
    about = {"distance": far(where.distance), "doubt": far(where.doubt)}
    if where.verdict == AT_SITE:
        return say("photos.at-site", **about)
    return say("photos.away" if where.verdict == AWAY else "photos.between", **about)


def of_places(board: Board, where: Mapping[str, Where]) -> Iterator[Finding]:
    """Yield one note on all attached photos that were taken away from the house.

    Args:
        board: the judged job.
        where: photo -> where it was taken.
    """
    used, photos = board.used_photos(), board.ledger.photos
    away = [p for p in photos if p in used and p in where and where[p].verdict == AWAY]
    if away:
        nearest = min(where[photo].distance or 0.0 for photo in away)
        names = ", ".join(photos[photo].name for photo in away[:3])
        about = {"n": len(away), "names": names, "distance": far(nearest)}
        yield finding("photo-away", "note", used[away[0]][0], **about)
