"""Photos at their steps: what is offered for a step or a photo, and what keys attach."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content

from siltline.job import acts
from siltline.job.offering import offering
from siltline.judge import StepView
from siltline.judge.offer_words import because
from siltline.judge.offering import Offer, Offering
from siltline.judge.proofs import roles, spare_roles, wanted_roles
from siltline.screens.words import plain, short
from siltline.screens.working import WorkingDesk
from siltline.sentences import say

MOST_TOLD = 200  # rows with a reason: more than anybody reads, and quick enough for a key


async def pick_photo(desk: WorkingDesk) -> None:
    """Attach a photo to the step in hand; the likeliest stands first."""
    view, ledger = desk.in_hand, desk.job.board.ledger
    if all(photo in ledger.withheld for photo in ledger.photos):
        desk.notify(say("desk.no-photos"), markup=False)
        return
    found = offering(desk.job)
    offers = found.photos(view.step.id)
    told = {offer.photo: because(found, offer) for offer in offers[:MOST_TOLD]}
    names = {photo: taken.name for photo, taken in ledger.photos.items()}
    rows = [(o.photo, _told_row(names[o.photo], told.get(o.photo, ""))) for o in offers]
    title = say("pick.attach", step=short(view))
    choices = _roles(view, offers[0].role) if offers else ()
    picked = await desk.pick(title, rows, choices=choices, told=told)
    if picked is not None:
        _put_photo(desk, view.step.id, *picked)


def _put_photo(
    desk: WorkingDesk, step: str, photo: str, role: str, said: Callable[[str], str] | None = None
) -> None:
    """Attach a photo to a step, and tell it: by `said` of the photo's name, if given."""
    new: list[bool] = []

    def attach() -> None:
        by = desk.person or None
        new.append(acts.attach(desk.job, step, photo, role=role, by=by)[1])

    def told() -> str:
        name = desk.job.board.ledger.photos[photo].name
        if new[0] and said is not None:
            return said(name)
        return say("desk.attached" if new[0] else "attach.there", name=name, role=role)

    desk.do(attach, told)


async def take_offer(desk: WorkingDesk) -> None:
    """Attach the likeliest photo where it is clear and one is missing; else let one pick."""
    view, found = desk.in_hand, offering(desk.job)
    offers = found.photos(view.step.id)
    if not offers or offers[0].used:
        desk.notify(say("desk.no-offer" if offers else "desk.no-photos"), markup=False)
    elif not found.fitting.target(view.step.id).lacking:
        desk.notify(say("desk.nothing-missing"), markup=False)
    elif not offers[0].clear:
        desk.notify(say("desk.offer-unclear"), markup=False)
        await pick_photo(desk)
    else:
        _put_offer(desk, found, offers[0])


def take_next(desk: WorkingDesk) -> None:
    """Attach the photo that follows the last one of this step in the row of its camera."""
    view, found = desk.in_hand, offering(desk.job)
    last = found.last_of(view.step.id)
    if last is None:
        desk.notify(say("desk.run-none"), markup=False)
        return
    offer = found.next_in_row(view.step.id)
    if offer is None:
        name = desk.job.board.ledger.photos[last.photo].name
        desk.notify(say("desk.run-end", name=name), markup=False)
    else:
        _put_offer(desk, found, offer)


def _put_offer(desk: WorkingDesk, found: Offering, offer: Offer) -> None:
    why = because(found, offer)
    _put_photo(
        desk, offer.step, offer.photo, offer.role,
        lambda name: say("desk.offered", name=name, role=offer.role, because=why),
    )  # fmt: skip


async def detach(desk: WorkingDesk) -> None:
    """Take a photo off the step in hand."""
    view, photos = desk.in_hand, desk.job.board.ledger.photos
    if not view.attached:
        desk.notify(say("desk.none-attached"), markup=False)
        return
    rows = [(a.photo, plain(f"{a.role}: {photos[a.photo].name}")) for a in view.attached]
    picked = await desk.pick(say("pick.detach", step=short(view)), rows)
    if picked is not None:
        desk.do(lambda: acts.detach(desk.job, view.step.id, picked[0]), say("detach.done"))


async def offer_steps(desk: WorkingDesk, photo: str) -> None:
    """Offer the steps that a photo may be of, and attach it to the one that is picked."""
    found = offering(desk.job)
    offers = {offer.step: offer for offer in found.steps(photo)}
    told = {offer.step: because(found, offer) for offer in list(offers.values())[:MOST_TOLD]}
    rows = [(o.step, _told_row(_head(desk, o), told.get(o.step, ""))) for o in offers.values()]
    name = desk.job.board.ledger.photos[photo].name
    title, keys = say("pick.step", name=name), say("pick.step-keys")
    picked = await desk.pick(title, rows, hint=keys, told=told)
    if picked is not None:
        desk.go_to(picked[0])
        _put_offer(desk, found, offers[picked[0]])


def _head(desk: WorkingDesk, offer: Offer) -> str:
    role = say("pick.offer-as", role=offer.role)
    return f"{short(desk.job.board.steps[offer.step])}  {role}"


def _told_row(head: str, told: str) -> Content:
    return Content.assemble(plain(head), plain(f"  {told}", "$secondary"))


def _roles(view: StepView, first: str) -> list[str]:
    """Return the roles that a photo can have at a step: the one that is offered first."""
    missing = [role for held in view.missing for role in roles(held.proof)]
    known = [*wanted_roles(view), *spare_roles(view), *acts.COMMON_ROLES]
    return list(dict.fromkeys([first, *missing, *known]))
