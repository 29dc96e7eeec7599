"""The desk with its photos: what is offered for a step or a photo, and what keys attach."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content

from siltline.job import acts
from siltline.judge import StepView
from siltline.judge.proofs import roles, spare_roles, wanted_roles
from siltline.screens.clocking import ClockingDesk
from siltline.screens.words import plain, short
from siltline.sentences import say

if TYPE_CHECKING:
    from siltline.judge.offering import Offer, Offering
    from siltline.screens.listing import Entry

MOST_TOLD = 200  # rows with a reason: more than anybody reads, and quick enough for a key


class OfferingDesk(ClockingDesk):
    """The desk from which photos are attached, the likeliest first."""

    def _offering(self) -> Offering:
        from siltline.job.offering import offering  # noqa: PLC0415 - no first paint needs it

        return offering(self.job)

    @work
    async def action_attach(self) -> None:
        """Attach a photo to the step in hand; the likeliest stands first."""
        await self._pick_photo()

    async def _pick_photo(self) -> None:
        view, ledger = self.in_hand, self.job.board.ledger
        if all(photo in ledger.withheld for photo in ledger.photos):
            self.notify(say("desk.no-photos"), markup=False)
            return
        found = self._offering()
        offers = found.photos(view.step.id)
        told = {offer.photo: _why(found, offer) for offer in offers[:MOST_TOLD]}
        names = {photo: taken.name for photo, taken in ledger.photos.items()}
        rows = [(o.photo, _told_row(names[o.photo], told.get(o.photo, ""))) for o in offers]
        title = say("pick.attach", step=short(view))
        choices = _roles(view, offers[0].role) if offers else ()
        picked = await self.pick(title, rows, choices=choices, told=told)
        if picked is not None:
            self.put_photo(view.step.id, *picked)

    def put_photo(
        self, step: str, photo: str, role: str, said: Callable[[str], str] | None = None
    ) -> None:
        """Attach a photo to a step, and tell it: by `said` of the photo's name, if given."""
        new: list[bool] = []

        def attach() -> None:
            by = self.person or None
            new.append(acts.attach(self.job, step, photo, role=role, by=by)[1])

        def told() -> str:
            name = self.job.board.ledger.photos[photo].name
            if new[0] and said is not None:
                return said(name)
            return say("desk.attached" if new[0] else "attach.there", name=name, role=role)

        self.do(attach, told)

    @work
    async def action_attach_offer(self) -> None:
        """Attach the likeliest photo where it is clear and one is missing; else let one pick."""
        view, found = self.in_hand, self._offering()
        offers = found.photos(view.step.id)
        if not offers or offers[0].used:
            self.notify(say("desk.no-offer" if offers else "desk.no-photos"), markup=False)
        elif not found.fitting.target(view.step.id).lacking:
            self.notify(say("desk.nothing-missing"), markup=False)
        elif not offers[0].clear:
            self.notify(say("desk.offer-unclear"), markup=False)
            await self._pick_photo()
        else:
            self._put_offer(found, offers[0])

    def action_attach_next(self) -> None:
        """Attach the photo that follows the last one of this step in the row of its camera."""
        view, found = self.in_hand, self._offering()
        last = found.last_of(view.step.id)
        if last is None:
            self.notify(say("desk.run-none"), markup=False)
            return
        offer = found.next_in_row(view.step.id)
        if offer is None:
            name = self.job.board.ledger.photos[last.photo].name
            self.notify(say("desk.run-end", name=name), markup=False)
        else:
            self._put_offer(found, offer)

    def _put_offer(self, found: Offering, offer: Offer) -> None:
        why = _why(found, offer)
        self.put_photo(
            offer.step, offer.photo, offer.role,
            lambda name: say("desk.offered", name=name, role=offer.role, because=why),
        )  # fmt: skip

    async def went_to(self, entry: Entry) -> None:
        """Go to the step of a row; of a photo at no step, offer the steps that it may be of."""
        if entry.step or not entry.photo:
            await super().went_to(entry)
            return
        found = self._offering()
        offers = {offer.step: offer for offer in found.steps(entry.photo)}
        told = {offer.step: _why(found, offer) for offer in list(offers.values())[:MOST_TOLD]}
        rows = [(o.step, _told_row(self._head(o), told.get(o.step, ""))) for o in offers.values()]
        name = self.job.board.ledger.photos[entry.photo].name
        title, keys = say("pick.step", name=name), say("pick.step-keys")
        picked = await self.pick(title, rows, hint=keys, told=told)
        if picked is not None:
            self.go_to(picked[0])
            self._put_offer(found, offers[picked[0]])

    def _head(self, offer: Offer) -> str:
        role = say("pick.offer-as", role=offer.role)
        return f"{short(self.job.board.steps[offer.step])}  {role}"


def _why(found: Offering, offer: Offer) -> str:
    from siltline.judge.offer_words import because  # noqa: PLC0415

    return because(found, offer)


def _told_row(head: str, told: str) -> Content:
    return Content.assemble(plain(head), plain(f"  {told}", "$secondary"))


def _roles(view: StepView, first: str) -> list[str]:
    """Return the roles that a photo can have at a step: the one that is offered first."""
    missing = [role for held in view.missing for role in roles(held.proof)]
    known = [*wanted_roles(view), *spare_roles(view), *acts.COMMON_ROLES]
    return list(dict.fromkeys([first, *missing, *known]))
