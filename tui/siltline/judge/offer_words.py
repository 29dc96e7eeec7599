"""Why a photo is offered for a step, in a sentence: by its row, by its time, by its use."""

from __future__ import annotations

from collections.abc import Iterator

from siltline.judge.bounds import Anchor, of_role
from siltline.judge.camera_rows import Row
from siltline.judge.offering import Offer, Offering
from siltline.sentences import say

_SOON_S = 2 * 3600.0  # a time farther off than this tells nobody anything
_MOST = 2  # reasons that fit a line


def because(offering: Offering, offer: Offer) -> str:
    """Return why a photo is offered for a step, the strongest reason first; never empty."""
    if offer.used:
        return say("offer.used", steps=", ".join(offer.used))
    row = offering.fitting.row_of[offer.photo]
    found = [*_by_row(offering, offer, row), *_by_word(offering, offer)][:_MOST]
    if row.by_name:
        found.append(say("offer.by-name"))
    elif row.camera in offering.fitting.off:
        found.append(say("offer.clock-off"))
    return "; ".join(found)


def _by_row(offering: Offering, offer: Offer, row: Row) -> Iterator[str]:
    """Yield what the photos around it tell: of this step, else of the steps around it."""
    place, photos = row.at[offer.photo], offering.board.ledger.photos
    own = offering.fitting.bounds.anchors(row).get(offer.step, ())
    if own:
        nearest = min(own, key=lambda one: abs(one.ahead(row, place) + 0.5))
        yield _beside(offering, row, nearest, place, "")
        yield from _minutes(offering, nearest, offer.photo)
        return
    sooner, later = offering.fitting.bounds.around(offer.step, row)
    before = of_role(sooner.anchors, offer.role)[-1] if sooner.anchors else None
    after = of_role(later.anchors, offer.role)[0] if later.anchors else None
    if before and before.ahead(row, place) == 0:
        yield _beside(offering, row, before, place, sooner.step)
        yield from _minutes(offering, before, offer.photo)
    elif before and after and before.place < place < after.place:
        yield say("offer.between", before=sooner.step, after=later.step)
    elif before and before.place < place:
        yield _beside(offering, row, before, place, sooner.step)
    elif after:
        yield _beside(offering, row, after, place, later.step)
    elif before:
        yield _beside(offering, row, before, place, sooner.step)
    else:
        first = row.photos[0]
        yield say("offer.in-row", n=row.free[place] + 1, first=photos[first].name)


def _beside(offering: Offering, row: Row, anchor: Anchor, place: int, step: str) -> str:
    """Return where a place in a row lies beside a photo that is at a step."""
    ahead = anchor.ahead(row, place)
    name = offering.board.ledger.photos[anchor.photo].name
    of = say("offer.of", step=step) if step else say("offer.of-this")
    if ahead in (0, -1) and abs(place - anchor.place) > 1:
        return say("offer.free-before" if ahead else "offer.free-after", name=name, of=of)
    if ahead in (0, -1):
        return say("offer.next-before" if ahead else "offer.next-after", name=name, of=of)
    n = ahead if ahead > 0 else -1 - ahead
    return say("offer.far-after" if ahead > 0 else "offer.far-before", n=n, name=name, of=of)


def _minutes(offering: Offering, anchor: Anchor, photo: str) -> Iterator[str]:
    one, other = offering.fitting.span(photo), offering.fitting.span(anchor.photo)
    if one is None or other is None or abs(one[0] - other[0]) > _SOON_S:
        return
    minutes = round((one[0] - other[0]) / 60)
    yield say("offer.minutes-after" if minutes >= 0 else "offer.minutes-before", n=abs(minutes))


def _by_word(offering: Offering, offer: Offer) -> Iterator[str]:
    """Yield how near the step's word is, where that word was given by itself."""
    span, target = offering.fitting.span(offer.photo), offering.fitting.target(offer.step)
    if span is None or target.word is None or not target.alone:
        return
    minutes = round((target.word - span[0]) / 60)
    if abs(minutes) * 60 <= _SOON_S:
        yield say("offer.before-word" if minutes >= 0 else "offer.after-word", n=abs(minutes))
